"""A board with fins, and a workshop."""

from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials
from foamwright.board.board import board_of
from foamwright.board.fin_layouts import Layout, usual_fins
from foamwright.board.sheet import read_board
from foamwright.finish.finished import Shop
from foamwright.stations import Mark

EXAMPLE = Path(__file__).parents[3] / "examples" / "groyne-6-4.board.toml"


@pytest.fixture(scope="session")
def numbers():
    plain = read_board(EXAMPLE)
    wide = Mark(plain.wide_at, plain.wide, "wide")
    widths = sorted([*plain.outline, wide], key=lambda mark: mark.x)
    return replace(plain, fins=usual_fins(Layout.THREE, widths))


@pytest.fixture(scope="session")
def board(numbers):
    return board_of(numbers)


@pytest.fixture(scope="session")
def shop():
    return Shop(Materials(), Prices())
