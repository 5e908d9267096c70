"""Scans as files: every format gives the same triangles, and what is no scan is told why."""

import io
import struct
import zipfile

import numpy as np
import pytest
import trimesh

from foamwright.errors import InputError
from foamwright.exchange.scan_files import read_scan, scan_of
from foamwright.exchange.solids import BoardSolid
from foamwright.shape.mesh import mesh_of
from foamwright.units import Unit


@pytest.fixture(scope="module")
def mesh(board):
    solid = mesh_of(BoardSolid(board), 10, 6)
    return trimesh.Trimesh(solid.vertices * 1000.0, solid.faces, process=False)


def ascii_ply(mesh):
    axes = "".join(f"property double {axis}\n" for axis in "xyz")
    head = (
        f"ply\nformat ascii 1.0\nelement vertex {len(mesh.vertices)}\n{axes}element face {len(mesh.faces)}\n"
    )
    head += "property list uchar int vertex_indices\nend_header\n"
    rows = [f"{x:.9g} {y:.9g} {z:.9g}" for x, y, z in mesh.vertices]
    return (head + "\n".join([*rows, *(f"3 {a} {b} {c}" for a, b, c in mesh.faces)]) + "\n").encode()


def big_endian_ply(mesh):
    head = f"ply\nformat binary_big_endian 1.0\nelement vertex {len(mesh.vertices)}\nproperty float x\n"
    head += f"property float y\nproperty float z\nproperty uchar red\nelement face {len(mesh.faces)}\n"
    head += "property list uchar int vertex_indices\nend_header\n"
    body = b"".join(struct.pack(">fffB", *v, 7) for v in mesh.vertices)
    return head.encode() + body + b"".join(struct.pack(">Biii", 3, *f) for f in mesh.faces)


FORMATS = {
    "binary.stl": lambda mesh: mesh.export(file_type="stl"),
    "text.stl": lambda mesh: mesh.export(file_type="stl_ascii").encode(),
    "mesh.obj": lambda mesh: mesh.export(file_type="obj", include_normals=True).encode(),
    "little.ply": lambda mesh: mesh.export(file_type="ply", vertex_normal=False),
    "text.ply": ascii_ply,
    "big.ply": big_endian_ply,
}


@pytest.mark.parametrize("name", FORMATS)
def test_every_format_gives_the_same_surface(mesh, tmp_path, name):
    path = tmp_path / name
    path.write_bytes(FORMATS[name](mesh))
    scan = read_scan(path, Unit.MM)
    assert scan.areas.sum() == pytest.approx(mesh.area * 1e-6, rel=1e-5)
    middle = scan.areas @ scan.centres / scan.areas.sum()
    assert middle == pytest.approx(mesh.area_faces @ mesh.triangles_center / mesh.area / 1000.0, abs=1e-6)
    assert not scan.open_share > 0.0


def test_polygons_and_counts_from_the_end_in_obj(tmp_path):
    rows = [f"v {x} {y} {z}" for x in np.linspace(0, 2, 60) for y in (0, 0.3) for z in (0, 0.1)]
    quads = [f"f -{4 * i + 1}/1/1 -{4 * i + 2}//2 -{4 * i + 3} -{4 * i + 4}" for i in range(60)]
    path = tmp_path / "quads.obj"
    path.write_text("\n".join([*rows, *(quads * 2)]))
    assert read_scan(path, Unit.METRE).triangles == 240


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.stl", b"hello, I am a text", "neither 84 and 50 for each triangle"),
        ("a.stl", b"solid\nvertex 1 2\nendsolid", "no whole triangles"),
        ("a.stl", b"solid\nvertex 1 2 x\nvertex 1 2 3\nvertex 1 2 3\n", "no three numbers"),
        ("a.stl", b"", "are neither"),
        ("a.obj", b"v 1 2 3\n", "no vertices or no faces"),
        ("a.obj", b"v 1 2 3\nf 1 2 9\n", "names a vertex that is not there"),
        ("a.obj", b"v 1 2 3\nf one two three\n", "a face names the vertex"),
        ("a.ply", b"solid", "does not begin with a PLY header"),
        (
            "a.ply",
            b"ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nend_header\n",
            "vertices and then faces",
        ),
        (
            "a.ply",
            b"ply\nformat ascii 1.0\nelement vertex 3\nproperty float x\nelement face 2\n"
            b"property list uchar int v\nend_header\n1 2 3\n",
            "ends before its last face",
        ),
        ("a.xyz", b"1 2 3", "A scan is one of"),
    ],
)
def test_files_that_are_not_what_they_claim(tmp_path, name, content, words):
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(InputError, match=words):
        read_scan(path, Unit.MM)


def test_a_missing_file_and_a_folder(tmp_path):
    with pytest.raises(InputError, match="does not exist"):
        read_scan(tmp_path / "none.stl", Unit.MM)
    (tmp_path / "folder.stl").mkdir()
    with pytest.raises(InputError, match="is a folder"):
        read_scan(tmp_path / "folder.stl", Unit.MM)


def test_the_unit_is_asked_for_and_never_guessed(mesh):
    with pytest.raises(InputError, match=r"does not say its unit.*1.93\d m if they are mm. Say --unit"):
        scan_of(mesh.vertices, mesh.faces, None, "board.stl")
    with pytest.raises(InputError, match=r"is 49\.\d+ m long if its numbers are in; no board is"):
        scan_of(mesh.vertices, mesh.faces, Unit.INCH, "board.stl")


def test_too_few_triangles_flat_ones_and_numbers_that_are_none(mesh):
    with pytest.raises(InputError, match="holds 5 triangles"):
        scan_of(mesh.vertices, mesh.faces[:5], Unit.MM, "a.stl")
    with pytest.raises(InputError, match="is flat"):
        scan_of(mesh.vertices * (1.0, 1.0, 0.0), mesh.faces, Unit.MM, "a.stl")
    broken = mesh.vertices.copy()
    broken[3, 1] = np.nan
    with pytest.raises(InputError, match="not finite"):
        scan_of(broken, mesh.faces, Unit.MM, "a.stl")


def test_an_open_mesh_says_how_open(mesh):
    assert scan_of(mesh.vertices, mesh.faces, Unit.MM, "a").open_share == 0.0
    assert scan_of(mesh.vertices, mesh.faces[:-100], Unit.MM, "a").open_share > 0.0


HEAD = '<model unit="{unit}" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02"><resources>'


def threemf(model, name="3D/3dmodel.model"):
    """An archive with one model."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr(name, model)
    return stream.getvalue()


def model_of(mesh, unit="millimeter", scale=1.0, build='<item objectid="1"/>', more=""):
    """The text of a model that holds a mesh as object 1."""
    rows = [HEAD.format(unit=unit), '<object id="1"><mesh><vertices>']
    rows += [f'<vertex x="{x:.9g}" y="{y:.9g}" z="{z:.9g}"/>' for x, y, z in mesh.vertices * scale]
    rows += ["</vertices><triangles>"]
    rows += [f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in mesh.faces]
    rows += [f"</triangles></mesh></object>{more}</resources><build>{build}</build></model>"]
    return "".join(rows)


@pytest.mark.parametrize(("unit", "millimetres"), [("millimeter", 1.0), ("inch", 25.4), ("meter", 1000.0)])
def test_a_3mf_says_its_unit(mesh, tmp_path, unit, millimetres):
    path = tmp_path / "a.3mf"
    path.write_bytes(threemf(model_of(mesh, unit, 1.0 / millimetres)))
    scan = read_scan(path, None)
    assert scan.areas.sum() == pytest.approx(mesh.area * 1e-6, rel=1e-5)
    with pytest.raises(InputError, match="says its own unit"):
        read_scan(path, Unit.MM)


def test_a_3mf_is_what_it_builds(mesh, tmp_path):
    """A component half as large, turned a quarter and moved, in an item that is moved again."""
    inner = "0 0.5 0 -0.5 0 0 0 0 0.5 3 0 0"
    more = f'<object id="2"><components><component objectid="1" transform="{inner}"/></components></object>'
    path = tmp_path / "a.3mf"
    build = '<item objectid="2" transform="1 0 0 0 1 0 0 0 1 0 7 0"/>'
    path.write_bytes(threemf(model_of(mesh, build=build, more=more, scale=2.0)))
    scan = read_scan(path, None)
    x, y, z = (mesh.area_faces @ mesh.triangles_center / mesh.area / 1000.0).tolist()
    assert scan.areas @ scan.centres / scan.areas.sum() == pytest.approx([0.003 - y, x + 0.007, z], abs=1e-6)


BUILD = '</resources><build><item objectid="1"/></build></model>'
WORD = '<object id="1"><mesh><vertices><vertex x="one" y="0" z="0"/></vertices></mesh></object>'
LOOP = '<object id="{0}"><components>' + '<component objectid="{1}"/>' * 40 + "</components></object>"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"no archive", "no whole archive"),
        (threemf("<model/>", "other.model"), "holds no 3D/3dmodel.model"),
        (threemf("<model"), "no readable XML"),
        (threemf("<model unit='cubit'/>"), "its unit 'cubit' is none of"),
        (threemf("<!DOCTYPE a [<!ENTITY b 'c'>]><model/>"), "declares a document type"),
        (threemf("<model/>"), "builds nothing"),
        (threemf(HEAD.format(unit="inch") + LOOP.format(1, 1) + BUILD), "far more than a scan|inside itself"),
        (threemf(HEAD.format(unit="inch") + WORD + "</resources></model>"), "words for numbers"),
    ],
)
def test_what_is_no_3mf_is_told(tmp_path, content, words):
    path = tmp_path / "a.3mf"
    path.write_bytes(content)
    with pytest.raises(InputError, match=words):
        read_scan(path, None)


def test_an_archive_that_grows_without_end_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr("foamwright.exchange.scan_threemf.MOST_BYTES", 1_000_000)
    path = tmp_path / "a.3mf"
    path.write_bytes(threemf(" " * 2_000_000))
    with pytest.raises(InputError, match="would unpack to more"):
        read_scan(path, None)


def test_pieces_of_a_split_triangle_count_as_one(mesh):
    scan = scan_of(mesh.vertices, mesh.faces, Unit.MM, "a")
    assert len(scan.shares) > len(mesh.faces)
    assert scan.shares.sum() == pytest.approx(len(mesh.faces))
