"""Patches of a board's surface lie on the board, and cover it once."""

from itertools import pairwise

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.board.patches import Part, Rail
from foamwright.shape.mesh import mesh_of
from foamwright.shape.quadrature import low_share
from tests.boards import groyne
from tests.trade import random_board

T = np.linspace(0.0, 1.0, 21)
BOARDS = [groyne(), *(board_of(random_board(seed)) for seed in range(8))]


@pytest.mark.parametrize("board", BOARDS, ids=lambda board: board.numbers.tail.kind.value)
def test_patches_lie_on_the_faces(board) -> None:
    x = np.linspace(0.02, 0.98, 60) * board.length
    for patch in board.patches():
        share, height = patch(x, T)
        face = board.deck_at if patch.deck else board.bottom_at
        # Heights over shares lose digits where a rail stands upright; points by what is left do not.
        sound = share < 1.0 - 1e-6
        np.testing.assert_allclose(height[sound], face(x, share)[sound], rtol=0, atol=1e-9)
        assert np.all(share >= low_share(board, x)[:, None] - 1e-12)
        assert np.all(share <= 1.0 + 1e-12)


@pytest.mark.parametrize("board", BOARDS[:3], ids=lambda board: board.numbers.tail.kind.value)
def test_patches_meet(board) -> None:
    x = np.linspace(0.05, 0.95, 30) * board.length
    for deck in (False, True):
        around = [np.array(patch(x, T)) for patch in board.patches() if patch.deck is deck]
        for inner, outer in pairwise(around):
            np.testing.assert_allclose(inner[:, :, -1], outer[:, :, 0], rtol=0, atol=1e-12)
        np.testing.assert_allclose(around[0][0, :, 0], low_share(board, x), rtol=0, atol=1e-12)
    low, high = (np.array(p(x, T)) for p in board.patches() if isinstance(p, Rail))
    np.testing.assert_allclose(low[:, :, -1], high[:, :, -1], rtol=0, atol=1e-12)


@pytest.mark.parametrize("board", BOARDS, ids=lambda board: board.numbers.tail.kind.value)
def test_area_is_what_meshes_come_to(board) -> None:
    coarse, fine = mesh_of(board, 40, 20).area, mesh_of(board, 80, 40).area
    assert fine + (fine - coarse) / 3.0 == pytest.approx(board.mass.area, rel=2e-5)


def test_kinds_of_patch() -> None:
    kinds = [type(patch) for patch in groyne().patches()]
    assert kinds == [Part, Rail, Part, Rail]
