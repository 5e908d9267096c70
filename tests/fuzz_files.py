"""What the fuzz damages: a small sound file of every kind, with the command that reads it."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from pathlib import Path

import numpy as np

from foamwright.bench.belief import Made
from foamwright.bench.entries import Corrected, Noted, Stroked, Taken, Timed, Undone, Worked
from foamwright.bench.readings import Measured, Reading, Tool
from foamwright.bench.store import FolderStore
from foamwright.cli.main import main
from foamwright.cuts.run import End
from foamwright.demo import demo_path
from foamwright.shape.mesh import mesh_of
from foamwright.stages.solids import StageName
from tests.bench_jobs import job_plan, plan_bytes


def seeds(folder: Path) -> list[tuple[str, bytes, tuple[str, ...]]]:
    """Return (name, content, command) of every kind; ``FILE`` in a command stands for the damaged file."""
    board, stock = str(demo_path("groyne.board.toml")), folder / "one.stock.toml"
    stock.write_bytes(_one_blank())
    sheets = _new_sheets(folder)
    out = str(folder / "out")
    (folder / "told").mkdir()
    (folder / "told" / "plan.json").write_bytes(plan_bytes())
    assert main(["export", board, "--to", str(folder / "whole.csv")]) == 0
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
        ("told/history.jsonl", _history(folder / "told"), ("advise", "FOLDER")),
        ("a.csv", (folder / "whole.csv").read_bytes(), ("measure", "FILE", "--out", out)),
        ("a.zip", _export(folder), ("shop", "restore", "FILE", "--replace", "--database", _url(folder))),
        ("a.sqlite", _copy(folder), ("shop", "restore", "FILE", "--replace", "--database", _url(folder))),
    ]
    return found + [
        (f"a.{kind}", content, ("measure", "FILE", *unit, "--out", out)) for kind, content, unit in _meshes()
    ]


def _one_blank() -> bytes:
    """The demo's stock down to a blank that fits its board: ranking forty-seven takes most of a second."""
    head, *blanks = demo_path("harbour.stock.toml").read_text("utf-8").split("[[blank]]")
    return "[[blank]]".join([head, *(one for one in blanks if 'id = "Q-6-8-2.75"' in one)]).encode()


def _history(folder: Path) -> bytes:
    """One entry of most kinds, as the bench writes them."""
    plan = job_plan()
    faces = plan.stages[StageName.ROCKER]
    thick = plan.at(faces.deck - faces.bottom, 0.9)
    reading = Reading(StageName.ROCKER, 0.9, Measured.THICKNESS, thick + 5e-4, Tool.CALIPERS)
    events = [
        Taken(reading),
        Stroked(StageName.ROCKER, End.NOSE, Made(0.1, None, 0.0008), 3),
        Worked(StageName.OUTLINE, "saw"),
        Timed(StageName.ROCKER, 12.5),
        Noted("dry"),
        Undone(5),
        Corrected(1, Taken(replace(reading, value=thick))),
    ]
    store = FolderStore(folder, clock=lambda: "2026-01-01T00:00:00+00:00")
    store.tell(lambda _: events)
    return store.history.read_bytes()


def _new_sheets(folder: Path) -> dict[str, bytes]:
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

    mesh = mesh_of(BoardSolid(board_of(read_board(demo_path("groyne.board.toml")))), 2, 2)
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
        ("stl", stl, mm), ("text.stl", text.encode(), mm), ("obj", obj.encode(), mm),
        ("ply", ply.encode(), mm), ("binary.ply", binary, mm), ("3mf", _threemf(corners, faces), ()),
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
