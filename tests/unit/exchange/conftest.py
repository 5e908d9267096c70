"""A board and a blank with the board laid in it, made once."""

from pathlib import Path

import pytest

from foamwright.blank.blank import blank_of
from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.jobs.picking import pick_job, read_job

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"


@pytest.fixture(scope="session")
def board():
    return board_of(read_board(DEMO / "groyne.board.toml"))


@pytest.fixture(scope="session")
def laid(board):
    """A blank, and where the board lies in it."""
    job = read_job(DEMO / "groyne.board.toml", DEMO / "harbour.stock.toml", None)
    best = pick_job(job).best
    blank = next(blank for blank in job.blanks if blank.id == best.id)
    return blank_of(blank.numbers), best.placed
