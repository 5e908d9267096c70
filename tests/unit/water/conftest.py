"""One board and one rider for the tests of the water."""

from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.sheets.rider import Experience, Lungs, RiderNumbers, Water
from foamwright.water.afloat import craft_of
from foamwright.water.body import body_of

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"


@pytest.fixture(scope="session")
def board():
    return board_of(read_board(EXAMPLE))


@pytest.fixture(scope="session")
def craft(board):
    return craft_of(board, 3.0)


@pytest.fixture(scope="session")
def rider():
    return RiderNumbers("Mara", 70.0, 1.74, Experience.ADVANCED, Lungs.RESTING, Water(15.0, 35.0))


@pytest.fixture(scope="session")
def body(rider):
    return body_of(rider)


@pytest.fixture(scope="session")
def heavy(rider):
    return body_of(replace(rider, mass=200.0, lungs=Lungs.EMPTY))
