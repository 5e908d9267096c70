"""Notched tails against a boolean of solids that knows nothing of height fields beside a notch."""

from dataclasses import replace

import manifold3d
import numpy as np
import pytest
import trimesh

from foamwright.board.board import Board, board_of
from foamwright.board.numbers import Tail, TailKind
from foamwright.board.tail_forms import tail_of
from foamwright.exchange.solids import BoardSolid, board_body
from foamwright.finish.areas import skin_of
from foamwright.planning.ends import ends_of
from foamwright.shape.mesh import Mesh, mesh_of
from foamwright.shape.solid import volume
from foamwright.units import INCH
from foamwright.water.columns import columns_of
from tests.boards import GROYNE, marks

WIDTHS = marks((0, 9), (12, 15.5), (64, 12.125), (76, 0))
TALL = 10 * INCH


def notched(kind: TailKind, **given: float) -> Board:
    tail = tail_of(kind, 9 * INCH, {key: value * INCH for key, value in given.items()})
    return board_of(replace(GROYNE, outline=WIDTHS, tail=tail))


BOARDS = [
    notched(TailKind.SWALLOW),
    notched(TailKind.SWALLOW, tail_depth=5.5, tail_tip_width=1.5, tail_crack_bow=0.25, tail_corner=0.75),
    notched(TailKind.CRESCENT),
    notched(TailKind.BAT),
    notched(TailKind.BAT, tail_point=0.5, tail_depth=1.25),
]


def solid(mesh: Mesh) -> manifold3d.Manifold:
    triangles = mesh.faces.astype(np.uint32)
    return manifold3d.Manifold(manifold3d.Mesh(mesh.vertices.astype(np.float32), triangles))


class Filled(BoardSolid):
    """The same faces over an outline without its notch."""

    def inner(self, x: np.ndarray) -> np.ndarray:
        return np.zeros_like(x)

    def core(self, x: np.ndarray) -> np.ndarray:
        return np.zeros_like(x)


def void(board: Board) -> list[manifold3d.Manifold]:
    """What a saw takes: upright prisms over the notch's own edges, as polygons of many sides."""
    x = np.linspace(board.outline.start, np.nextafter(board.outline.foot, 0.0), 801)
    inner, core = board.inner(x), board.core(x)
    edge = np.column_stack([x, inner])
    back = np.column_stack([x, core])[::-1]
    # Aft of the board the saw runs free.
    half = np.vstack([edge, back, [[x[0] - INCH, core[0]], [x[0] - INCH, inner[0]]]])
    prisms = []
    for side in (1.0, -1.0):
        ring = half * np.array([1.0, side])
        section = manifold3d.CrossSection([ring], manifold3d.FillRule.NonZero)
        prisms.append(section.extrude(2 * TALL).translate([0.0, 0.0, -TALL]))
    return prisms


@pytest.mark.parametrize("board", BOARDS, ids=lambda board: board.outline.tail.kind.value)
def test_volume_and_area_are_those_of_a_whole_tail_less_its_notch(board: Board) -> None:
    if board.outline.tail.kind is TailKind.CRESCENT:
        pytest.skip("a crescent's rounded tips are no whole tail of the same faces")
    cut = solid(mesh_of(Filled(board), 28, 7))
    for prism in void(board):
        cut = cut - prism
    # Meshes of this spacing are some 1e-3 of the volume short, the notched and the whole alike.
    whole = Filled(board)
    short = mesh_of(whole, 28, 7).volume / volume(whole, 32, 16)
    assert cut.volume() / short == pytest.approx(board.mass.volume, rel=1e-4)
    assert cut.surface_area() == pytest.approx(board.mass.area, rel=1e-3)


@pytest.mark.parametrize("board", BOARDS, ids=lambda board: board.outline.tail.kind.value)
def test_water_skin_and_stringer_know_what_stands_in_a_notch(board: Board) -> None:
    # What the notch cuts of a section's parts changes with it inside a panel: quadratures agree to that.
    assert volume(board) == pytest.approx(board.mass.volume, rel=5e-6)
    assert columns_of(board).volume == pytest.approx(board.mass.volume, rel=5e-6)
    skin, mesh = skin_of(board), mesh_of(BoardSolid(board), 28, 7)
    # The profile and the way round, from the mesh: cut at the stringer, and seen from above.
    profile = solid(mesh).rotate([90.0, 0.0, 0.0]).slice(1e-5)
    assert profile.area() == pytest.approx(skin.stringer, rel=2e-3)
    shadow = solid(mesh).project()
    ways = sum(
        np.sum(np.linalg.norm(np.diff(ring, axis=0, append=ring[:1]), axis=1))
        for ring in shadow.to_polygons()
    )
    assert ways == pytest.approx(skin.around, rel=2e-3)


@pytest.mark.parametrize("board", BOARDS, ids=lambda board: board.outline.tail.kind.value)
def test_meshes_are_closed_and_in_one_piece(board: Board) -> None:
    mesh = mesh_of(BoardSolid(board), 16, 8)
    judge = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False, validate=False)
    assert judge.is_watertight
    assert judge.is_winding_consistent
    assert len(judge.split()) == 1


def test_the_step_solid_of_a_crescent_is_closed_and_holds_the_volume() -> None:
    board = BOARDS[2]
    step = pytest.importorskip("foamwright.exchange.step")
    pytest.importorskip("OCP")
    (body,) = step.solids_of(board_body(board))
    # A hundredth of a percent is what is promised; rails are exact conics at their stations, splines between.
    assert body.volume == pytest.approx(board.mass.volume, rel=1e-4)


def test_a_notch_is_sawn_last_and_its_tips_are_read_where_foam_is() -> None:
    for board in BOARDS:
        notch = ends_of(board)["notch"]
        assert notch["cut"] == "last"
        x, y = np.array([board.outline.start + notch["read"]["from_tip_m"]]), notch["read"]["from_stringer_m"]
        assert board.inner(x)[0] < y < board.half_width(x)[0]
    assert ends_of(board_of(replace(GROYNE, tail=Tail(TailKind.SQUARE)))) == {}
