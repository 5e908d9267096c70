"""A sound file of every kind that a command reads, small, with the command that reads it: what the fuzz damages."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import numpy as np

from foamwright.demo import demo_path
from foamwright.shape.mesh import mesh_of
from tests.bench_jobs import plan_bytes

HISTORY = (
    b'{"number": 1, "at": "2026-01-01T00:00:00+00:00", "event": {"kind": "note", "words": "dry"}}\n'
    b'{"number": 2, "at": "2026-01-01T00:00:00+00:00", "event": {"kind": "undo", "undone": 1}}\n'
)


def seeds(folder: Path) -> list[tuple[str, bytes, tuple[str, ...]]]:
    """Return (name, content, command) of every kind; ``FILE`` in a command stands for the damaged file."""
    board, stock = str(demo_path("groyne.board.toml")), folder / "one.stock.toml"
    stock.write_bytes(_one_blank())
    sheets = _new_sheets(folder)
    out = str(folder / "out")
    (folder / "told").mkdir()
    (folder / "told" / "plan.json").write_bytes(plan_bytes())
    found = [
        ("a.board.toml", demo_path("groyne.board.toml").read_bytes(), ("check", "FILE")),
        ("a.stock.toml", _one_blank(), ("pick", board, "--stock", "FILE")),
        ("a.bay.toml", sheets["bay"], ("pick", board, "--stock", str(stock), "--bay", "FILE")),
        ("a.rider.toml", sheets["rider"], ("float", board, "--rider", "FILE")),
        ("b.rider.toml", sheets["rider"], ("brief", "FILE")),
        ("a.machine.toml", sheets["machine"], ("nest", str(folder / "order.toml"), "--machine", "FILE")),
        ("a.order.toml", sheets["order"], ("nest", "FILE")),
        ("b.machine.toml", sheets["machine"], ("wire", board, "--machine", "FILE")),
        ("job/plan.json", plan_bytes(), ("advise", "FOLDER")),
        ("told/history.jsonl", HISTORY, ("advise", "FOLDER")),
        ("a.csv", CSV, ("measure", "FILE", "--out", out)),
        ("a.zip", _export(folder), ("shop", "restore", "FILE", "--replace", "--database", _url(folder))),
        ("a.sqlite", _copy(folder), ("shop", "restore", "FILE", "--replace", "--database", _url(folder))),
    ]
    return found + [
        (f"a.{kind}", content, ("measure", "FILE", *unit, "--out", out)) for kind, content, unit in _meshes()
    ]


CSV = b"what,station,value\nwidth,12 from tail,14 1/2\nrocker,nose,4 3/4\nthickness,centre,2 5/8\n"


def _one_blank() -> bytes:
    """The demo's stock down to its first blank: ranking forty-seven takes most of a second each time."""
    text = demo_path("harbour.stock.toml").read_text("utf-8")
    head, *blanks = text.split("[[blank]]")
    return (head + "[[blank]]" + blanks[0]).encode()


def _new_sheets(folder: Path) -> dict[str, bytes]:
    from foamwright.cli.main import main

    made = {}
    for kind in ("bay", "rider", "machine", "order"):
        path = folder / f"{kind}.toml"
        assert main(["new", kind, "--out", str(path)]) == 0
        made[kind] = path.read_bytes()
    return made


def _url(folder: Path) -> str:
    return f"sqlite:///{folder / 'restored.sqlite'}"


def _filled(folder: Path):
    from foamwright.shop.database import Actor
    from foamwright.shop.opening import open_database
    from foamwright.shop.people import PersonWish, add_person

    shop = open_database(f"sqlite:///{folder / 'shop.sqlite'}")
    with shop.writing(Actor("host")) as work:
        add_person(work, PersonWish("Ada", 72.5, 1.78))
    return shop


def _export(folder: Path) -> bytes:
    from foamwright.shop.exporting import export_file

    shop = _filled(folder)
    export_file(shop, folder / "whole.zip")
    shop.close()
    return (folder / "whole.zip").read_bytes()


def _copy(folder: Path) -> bytes:
    from foamwright.shop.exporting import back_up

    shop = _filled(folder)
    back_up(shop, folder / "whole.sqlite")
    shop.close()
    return (folder / "whole.sqlite").read_bytes()


def _meshes() -> list[tuple[str, bytes, tuple[str, ...]]]:
    """One coarse board in every format of a scan."""
    from foamwright.board.board import board_of
    from foamwright.board.sheet import read_board
    from foamwright.exchange.solids import BoardSolid

    mesh = mesh_of(BoardSolid(board_of(read_board(demo_path("groyne.board.toml")))), 10, 6)
    places, faces = mesh.vertices * 1000.0, mesh.faces
    facets = np.zeros(len(faces), np.dtype([("numbers", "<f4", (4, 3)), ("attribute", "<u2")]))
    facets["numbers"][:, 1:] = places[faces]
    stl = b"\0" * 80 + np.uint32(len(faces)).tobytes() + facets.tobytes()
    corners = [" ".join(f"{v:.4f}" for v in place) for place in places]
    text = "solid a\n" + "".join(
        "facet normal 0 0 0\nouter loop\n"
        + "".join(f"vertex {corners[k]}\n" for k in face)
        + "endloop\nendfacet\n"
        for face in faces
    )
    obj = "".join(f"v {c}\n" for c in corners) + "".join(f"f {a + 1} {b + 1} {c + 1}\n" for a, b, c in faces)
    head = "ply\nformat {} 1.0\nelement vertex {}\nproperty float x\nproperty float y\nproperty float z\n"
    head += "element face {}\nproperty list uchar int vertex_indices\nend_header\n"
    ply = head.format("ascii", len(places), len(faces)) + "".join(f"{c}\n" for c in corners)
    ply += "".join(f"3 {a} {b} {c}\n" for a, b, c in faces)
    cells = np.zeros(len(faces), np.dtype([("count", "u1"), ("corners", "<i4", (3,))]))
    cells["count"], cells["corners"] = 3, faces
    binary = head.format("binary_little_endian", len(places), len(faces)).encode()
    binary += places.astype("<f4").tobytes() + cells.tobytes()
    mm = ("--unit", "mm")
    return [
        ("stl", stl, mm), ("text.stl", text.encode(), mm), ("obj", obj.encode(), mm), ("ply", ply.encode(), mm),
        ("binary.ply", binary, mm), ("3mf", _threemf(corners, faces), ()),
    ]  # fmt: skip


def _threemf(corners: list[str], faces: np.ndarray) -> bytes:
    """A 3MF that is not packed, so that damage falls on the model and not on the packing."""
    rows = ['<model unit="millimeter"><resources><object id="1"><mesh><vertices>']
    rows += ['<vertex x="{}" y="{}" z="{}"/>'.format(*corner.split()) for corner in corners]
    rows += ["</vertices><triangles>", *(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in faces)]
    rows += ['</triangles></mesh></object></resources><build><item objectid="1"/></build></model>']
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("3D/3dmodel.model", "".join(rows))
    return stream.getvalue()
