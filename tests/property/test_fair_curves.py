"""A thousand random trade-like boards: every number met, no bend that the numbers do not ask for.

A bend is unwanted when the curve turns it more often than the straight chords between its given numbers do
(the greatest width or thickness among them): then the numbers themselves did not ask for it.
"""

import numpy as np
import pytest

from foamwright.board.board import Board, board_of
from tests.trade import random_board

BOARDS, BATCH = 1000, 50
SEEN = 1e-6
"""Share of the strongest bend under which a curve counts as straight."""


def turns(bend: np.ndarray, floor: float) -> int:
    seen = bend[np.abs(bend) > floor]
    return int(np.sum(np.diff(np.sign(seen)) != 0))


def asked_for(pairs: list[tuple[float, float]]) -> int:
    x, y = np.array(sorted(set(pairs))).T
    return turns(np.diff(np.diff(y) / np.diff(x)), 1e-9)


def check_rocker(board: Board, x: np.ndarray) -> None:
    bend = board.rocker(x, 2)
    assert np.min(bend) >= -SEEN * np.max(bend)
    assert np.min(board.rocker(x)) >= -1e-12
    assert abs(float(board.rocker(board.low_at))) <= 1e-9
    assert max(abs(float(board.rocker(m.x)) - m.value) for m in board.numbers.rocker) <= 1e-9


def check_foil(board: Board, x: np.ndarray) -> None:
    numbers, bend = board.numbers, board.thickness(x, 2)
    given = [(m.x, m.value) for m in numbers.thickness]
    assert turns(bend, SEEN * np.max(np.abs(bend))) <= asked_for(
        [*given, (board.thickest_at, numbers.thickest)]
    )
    assert np.max(board.thickness(x)) <= numbers.thickest + 1e-9
    assert max(abs(float(board.thickness(a)) - b) for a, b in given) <= 1e-9


def check_outline(board: Board, x: np.ndarray) -> None:
    numbers, side = board.numbers, board.outline.side
    given = [(max(m.x, side.start), m.value) for m in numbers.outline if m.x == 0.0 or m.x > side.start]
    inside = x[(x > side.start + 1e-3) & (x < board.length - 1e-3)]
    bend = side.bend(inside)
    asked = asked_for([*given, (board.outline.wide_at, numbers.wide)])
    assert turns(bend, SEEN * np.max(np.abs(bend))) <= asked
    assert np.max(board.half_width(x)) <= numbers.wide / 2.0 + 1e-9
    assert max(abs(2.0 * float(side(np.array(a))) - b) for a, b in given) <= 1e-9


@pytest.mark.parametrize("batch", range(BOARDS // BATCH))
def test_no_unwanted_bend(batch: int) -> None:
    for seed in range(batch * BATCH, (batch + 1) * BATCH):
        # Every one of them has a fair board; an InputError here would be a number refused without cause.
        board = board_of(random_board(seed))
        x = np.linspace(0.0, board.length, 2001)
        check_rocker(board, x)
        check_foil(board, x)
        check_outline(board, x)


def test_the_check_can_fail() -> None:
    x = np.linspace(0.0, 1.0, 100)
    assert turns(np.sin(12.0 * x), SEEN) == 3
    assert asked_for([(0.0, 0.0), (1.0, 1.0), (2.0, 1.1), (3.0, 3.0)]) == 1
