"""Documents are what they were: a change shows here line by line, and is looked at before it is kept."""

import importlib.util
from pathlib import Path

import pytest

FOLDER = Path(__file__).parent
NAMES = ["step.pdf.txt", "step.svg", "step.dxf"]


@pytest.fixture(scope="module")
def documents():
    spec = importlib.util.spec_from_file_location("golden_drawings", FOLDER / "drawings.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.documents()


@pytest.mark.parametrize("name", NAMES)
def test_a_document_is_what_was_kept(name, documents):
    kept = (FOLDER / name).read_text("utf-8")
    assert documents[name].splitlines() == kept.splitlines()


def test_every_document_is_kept(documents):
    assert sorted(documents) == sorted(NAMES)
