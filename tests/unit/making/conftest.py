"""A board and its close-cut blank, made once."""

from pathlib import Path

import pytest

from foamwright.bay.machine import WireMachine
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.making.closecut import CloseCut, close_cut

EPS = Foam(FoamFamily.EPS, 20.0)
DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo" / "groyne.board.toml"


@pytest.fixture(scope="session")
def board() -> Board:
    return board_of(read_board(DEMO))


@pytest.fixture(scope="session")
def cut(board) -> CloseCut:
    return close_cut(board, EPS, Stringer("basswood", 0.003))


@pytest.fixture(scope="session")
def machine() -> WireMachine:
    return WireMachine()
