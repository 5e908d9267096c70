"""One rounding of a fin box's lengths: never more foam than there is, the same on screen and on paper."""

from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials
from foamwright.board.board import board_of
from foamwright.board.numbers import FinMark
from foamwright.board.sheet import read_board
from foamwright.cli.commands.finish import _lines
from foamwright.finish.boxes import box_fits
from foamwright.finish.finished import Shop, check_boxes
from foamwright.jobs.finish import finish_of
from foamwright.papers.job_words import Figures
from foamwright.papers.pages_fins import _row
from foamwright.units import INCH, System

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"
COVER = 6.35e-3
SHORT = 0.533e-3


@pytest.fixture(scope="module")
def thin():
    """A board with one box whose worst corner keeps 5.817 mm where 1/4 in must remain."""
    plain = read_board(EXAMPLE)
    deeper = FinMark("left", 6.17 * INCH, 4.1 * INCH, 0.05, 0.1, 0.114, 0.0254, 0.0127, COVER)
    for _ in range(20):  # the box leans, so its depth is found, not computed
        (fit,) = box_fits(board_of(replace(plain, fins=(deeper,))))
        deeper = replace(deeper, box_depth=deeper.box_depth + fit.worst.above - (COVER - SHORT))
    board = board_of(replace(plain, fins=(deeper,)))
    return finish_of(board, Shop(Materials(), Prices()), 75.0, System.INCH)


def test_the_warning_never_says_that_what_is_kept_is_what_is_needed(thin):
    (fit,) = thin.finished.boxes
    assert fit.worst.above == pytest.approx(5.817e-3, abs=1e-8)
    (inches,) = check_boxes(thin.finished.boxes, System.INCH)
    (millimetres,) = check_boxes(thin.finished.boxes, System.MM)
    assert "keeps only 7/32 in of foam; 1/4 in must remain" in inches.sentence
    assert "keeps only 5.8 mm of foam; 6.4 mm must remain" in millimetres.sentence


@pytest.mark.parametrize("system", list(System))
def test_screen_and_paper_say_the_same(thin, system):
    (fit,) = thin.finished.boxes
    paper = _row(fit, Figures(system))
    line = next(line for line in _lines(thin, system) if line.startswith("left "))
    screen = [cell.strip().removesuffix(f" {system}") for cell in line.split("  ") if cell.strip()]
    assert screen == [paper[0], paper[1], paper[2], paper[7], paper[8]]
