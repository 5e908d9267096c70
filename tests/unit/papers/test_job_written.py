"""The papers of a plan are written all together or not at all."""

import json

import pytest

from foamwright.errors import InputError
from foamwright.jobs.planning import write_papers
from foamwright.units import System
from tests.plans import demo_plan


def test_plan_and_papers_are_written_for_one_paper(tmp_path):
    written = write_papers(demo_plan(), tmp_path / "job", "letter", System.MM)
    names = {path.relative_to(tmp_path / "job").as_posix() for path in written}
    assert {"plan.json", "job-sheet.pdf", "templates/outline-letter.pdf", "templates/outline.dxf"} <= names
    assert not [name for name in names if "a4" in name]
    assert all(path.is_file() for path in written)
    assert json.loads((tmp_path / "job" / "plan.json").read_text("utf-8"))["board"] == "Groyne"
    assert (tmp_path / "job" / "job-sheet.pdf").read_bytes().startswith(b"%PDF")


def test_nothing_is_left_where_one_paper_cannot_be_written(tmp_path):
    (tmp_path / "job" / "templates").mkdir(parents=True)
    (tmp_path / "job" / "templates" / "rocker.svg").mkdir()
    with pytest.raises(InputError, match="a folder of that name stands there"):
        write_papers(demo_plan(), tmp_path / "job", "a4", System.INCH)
    left = sorted(path.relative_to(tmp_path / "job").as_posix() for path in (tmp_path / "job").rglob("*"))
    assert left == ["templates", "templates/rocker.svg"]
