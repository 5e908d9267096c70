"""Whatever the board: a closed mesh of its size, and (with the CAD kernel) one valid solid of its volume."""

import contextlib
import importlib.util
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.board.board import board_of
from foamwright.board.numbers import TailKind
from foamwright.errors import InputError
from foamwright.exchange.mesh_files import surface_of
from foamwright.exchange.solids import board_body, foam_body
from foamwright.exchange.step import solids_of
from foamwright.shape.solid import volume
from trade import random_board

KERNEL = importlib.util.find_spec("OCP") is not None


def boards():
    """Random boards, until every form of tail has been met twice."""
    made, seed, met = [], 0, {}
    while len(met) < 7 or min(met.values()) < 2:
        with contextlib.suppress(InputError):
            board = board_of(random_board(seed))
            kind = board.numbers.tail.kind
            met[kind] = met.get(kind, 0) + 1
            if met[kind] <= 2:
                made.append(pytest.param(board, id=f"{seed}-{kind.value.replace(' ', '-')}"))
        seed += 1
    return made


@pytest.mark.parametrize("board", boards())
def test_meshes_are_closed_and_of_the_right_size(board):
    surface = surface_of(board_body(board), 20, 12)
    low, high = surface.vertices.min(axis=0), surface.vertices.max(axis=0)
    # The rounded tips of a crescent, and a diamond's point, begin a little forward of the sharp tip.
    length = board.length - board.outline.start
    assert high[0] - low[0] == pytest.approx(length * 1000.0, abs=0.01)
    assert high[1] == pytest.approx(-low[1], abs=1e-3)
    assert 2.0 * high[1] == pytest.approx(board.numbers.wide * 1000.0, abs=0.01)
    if board.numbers.tail.kind is TailKind.BAT:
        with pytest.raises(InputError, match="Export the whole board"):
            foam_body(board, 0.004)
        return
    surface_of(foam_body(board, 0.004), 12, 8)


@pytest.mark.skipif(not KERNEL, reason="the CAD kernel is an extra")
@pytest.mark.parametrize("board", boards())
def test_solids_are_valid_and_hold_the_volume(board):
    if board.numbers.tail.kind is TailKind.BAT:
        with pytest.raises(InputError, match="no faces there yet"):
            solids_of(board_body(board))
        return
    (solid,) = solids_of(board_body(board))
    assert solid.volume == pytest.approx(board.mass.volume, rel=1e-3)
    halves = solids_of(foam_body(board, 0.004))
    assert len(halves) == 2
    assert np.sum([half.volume for half in halves]) == pytest.approx(
        volume(foam_body(board, 0.004).solid), rel=1e-3
    )
