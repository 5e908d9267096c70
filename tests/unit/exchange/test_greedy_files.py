"""Small files made to eat the machine: words, or an answer, in under 1 GB. One process reads them all."""

from __future__ import annotations

import io
import json
import subprocess
import sys
import zipfile

import numpy as np
import pytest

READ = """
import json, re, sys, time
from foamwright.errors import InputError
from foamwright.exchange.scan_files import read_scan
from foamwright.shop.list_files import rows_of
from foamwright.units import Unit
from pathlib import Path
for name in sys.argv[1:]:
    begun = time.process_time()
    try:
        if name.endswith(".xlsx"):
            rows_of("list", Path(name).read_bytes())
        else:
            read_scan(name, None if name.endswith(".3mf") else Unit.METRE)
        said = ""
    except InputError as why:
        said = str(why)
    # VmHWM is this program's own; what getrusage tells holds the parent's peak too, from before exec.
    peak = int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1]) / 1024
    print(json.dumps([name, said, time.process_time() - begun, peak]), flush=True)
"""


def stl(corners):
    facets = np.zeros(len(corners), np.dtype([("numbers", "<f4", (4, 3)), ("attribute", "<u2")]))
    facets["numbers"][:, 1:] = corners
    return b"\0" * 80 + np.uint32(len(corners)).tobytes() + facets.tobytes()


def slivers(count):
    """Triangles of 2 m by next to nothing."""
    chance = np.random.default_rng(4)
    corners = chance.uniform(0.0, (0.02, 0.5, 0.1), (count, 3, 3))
    corners[:, 1, 0] += 2.0
    return stl(corners)


def fine_ones():
    """A million triangles, a closed tube of board size."""
    u, v = np.meshgrid(np.linspace(0, 2 * np.pi, 501), np.linspace(0, 2.0, 1001), indexing="ij")
    grid = np.stack([v, 0.25 * np.cos(u), 0.03 * np.sin(u)], axis=-1)
    a, b, c, d = grid[:-1, :-1], grid[1:, :-1], grid[1:, 1:], grid[:-1, 1:]
    return stl(np.concatenate([np.stack([a, b, c], -2), np.stack([a, c, d], -2)]).reshape(-1, 3, 3))


def packed(name, text):
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for each, content in {name: text}.items():
            archive.writestr(each, content)
    return stream.getvalue()


def threemf(vertices, triangles, build):
    return packed(
        "3D/3dmodel.model",
        '<model unit="meter"><resources><object id="1"><mesh><vertices>'
        + '<vertex x="1" y="0" z="0"/>' * vertices
        + "</vertices><triangles>"
        + '<triangle v1="0" v2="1" v3="2"/>' * triangles
        + "</triangles></mesh></object>"
        + build
        + "</build></model>",
    )


def nested():
    """Eight objects, each of forty of the one before."""
    line = '<object id="{}"><components>{}</components></object>'
    inner = [line.format(n + 1, f'<component objectid="{n}"/>' * 40) for n in range(1, 9)]
    return "".join(inner) + '</resources><build><item objectid="9"/>'


PLACED = "</resources><build>" + '<item objectid="1"/>' * 9000
ONCE = '</resources><build><item objectid="1"/>'


def xlsx(sheet):
    from openpyxl import Workbook

    stream = io.BytesIO()
    Workbook().save(stream)
    with zipfile.ZipFile(stream) as source:
        files = {name: source.read(name) for name in source.namelist()}
    files["xl/worksheets/sheet1.xml"] = sheet
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return made.getvalue()


SHEET = (
    b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>%s</sheetData>'
    b"</worksheet>"
)
PLY = (
    b"ply\nformat %s 1.0\nelement vertex %d\nproperty float x\nproperty float y\nproperty float z\n"
    b"element face %d\nproperty list uchar int v\nend_header\n"
)

GREEDY = {
    "large-slivers.stl": (lambda: slivers(60_000), "pieces once cut"),
    "slivers.stl": (lambda: slivers(5_000), None),
    "fine.stl": (fine_ones, ""),
    "long.stl": (lambda: b"solid\n" + b"vertex 1 2 3\n" * 3_300_000, "corners as a text"),
    "many.3mf": (lambda: threemf(100, 2_000_000, ONCE), "triangles, and at most"),
    "placed.3mf": (lambda: threemf(3, 200_000, PLACED), "placed triangles"),
    "corners.3mf": (lambda: threemf(400_000, 1, PLACED), "placed vertices"),
    "nested.3mf": (lambda: threemf(3, 1, nested()), "placed objects"),
    "entities.3mf": (
        lambda: packed("3D/3dmodel.model", '<!DOCTYPE a [<!ENTITY b "c">]><model/>'),
        "declares a document type",
    ),
    "face.obj": (lambda: b"v 1 2 3\n" * 3 + b"f " + b"1 " * 8_000_000, "corners of faces"),
    "faces.obj": (lambda: b"v 1 2 3\n" * 3 + b"f 1 2 3\n" * 4_000_000, "faces, and at most"),
    "number.obj": (lambda: b"v 1 2 3\n" * 3 + b"f " + b"9" * 1_000_000 + b" 1 2\n", "not there"),
    "counts.ply": (lambda: PLY % (b"ascii", 10**11, 10**11), "vertices, and at most"),
    "digits.ply": (lambda: PLY % (b"ascii", 10**200, 1), "its header counts"),
    "cells.xlsx": (lambda: xlsx(SHEET % (b"<row>" + b"<c><v>1</v></c>" * 900_000 + b"</row>")), "more than"),
    "rows.xlsx": (lambda: xlsx(SHEET % (b"<row/>" * 6_000_000)), "more than"),
}


def test_small_files_do_not_eat_the_machine(tmp_path):
    for name, (make, _) in GREEDY.items():
        (tmp_path / name).write_bytes(make())
    command = [sys.executable, "-c", READ, *(str(tmp_path / name) for name in GREEDY)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=600, check=False)
    told = [json.loads(line) for line in done.stdout.splitlines()]
    assert (done.returncode, len(told)) == (0, len(GREEDY)), done.stderr[-2000:]
    for (path, said, seconds, peak), (name, (_, words)) in zip(told, GREEDY.items(), strict=True):
        print(f"{name:20} {seconds:6.2f} s {peak:6.0f} MB  {said.removeprefix(path)[:90]}")
        # The peak is that of all files so far.
        assert peak < 1000.0, name
        if words is not None:
            assert (words in said) if words else not said, (name, said)


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.ply", PLY % (b"ascii", 3, 200) + b"1 2\n" * 300, "fewer numbers"),
        ("a.ply", PLY % (b"ascii", 1, 1) + b"1 2 3\n3 0 0\n", "no triangles"),
        ("a.ply", PLY % (b"ascii", 1, 1) + b"1 2 3\n3 0 0 x\n", "no three numbers"),
        ("a.ply", PLY % (b"ascii", 1, 1) + b"1 2 3\n3 0 0 99999999999999999999999\n", "fewer numbers"),
        (
            "a.ply",
            PLY.replace(b"int v", b"float v") % (b"binary_little_endian", 1, 1) + b"\0" * 99,
            "unknown kind",
        ),
        (
            "a.ply",
            PLY.replace(b" z\n", b" x\n") % (b"binary_little_endian", 1, 1) + b"\0" * 99,
            "unknown kind",
        ),
        ("a.ply", b"ply\nformat \nend_header", "vertices and then faces"),
    ],
)
def test_what_a_hand_or_a_disk_spoilt_is_told(tmp_path, name, content, words):
    from foamwright.errors import InputError
    from foamwright.exchange.scan_files import read_scan
    from foamwright.units import Unit

    (tmp_path / name).write_bytes(content)
    with pytest.raises(InputError, match=words):
        read_scan(tmp_path / name, Unit.MM)


@pytest.mark.filterwarnings("error")
@pytest.mark.parametrize("value", [np.nan, np.inf, 1e30, -1e38])
def test_numbers_that_are_none_are_told_in_every_format(tmp_path, value):
    from foamwright.errors import InputError
    from foamwright.exchange.scan_files import read_scan
    from foamwright.units import Unit

    corners = np.random.default_rng(1).uniform(0, 2, (300, 3, 3))
    corners[7, 1, 2] = value
    (tmp_path / "a.stl").write_bytes(stl(corners))
    with pytest.raises(InputError, match="not finite, or beyond"):
        read_scan(tmp_path / "a.stl", Unit.METRE)
