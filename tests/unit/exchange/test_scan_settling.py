"""The level line and the bottom's line, once rails and contours are known."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.board.sheet import read_board
from foamwright.exchange.scan_measure import measure
from foamwright.exchange.scan_settling import settled
from foamwright.exchange.scan_tips import End
from foamwright.exchange.solids import board_body

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"


@pytest.fixture(scope="module", params=["groyne", "breakwater"])
def pair(request, posed):
    """A board, and a noisy scan of it measured."""
    board = board_of(read_board(DEMO / f"{request.param}.board.toml"))
    return board, measure(posed(board_body(board), 3).scan, lambda _: board.low_at)


def test_the_bottom_is_nearer_to_the_boards_own(pair):
    board, measured = pair
    found = settled(measured)
    x = np.linspace(0.3, board.length - 0.3, 41)
    off = found.lines.bottom(x) - board.rocker(x)
    tips = found.lines.bottom([0.0, board.length]) - board.rocker(np.array([0.0, board.length]))
    assert np.max(np.abs(off)) < 0.001
    assert np.max(np.abs(tips)) < 0.0015


def test_it_is_level_where_the_level_line_touches(pair):
    _, measured = pair
    found = settled(measured)
    assert float(found.lines.bottom(found.apex)) == pytest.approx(0.0, abs=1e-9)
    assert float(found.lines.bottom(found.apex, 1)) == pytest.approx(0.0, abs=1e-9)
    assert found.frame.axes @ found.frame.axes.T == pytest.approx(np.eye(3), abs=1e-12)


def test_a_tilt_before_it_does_not_matter(pair):
    _, measured = pair
    x = np.linspace(0.0, measured.length, 21)
    once, tilted = settled(measured), settled(measured.tilted(0.002, 0.003))
    assert tilted.lines.bottom(x) == pytest.approx(once.lines.bottom(x), abs=3e-4)


def test_a_notched_tail_is_left_as_it_is(pair):
    _, measured = pair
    notched = replace(measured, tail=replace(measured.tail, kind=End.NOTCH, depth=0.05))
    assert settled(notched) is notched
