"""Paper and point sizes against values from outside; numbers and sources stand in data/paper.toml."""

import tomllib
from pathlib import Path

import pytest

from foamwright.papers.pdf import POINTS_PER_MM
from foamwright.papers.tiling import Paper

VALUES = tomllib.loads((Path(__file__).parent / "data" / "paper.toml").read_text("utf-8"))


def test_a4_is_as_iso_216_has_it() -> None:
    assert list(Paper.A4.value) == VALUES["iso216_a4"]["value"]


def test_letter_is_ansi_a() -> None:
    assert [side / 25.4 for side in Paper.LETTER.value] == pytest.approx(VALUES["ansi_a"]["value"], abs=1e-12)


def test_points_of_the_pdf() -> None:
    assert pytest.approx(VALUES["mm_points"]["value"], abs=VALUES["mm_points"]["tol"]) == POINTS_PER_MM
    sides = [side * POINTS_PER_MM for side in Paper.A4.value]
    assert sides == pytest.approx(VALUES["a4_points"]["value"], abs=VALUES["a4_points"]["tol"])
