"""STEP: one valid closed solid, smooth faces, the volume of the quadrature, read again by a fresh process."""

import re
import subprocess
import sys

import numpy as np
import pytest

pytest.importorskip("OCP", reason="the CAD kernel is an extra: pip install 'foamwright[cad]'")

from foamwright.errors import FaultError, InputError
from foamwright.exchange import step
from foamwright.exchange.grids import grids_of
from foamwright.exchange.solids import Body, blank_body, board_body, foam_body, inside_body, stage_body
from foamwright.exchange.step import solids_of, step_bytes, volume_of
from foamwright.shape.solid import volume
from foamwright.stages.solids import StageName, chain_of

READ_AGAIN = """
import sys
import OCP.TopAbs as kinds
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.STEPControl import STEPControl_Reader
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
reader = STEPControl_Reader()
reader.ReadFile(sys.argv[1])
reader.TransferRoots()
shape = reader.OneShape()
def count(kind):
    explorer, found = TopExp_Explorer(shape, kind), 0
    while explorer.More():
        found += 1
        explorer.Next()
    return found
properties = GProp_GProps()
BRepGProp.VolumeProperties_s(shape, properties)
corners = []
explorer = TopExp_Explorer(shape, kinds.TopAbs_EDGE)
while explorer.More():
    edge = TopoDS.Edge(explorer.Current())
    if not BRep_Tool.Degenerated_s(edge):
        curve = BRepAdaptor_Curve(edge)
        first, last = curve.FirstParameter(), curve.LastParameter()
        at = [curve.Value(first + (last - first) * i / 400) for i in range(401)]
        corners += [(point.X(), point.Y(), point.Z()) for point in at]
    explorer.Next()
xs, ys, zs = zip(*corners)
valid = int(BRepCheck_Analyzer(shape).IsValid())
print("RESULT", count(kinds.TopAbs_SOLID), count(kinds.TopAbs_SHELL), valid,
      properties.Mass(), max(xs) - min(xs), max(ys) - min(ys), max(zs))
"""


def read_again(content, folder):
    path = folder / "solid.step"
    path.write_bytes(content)
    done = subprocess.run(
        [sys.executable, "-c", READ_AGAIN, str(path)], capture_output=True, text=True, check=True, timeout=120
    )
    line = next(line for line in done.stdout.splitlines() if line.startswith("RESULT"))
    return [float(word) for word in line.split()[1:]]


def test_a_fresh_process_reads_one_valid_closed_solid_of_the_right_volume_and_size(board, tmp_path):
    solids, shells, valid, size, length, width, top = read_again(step_bytes([board_body(board)]), tmp_path)
    assert (solids, shells, valid) == (1, 1, 1)
    assert size * 1e-9 == pytest.approx(board.mass.volume, rel=1e-4)
    x = np.linspace(0.0, board.length, 20_001)
    assert length == pytest.approx(board.length * 1000.0, abs=0.01)
    assert width == pytest.approx(board.numbers.wide * 1000.0, abs=0.01)
    assert top == pytest.approx(np.max(board.deck_line(x)) * 1000.0, abs=0.01)


def test_blank_with_the_board_inside_is_two_solids(board, laid, tmp_path):
    blank, lay = laid
    bodies = [blank_body(blank), inside_body(board, lay)]
    solids, _, valid, size, *_ = read_again(step_bytes(bodies), tmp_path)
    assert (solids, valid) == (2, 1)
    assert size * 1e-9 == pytest.approx(volume(bodies[0].solid) + board.mass.volume, rel=1e-4)


def test_foam_alone_is_two_solids(board):
    halves = solids_of(foam_body(board, 0.003))
    assert [half.name for half in halves] == ["Groyne foam 1", "Groyne foam 2"]
    assert halves[0].volume == pytest.approx(halves[1].volume, rel=1e-9)
    assert sum(half.volume for half in halves) == pytest.approx(
        volume(foam_body(board, 0.003).solid), rel=1e-4
    )


@pytest.mark.parametrize("name", [name for name in StageName if name is not StageName.BLANK])
def test_every_stage_is_a_solid(board, laid, name):
    body = stage_body(board, chain_of(board, *laid, 0.0004).stage(name), 0.0004)
    (solid,) = solids_of(body)
    assert solid.volume == pytest.approx(volume(body.solid), rel=1e-3)


def test_the_same_board_gives_the_same_bytes_without_a_time(board):
    first = step_bytes([board_body(board)])
    assert first == step_bytes([board_body(board)])
    header = re.search(rb"FILE_NAME\s*\((.*?)\)\s*;", first, re.DOTALL)
    assert header is not None
    fields = re.findall(rb"'([^']*)'", header[1])
    assert fields[1:4] == [b"", b"foamwright", b""]
    assert not re.search(rb"(19|20)\d\d-\d\d-\d\d", first)
    assert b"AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }" in first[:1500]


def test_faces_are_smooth_splines_not_triangles(board):
    (solid,) = solids_of(board_body(board))
    faces = step._parts(solid.shape, "FACE")
    # One face for each smooth strip of a half in each stretch where outline and section change in one way,
    # and one for each half of the flat tail: a mesh has thousands.
    body = board_body(board)
    assert len(faces) <= 2 * len(body.strips) * (len(body.solid.panels) - 1) + 2
    assert volume_of(solid.shape) == pytest.approx(board.mass.volume, rel=1e-4)


def test_rails_are_rational_quadratics_that_keep_to_the_conic(board):
    """At a station that a face goes through, the kernel's points lie on the sheet's rail to rounding."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.TopoDS import TopoDS

    (solid,) = solids_of(board_body(board))
    found = [BRepAdaptor_Surface(TopoDS.Face(f)) for f in step._parts(solid.shape, "FACE")]
    splines = [s for s in found if str(s.GetType()).endswith("BSplineSurface")]
    rails = [s for s in splines if s.VDegree() == 2]
    # Below and above the apex, on both sides, in every panel; the groyne's fullness is a parabola's, whose
    # whole curve weighs 1: beside nothing else it need not be rational.
    assert len(rails) == 4 * (len(board_body(board).solid.panels) - 1)
    checked = 0
    for rail in rails:
        at = rail.FirstUParameter() + (rail.LastUParameter() - rail.FirstUParameter()) * 20 / 40
        points = [rail.Value(at, float(v)) for v in np.linspace(0.0, 1.0, 12)]
        x, y, z = np.array([(p.X(), abs(p.Y()), p.Z()) for p in points]).T / 1000.0
        half = board.half_width(x)
        # Where a rail stands upright its height over the distance outwards has no digits left.
        sound = y < 0.999 * half
        faces = [f(x, y[:, None])[:, 0] for f in (board.bottom, board.deck)]
        off = np.min(np.abs(np.array(faces) - z), axis=0)[sound]
        assert np.all(off < 1e-10)
        checked += off.size
    assert checked > 100


def test_points_of_the_faces_lie_on_the_board(board):
    """Between its points the drawn surface keeps to the board: checked through the kernel's own mesh."""
    from OCP.BRep import BRep_Tool
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.TopLoc import TopLoc_Location
    from OCP.TopoDS import TopoDS

    (solid,) = solids_of(board_body(board))
    BRepMesh_IncrementalMesh(solid.shape, 1.0)
    points = []
    for face in step._parts(solid.shape, "FACE"):
        mesh = BRep_Tool.Triangulation_s(TopoDS.Face(face), TopLoc_Location())
        nodes = [mesh.Node(i + 1) for i in range(mesh.NbNodes())]
        points += [(node.X(), node.Y(), node.Z()) for node in nodes]
    x, y, z = np.array(points).T / 1000.0
    inside = (np.abs(y) < 0.9 * board.half_width(x)) & (x > 0.02) & (x < board.length - 0.02)
    x, y, z = x[inside], y[inside], z[inside]
    off = [f(x, np.abs(y)[:, None])[:, 0] - z for f in (board.bottom, board.deck)]
    assert np.max(np.min(np.abs(off), axis=0)) < 1e-4


def test_without_the_kernel_it_says_what_to_install(board, monkeypatch):
    monkeypatch.setitem(sys.modules, "OCP.BRepBuilderAPI", None)
    with pytest.raises(InputError, match=r"needs the CAD kernel.*pip install 'foamwright\[cad\]'") as caught:
        step_bytes([board_body(board)])
    assert caught.value.exit_code == 2


def test_an_open_surface_is_a_fault(board):
    body = board_body(board)
    holed = Body(body.name, body.solid, body.strips[:-1])
    with pytest.raises(FaultError, match="left open"):
        solids_of(holed)


def test_neighbouring_faces_share_their_points(board):
    grids, ends = grids_of(board_body(board))
    first, second = grids[0].points, grids[2].points
    assert np.array_equal(first[:, -1], second[:, 0]) or np.max(np.abs(first[:, -1] - second[:, 0])) < 1e-12
    assert len(ends) == 2
