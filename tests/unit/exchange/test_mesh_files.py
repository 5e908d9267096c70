"""Meshes as other programs read them: closed, the right size, the right volume, the same every time."""

import io
import shutil
import subprocess
import zipfile
from itertools import pairwise

import numpy as np
import pytest
import trimesh

from foamwright.board.board import board_of
from foamwright.exchange.mesh_files import obj_bytes, stl_bytes, surface_of, threemf_bytes
from foamwright.exchange.solids import blank_body, board_body, foam_body, inside_body, stage_body
from foamwright.shape.solid import volume
from foamwright.stages.solids import StageName, chain_of
from tests.trade import random_board

COARSE = (14, 10)
WRITERS = {"stl": stl_bytes, "obj": obj_bytes, "3mf": threemf_bytes}


@pytest.fixture(scope="module")
def surfaces(board, laid):
    blank, lay = laid
    chain = chain_of(board, blank, lay, 0.0004)
    made = {
        "board": [surface_of(board_body(board))],
        "foam": [surface_of(foam_body(board, 0.003), *COARSE)],
        "blank": [surface_of(blank_body(blank), *COARSE), surface_of(inside_body(board, lay), *COARSE)],
    }
    for name in (StageName.OUTLINE, StageName.CONTOURS, StageName.RAILS):
        made[name] = [surface_of(stage_body(board, chain.stage(name), 0.0004), *COARSE)]
    return made


def read_back(content, kind):
    loaded = trimesh.load(io.BytesIO(content), file_type=kind)
    return loaded.to_mesh() if hasattr(loaded, "to_mesh") else loaded


@pytest.mark.parametrize("kind", WRITERS)
@pytest.mark.parametrize("what", ["board", "foam", "blank", "outline", "contours", "rails"])
def test_another_reader_finds_it_closed(surfaces, kind, what):
    mesh = read_back(WRITERS[kind](surfaces[what]), kind)
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert mesh.volume > 0.0


@pytest.mark.parametrize("kind", WRITERS)
def test_sizes_are_right_to_a_hundredth_of_a_millimetre(surfaces, board, kind):
    low, high = read_back(WRITERS[kind](surfaces["board"]), kind).bounds
    x = np.linspace(0.0, board.length, 100_001)
    assert high[0] - low[0] == pytest.approx(board.length * 1000.0, abs=0.01)
    assert high[1] - low[1] == pytest.approx(board.numbers.wide * 1000.0, abs=0.01)
    assert high[2] == pytest.approx(np.max(board.deck_line(x)) * 1000.0, abs=0.01)
    assert low[2] == pytest.approx(np.min(board.pre_contour(x)) * 1000.0, abs=0.01)


def test_volume_comes_to_the_quadrature(surfaces, board):
    mesh = read_back(stl_bytes(surfaces["board"]), "stl")
    assert mesh.volume * 1e-9 == pytest.approx(board.mass.volume, rel=1e-3)


def test_foam_alone_is_two_halves_that_do_not_touch(surfaces, board):
    halves = read_back(threemf_bytes(surfaces["foam"]), "3mf").split()
    assert len(halves) == 2
    assert sorted(
        round(half.bounds[0][1] if half.bounds[0][1] > 0 else half.bounds[1][1], 6) for half in halves
    ) == [
        -1.5,
        1.5,
    ]
    solid = foam_body(board, 0.003).solid
    assert sum(half.volume for half in halves) * 1e-9 == pytest.approx(volume(solid), rel=1e-2)


def test_the_board_lies_inside_the_blank_of_its_file(surfaces, laid):
    blank, inside = surfaces["blank"]
    low, high = blank.vertices.min(axis=0), blank.vertices.max(axis=0)
    assert np.all(inside.vertices.min(axis=0) > low)
    assert np.all(inside.vertices[:, :2].max(axis=0) < high[:2])
    x, _, z = inside.vertices.T / 1000.0
    assert np.min(z - laid[0].bottom(x)) > 0.0
    assert np.max(z - laid[0].deck(x)) < 0.0


def test_stages_shrink(surfaces):
    volumes = [
        read_back(stl_bytes(surfaces[name]), "stl").volume for name in ("outline", "contours", "rails")
    ]
    assert all(after < before for before, after in pairwise(volumes))


def test_stl_has_the_published_layout(surfaces):
    content = stl_bytes(surfaces["board"])
    count = int(np.frombuffer(content, "<u4", 1, 80)[0])
    assert len(content) == 84 + 50 * count
    assert count == surfaces["board"][0].faces.shape[0]
    facets = np.frombuffer(content[84:], np.dtype([("n", "<f4", (4, 3)), ("a", "<u2")]))
    normals, corners = facets["n"][:, 0].astype(float), facets["n"][:, 1:].astype(float)
    turned = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    assert np.min(np.sum(normals * turned, axis=1)) >= 0.0


def test_3mf_says_millimetre_and_carries_no_time(surfaces):
    content = threemf_bytes(surfaces["blank"])
    assert content == threemf_bytes(surfaces["blank"])
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        model = archive.read("3D/3dmodel.model").decode()
    assert 'unit="millimeter"' in model
    assert model.count("<object ") == 2


@pytest.mark.skipif(shutil.which("admesh") is None, reason="admesh is not installed (Debian: admesh)")
@pytest.mark.parametrize("what", ["board", "foam", "outline", "rails"])
def test_admesh_finds_nothing_to_repair(surfaces, tmp_path, what):
    path = tmp_path / "body.stl"
    path.write_bytes(stl_bytes(surfaces[what]))
    said = subprocess.run(
        ["admesh", "--exact", str(path)], capture_output=True, check=True, timeout=60
    ).stdout.decode("latin-1")
    found = {line.split(":")[0].strip(): line.split(":")[1] for line in said.splitlines() if ":" in line}
    for trouble in ("Total disconnected facets", "Degenerate facets", "Facets removed", "Facets reversed"):
        assert set(found[trouble].split()) <= {"0"}, (trouble, found[trouble])


@pytest.mark.parametrize(("seed", "steps"), [(27, (40, 30)), (28, (40, 30)), (27, (84, 4))])
def test_slivers_at_a_pointed_tip_leave_it_closed(seed, steps):
    """Diamonds in whose tip places of both sides fall together at the file's decimals."""
    surface = surface_of(board_body(board_of(random_board(seed))), *steps)
    edges = np.sort(surface.faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    _, times = np.unique(edges, axis=0, return_counts=True)
    assert np.all(times == 2)
