"""Meshes: closed, symmetric, and second order."""

import numpy as np
import pytest
import trimesh

from foamwright.board.board import board_of
from foamwright.shape.mesh import Mesh, mesh_of
from foamwright.shape.solid import volume
from tests.boards import groyne
from tests.superellipsoid import Superellipsoid
from tests.trade import random_board


def judged(mesh: Mesh) -> trimesh.Trimesh:
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False, validate=False)


@pytest.mark.parametrize("seed", range(24))
def test_boards_of_every_tail_are_closed(seed: int) -> None:
    board = board_of(random_board(seed))
    mesh = mesh_of(board, 12, 6)
    judge = judged(mesh)
    assert judge.is_watertight
    assert judge.is_winding_consistent
    assert judge.euler_number == 2
    assert judge.volume == pytest.approx(mesh.volume, rel=1e-12)
    assert mesh.volume == pytest.approx(volume(board), rel=0.03)
    assert np.all(judge.area_faces > 0.0)


def test_symmetry_is_exact() -> None:
    mesh = mesh_of(groyne(), 6, 4)
    flipped = mesh.vertices * np.array([1.0, -1.0, 1.0])
    assert {tuple(v) for v in mesh.vertices.tolist()} == {tuple(v) for v in (flipped + 0.0).tolist()}


def test_volume_and_area_of_a_board_come_in_with_the_square_of_the_spacing() -> None:
    board = groyne()
    meshes = [mesh_of(board, 2 * n, n) for n in (6, 12, 24, 48)]
    for errors in (
        [abs(m.volume - board.mass.volume) for m in meshes],
        [abs(m.area - board.mass.area) for m in meshes],
    ):
        orders = np.log2(np.array(errors[:-1]) / np.array(errors[1:]))
        np.testing.assert_allclose(orders, 2.0, atol=0.1)
        # What the two last meshes promise at no spacing is the solid's own number.
    volumes = [m.volume for m in meshes]
    limit = volumes[3] + (volumes[3] - volumes[2]) / 3.0
    assert limit == pytest.approx(board.mass.volume, rel=2e-6)


def test_published_icosphere_is_no_better_than_ours() -> None:
    solid = Superellipsoid(3.0, 2.0, 1.0)
    mesh = mesh_of(solid, 32, 32)
    assert judged(mesh).is_watertight
    assert mesh.volume == pytest.approx(8 * np.pi, rel=4e-3)


def test_determinism() -> None:
    first, second = mesh_of(groyne(), 5, 3), mesh_of(groyne(), 5, 3)
    np.testing.assert_array_equal(first.vertices, second.vertices)
    np.testing.assert_array_equal(first.faces, second.faces)
