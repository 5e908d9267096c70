"""Sticks and gauges: measured on the printed page and in the files, against the plan's own numbers."""

import io
import re
import shutil
import subprocess
import xml.etree.ElementTree as ElementTree
from itertools import pairwise

import ezdxf
import numpy as np
import pytest

from foamwright.papers.drawing import Document, Polygon, Polyline, Text
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.rack_shapes import sticks_of, thickness_marks
from foamwright.papers.style import Pen
from foamwright.papers.templates import Wording, files_of
from foamwright.papers.templates_gauges import rail_gauge
from foamwright.papers.templates_rack import gauge_template, stick_template
from foamwright.papers.templates_roll import LONGEST, Roll, measured_line, roll_sheet
from foamwright.papers.tiling import Paper, tiled
from foamwright.papers.tiling_pages import full_size_sheets
from foamwright.papers.titleblock import TitleBlock
from tests.plans import demo_plan

DPI = 300
MM_PER_PIXEL = 25.4 / DPI


@pytest.fixture(scope="module")
def sticks():
    plan = demo_plan()
    return stick_template(plan.board.name, sticks_of(plan), TitleBlock(""), Wording())


def planned(stage, face, end, length):
    """A run's stage in plan.json, mm, turned so that its chord is level and its tail end at the origin."""
    found = next(s for s in demo_plan().as_json()["stages"] if s["name"] == stage)
    x, z = np.array(found["x_m"]) * 1000, np.array(found[f"{face}_m"]) * 1000
    low, high = (0.0, length * 1000) if end == "tail" else (x[-1] - length * 1000, x[-1])
    at = np.linspace(low, high, 4001)
    level = np.interp(at, x, z)
    along = (at - at[0]) + 1j * (level - level[0])
    turned = along / (along[-1] / abs(along[-1]))
    return turned.real, turned.imag


def page_ink(folder, sheets, number):
    (folder / "sticks.pdf").write_bytes(pdf_bytes(Document("Sticks", sheets)))
    command = ["pdftoppm", "-r", str(DPI), "-gray", "-f", str(number), "-singlefile", "sticks.pdf", "page"]
    subprocess.run(command, cwd=folder, check=True)
    _, size, _, pixels = (folder / "page.pgm").read_bytes().split(b"\n", 3)
    width, height = map(int, size.split())
    return np.frombuffer(pixels, np.uint8).reshape(height, width) < 128


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm (poppler-utils) is not installed")
@pytest.mark.parametrize("part", [0, 3], ids=["rocker nose", "foil tail"])
def test_the_printed_line_is_the_stages_own(sticks, part, tmp_path):
    run = demo_plan().runs[part]
    across, up = planned(run.stage, run.face.value, run.end.value, run.length)
    full = sticks.pages[Paper.A4]
    tiling = tiled(full.drawings, Paper.A4)[part]
    tile = tiling.tiles[1]
    sheets = full_size_sheets(full, Paper.A4)
    number = next(i for i, s in enumerate(sheets, 1) if s.title.endswith(f"page {tile.place}"))
    ink = page_ink(tmp_path, sheets, number)
    window = tiling.page.window
    dx, dy = window.left - tile.window.left, window.bottom - tile.window.bottom
    missed = []
    for x in np.linspace(tile.window.left + 20.0, tile.window.right - 20.0, 23):
        wanted = float(np.interp(x, across, up))
        column = ink[::-1, round((x + dx) / MM_PER_PIXEL)]
        low = round((wanted + dy - 2.0) / MM_PER_PIXEL)
        dark = np.flatnonzero(np.diff(np.concatenate(([0], column[low : low + 48].astype(int), [0]))))
        runs = dark.reshape(-1, 2)
        thickest = runs[np.argmax(runs[:, 1] - runs[:, 0])]
        if thickest[1] - thickest[0] > 12:
            continue  # A station's tick or a touch mark stands here.
        missed.append((low + thickest.mean()) * MM_PER_PIXEL - dy - wanted)
    assert len(missed) > 15
    assert np.abs(missed).max() < 0.2


def test_sticks_differ_from_the_finished_board_by_the_allowance():
    plan = demo_plan()
    rocker = next(s for s in sticks_of(plan) if s.face.value == "bottom")
    below = plan.board.pre_contour(rocker.points[:, 0]) - rocker.points[:, 1]
    assert below == pytest.approx(plan.chain.finish, abs=2e-6)


def test_every_part_is_one_closed_line_that_does_not_meet_itself(sticks):
    plan = demo_plan()
    from foamwright.papers.plan_shapes import template_shapes

    shapes = template_shapes(plan)
    gauges = gauge_template(shapes, thickness_marks(plan), TitleBlock(""), Wording())
    for template, count in ((sticks, 4), (gauges, 1 + len(shapes.sections))):
        files = files_of(template)
        cut = ezdxf.read(io.StringIO(files[f"{template.stem}-cut.dxf"].decode())).modelspace()
        assert {(e.dxftype(), e.dxf.layer) for e in cut} == {("LWPOLYLINE", "CUT")}
        assert len(cut) == count
        space = ezdxf.read(io.StringIO(files[f"{template.stem}.dxf"].decode())).modelspace()
        edges = [e for e in space.query("LWPOLYLINE") if e.dxf.layer == "CUT"]
        assert len(edges) == count
        assert {e.dxf.layer for e in space} <= {"CUT", "ENGRAVE", "NOTE"}
        for one in space.query("LWPOLYLINE"):
            steps = np.diff(np.array([p[:2] for p in one.get_points()]), axis=0)
            assert np.hypot(*steps.T).min() > 1e-6
            turns = np.abs(steps[:-1, 0] * steps[1:, 1] - steps[:-1, 1] * steps[1:, 0])
            assert len(steps) == 1 or turns.max() > 0.0
        assert all(edge.closed for edge in edges)
        for edge in edges:
            points = np.array([p[:2] for p in edge.get_points()])
            assert np.hypot(*(np.roll(points, -1, axis=0) - points).T).min() > 1e-6
            assert not crossings(points)


def crossings(points):
    """Pairs of sides that cross, by orientation of their ends."""
    ring = np.vstack((points, points[:1]))
    sides = list(pairwise(ring))
    found = 0
    for i, (a, b) in enumerate(sides):
        c = np.array([s[0] for s in sides[i + 2 :]])
        d = np.array([s[1] for s in sides[i + 2 :]])
        if not len(c):
            continue
        one, two = turn(a, b, c) * turn(a, b, d), turn(c, d, a) * turn(c, d, b)
        found += int(((one < -1e-12) & (two < -1e-12)).sum())
    return found


def turn(a, b, c):
    return (b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (
        c[..., 0] - a[..., 0]
    )


def test_a_rail_gauge_fits_its_rail():
    plan = demo_plan()
    from foamwright.papers.plan_shapes import template_shapes

    section = template_shapes(plan).sections[4]
    (edge,) = [i for i in rail_gauge(section).items if isinstance(i, Polygon) and i.pen is Pen.OUTLINE]
    at = np.array([section.station.x])
    half = float(plan.board.half_width(at)[0])
    for share in np.linspace(1.0 - 0.055 / half, 0.999, 9):
        heights = (
            1000 * float(face(at, np.array([share]))[0, 0])
            for face in (plan.board.bottom_at, plan.board.deck_at)
        )
        for height in heights:
            ring = np.vstack((edge.points, edge.points[:1]))
            start, step = ring[:-1], np.diff(ring, axis=0)
            point = np.array([1000 * half * share, height])
            along = np.clip(((point - start) * step).sum(1) / (step**2).sum(1), 0.0, 1.0)
            assert np.hypot(*(start + along[:, None] * step - point).T).min() < 0.02


def test_thickness_is_the_plans_marks():
    plan = demo_plan()
    marks = {m.station.name: m.thickness for m in plan.marks if m.stage.value == "foil"}
    for mark in thickness_marks(plan):
        assert mark.foiled == pytest.approx(marks[mark.station.name], abs=1e-12)
        assert 0.0 < mark.finished <= mark.foiled


@pytest.mark.parametrize("roll", Roll)
def test_a_roll_holds_every_stick_whole_and_says_its_length(sticks, roll):
    full = sticks.pages[Paper.A4]
    sheet = roll_sheet(full, roll)
    assert roll.width is None or sheet.height == roll.width
    assert sheet.width <= LONGEST
    edges = [i for i in sheet.drawing.items if isinstance(i, Polygon) and i.pen is Pen.OUTLINE]
    assert len(edges) == len(full.drawings)
    boxes = [edge.box() for edge in edges]
    assert not any(a.meets(b) for i, a in enumerate(boxes) for b in boxes[i + 1 :])
    assert all(b.left > 11.9 and b.right < sheet.width - 11.9 and b.top < sheet.height - 11.9 for b in boxes)
    sizes = [(round(b.width, 6), round(b.height, 6)) for b in boxes]
    own = [part.box_of(Pen.OUTLINE) for part in full.drawings]
    assert sizes == [(round(b.width, 6), round(b.height, 6)) for b in own]
    length = measured_line(sheet.width)
    words = [i.words for i in sheet.drawing.items if isinstance(i, Text)]
    assert any(f"this line is {length:g} mm" in one for one in words)
    rules = [i.points for i in sheet.drawing.items if isinstance(i, Polyline) and i.pen is Pen.CUT]
    assert any(abs(np.ptp(run[:, 0]) - length) < 1e-9 and np.ptp(run[:, 1]) == 0.0 for run in rules)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="pdftoppm (poppler-utils) is not installed")
def test_the_line_to_measure_is_printed_as_long_as_it_says(sticks, tmp_path):
    sheet = roll_sheet(sticks.pages[Paper.A4], Roll.MM_610)
    ink = page_ink(tmp_path, (sheet,), 1)
    assert ink.shape[0] * MM_PER_PIXEL == pytest.approx(610.0, abs=0.1)
    # A little above the line only its end strokes and the crop marks beyond the margin reach.
    row = ink[ink.shape[0] - 1 - round((12.0 + 40.0 + 1.2) / MM_PER_PIXEL)]
    places = np.flatnonzero(np.diff(np.concatenate(([0], row.astype(int), [0])))).reshape(-1, 2).mean(axis=1)
    assert (places[-1] - places[0]) * MM_PER_PIXEL == pytest.approx(measured_line(sheet.width), abs=0.2)


def test_the_cutters_svg_has_the_parts_as_hairlines_at_true_size(sticks):
    root = ElementTree.fromstring(files_of(sticks)["sticks-cut.svg"])
    names = [element.tag.partition("}")[2] for element in root.iter()]
    assert names == ["svg", "title", "g", "path", "path", "path", "path"]
    assert float(root.find("{*}g").get("stroke-width")) <= 0.01
    own = [part.box_of(Pen.OUTLINE) for part in sticks.pages[Paper.A4].drawings]
    assert root.get("viewBox").split()[2] + "mm" == root.get("width")
    for path, box in zip(root.iter("{http://www.w3.org/2000/svg}path"), own, strict=True):
        assert path.get("d").endswith("Z")
        points = np.array(re.findall(r"-?[0-9.]+", path.get("d")), float).reshape(-1, 2)
        assert np.ptp(points, axis=0) == pytest.approx([box.width, box.height], abs=2e-4)
