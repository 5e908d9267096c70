import io
from fractions import Fraction
from itertools import pairwise

import ezdxf
import numpy as np
import pytest
from ezdxf import bbox

from foamwright.papers.drawing import Polygon, Text
from foamwright.papers.drawing_box import Box
from foamwright.papers.style import Pen
from foamwright.papers.templates import (
    StationName,
    TemplateShapes,
    Wording,
    files_of,
    outline_template,
    rocker_template,
    section_template,
    template_files,
)
from foamwright.papers.tiling import Paper
from foamwright.papers.tiling_pages import full_size_sheets
from foamwright.papers.titleblock import TitleBlock
from foamwright.units import System


def texts(drawing):
    return [item for item in drawing.items if isinstance(item, Text)]


@pytest.fixture(scope="module")
def rocker(board, block):
    return rocker_template(board, block, Wording())


@pytest.fixture(scope="module")
def sections(board, block):
    return section_template(board, block, Wording())


def dxf_extents(template):
    document = ezdxf.read(io.StringIO(files_of(template)[f"{template.stem}.dxf"].decode("utf-8")))
    assert document.audit().errors == []
    return bbox.extents(document.modelspace()), document


def test_dxf_of_the_outline_is_as_large_as_the_half_board(outline, board, numbers):
    found, document = dxf_extents(outline)
    half = board.outline[:, 1].max() * 1000
    assert tuple(found.extmin)[:2] == pytest.approx((0.0, 0.0), abs=1e-9)
    assert tuple(found.extmax)[:2] == pytest.approx((numbers.length * 1000, half), abs=1e-9)
    assert document.header["$EXTMAX"][:2] == pytest.approx((numbers.length * 1000, half), abs=1e-9)
    assert half == pytest.approx(numbers.half * 1000, abs=1e-3)


def test_dxf_of_the_rocker_is_as_long_and_high_as_the_board(rocker, board, numbers):
    found, _ = dxf_extents(rocker)
    assert tuple(found.extmin)[:2] == pytest.approx((0.0, 0.0), abs=1e-9)
    size = (numbers.length * 1000, board.deck[:, 1].max() * 1000)
    assert tuple(found.extmax)[:2] == pytest.approx(size, abs=1e-9)


def test_the_outline_drawn_is_the_board_within_a_fiftieth_of_a_millimetre(outline, numbers):
    (shape,) = [i for i in outline.geometry.items if isinstance(i, Polygon) and i.pen is Pen.OUTLINE]
    rail = shape.points[1:]
    x = np.linspace(0.0, numbers.length * 1000, 40_001)
    wanted = 1000 * numbers.half_width(x / 1000)
    drawn = np.interp(x, rail[:, 0], rail[:, 1])
    slope = np.abs(np.gradient(wanted, x))
    # Across the line: the height misses more where the tip is steep, the distance does not.
    assert (np.abs(drawn - wanted) / np.hypot(1.0, slope)).max() < 0.02
    assert shape.points[0].tolist() == pytest.approx([numbers.notch * 1000, 0.0])


@pytest.mark.parametrize("name", ["outline", "rocker"])
def test_labels_do_not_touch_each_other_nor_leave_the_box(name, request):
    template = request.getfixturevalue(name)
    labels = texts(template.geometry)
    box = template.geometry.box_of(Pen.OUTLINE)
    assert len(labels) >= 18
    assert all(box.holds(label.box(), 0.5) for label in labels)
    boxes = [label.box() for label in labels]
    assert not any(a.meets(b) for index, a in enumerate(boxes) for b in boxes[index + 1 :])


@pytest.mark.parametrize("name", ["outline", "rocker"])
def test_no_heavy_line_runs_through_a_label(name, request):
    template = request.getfixturevalue(name)
    (shape,) = [i for i in template.geometry.items if isinstance(i, Polygon) and i.pen is Pen.OUTLINE]
    edge = np.vstack((shape.points, shape.points[:1]))
    dense = np.vstack([np.linspace(a, b, 40) for a, b in pairwise(edge)])
    for label in texts(template.geometry):
        box = label.box()
        inside = (dense > [box.left, box.bottom]).all(axis=1) & (dense < [box.right, box.top]).all(axis=1)
        assert not inside.any(), label.words


def test_widths_on_the_outline_are_those_of_the_board(outline, numbers):
    words = [text.words for text in texts(outline.geometry)]
    width = float(numbers.half_width(12 * numbers.inch)) / numbers.inch
    assert f"half {in_sixteenths(width)}, full {in_sixteenths(2 * width)} in" in words


def in_sixteenths(inches):
    whole, rest = divmod(Fraction(round(inches * 16), 16), 1)
    return f"{whole} {rest}" if rest else f"{whole}"


def test_millimetres_are_written_where_they_are_wanted(board, block):
    words = [t.words for t in texts(rocker_template(board, block, Wording(System.MM)).geometry)]
    assert any("mm" in text for text in words)
    assert not any(" in" in text for text in words)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize("name", ["outline", "rocker", "sections"])
def test_pages_are_numbered_titled_and_inside_the_paper(name, paper, request):
    template = request.getfixturevalue(name)
    sheets = full_size_sheets(template.pages[paper], paper)
    short, long = paper.value
    for number, sheet in enumerate(sheets, start=1):
        assert sorted((sheet.width, sheet.height)) == [short, long]
        words = {text.words for text in texts(sheet.drawing)}
        assert f"{number} of {len(sheets)}" in words
        assert {"1:1", "100 mm", "4 in", "Groyne trial 6'4\""} <= words
        assert Box(0.0, 0.0, sheet.width, sheet.height).grown(-4.0).holds(sheet.drawing.box())


def test_pages_name_their_neighbours(outline):
    sheets = full_size_sheets(outline.pages[Paper.A4], Paper.A4)
    page = next(sheet for sheet in sheets if sheet.title.endswith("page 2-3"))
    words = {text.words for text in texts(page.drawing)}
    assert {
        "cut here, lay over page 2-2",
        "page 2-4 lies over this edge",
        "page 1-3 lies over this edge",
    } <= words
    assert {"nose this way", "rail this side, stringer below"} <= words


def test_each_section_stands_whole_on_a_page_where_the_paper_is_wide_enough(sections, board):
    sheets = full_size_sheets(sections.pages[Paper.A4], Paper.A4)
    titles = [text.words for sheet in sheets for text in texts(sheet.drawing)]
    for section in board.sections:
        assert titles.count(f"Half section, {section.station.name}") == 1


def test_every_template_in_every_format(board, block):
    names = set(template_files(board, block, Wording()))
    stems = {"outline", "rocker", "sections"}
    assert names == {
        s + end
        for s in stems
        for end in ("-a4.pdf", "-letter.pdf", "-a3.pdf", ".svg", ".dxf", "-cut.svg", "-cut.dxf")
    }


def test_a_board_without_sections_has_two_templates():
    x = np.linspace(0.0, 1.5, 301)
    outline = np.column_stack((x, 0.25 * np.sqrt(np.clip(1 - (2 * x / 1.5 - 1) ** 2, 0, 1))))
    bottom, deck = np.column_stack((x, 0 * x)), np.column_stack((x, 0.05 + 0 * x))
    shapes = TemplateShapes("Round", 1.5, outline, bottom, deck, (StationName(0.75, "centre"),))
    files = template_files(shapes, TitleBlock(""), Wording())
    assert len(files) == 14
    assert outline_template(shapes, TitleBlock(""), Wording()).geometry.box_of(Pen.OUTLINE).height == 250.0


def test_labels_keep_clear_at_narrow_tips_and_where_stations_crowd():
    x = np.linspace(0.0, 1.5, 3001)
    half = 0.24 * np.sqrt(np.clip(1 - (2 * x / 1.5 - 1) ** 2, 0, 1)) ** 1.4
    flat = np.column_stack((x, 0 * x))
    places = (0.008, 0.02, 0.05, 0.6, 0.604, 0.61, 0.75, 1.46, 1.49)
    stations = tuple(StationName(place, f"{place * 1000:.0f} mm from tail") for place in places)
    shapes = TemplateShapes(
        "Pin", 1.5, np.column_stack((x, half)), flat, flat + np.array([0.0, 0.05]), stations
    )
    geometry = outline_template(shapes, TitleBlock(""), Wording(System.MM)).geometry
    labels = texts(geometry)
    boxes = [label.box() for label in labels]
    touching = [
        (labels[i].words, labels[j].words)
        for i, a in enumerate(boxes)
        for j, b in enumerate(boxes)
        if i < j and a.meets(b)
    ]
    assert touching == []
    assert all(label.height > 2.3 for label in labels)
    for label, box in zip(labels[:-2], boxes[:-2], strict=True):
        inside = (x * 1000 > box.left) & (x * 1000 < box.right)
        crossed = (half[inside] * 1000 > box.bottom) & (half[inside] * 1000 < box.top)
        assert not crossed.any(), label.words


@pytest.mark.parametrize("system", System)
def test_no_label_is_shortened_on_a_board_with_little_rocker(system):
    x = np.linspace(0.0, 2.9, 2001)
    half = 0.29 * np.sqrt(np.clip(1 - (2 * x / 2.9 - 1) ** 2, 0, 1))
    bottom = np.column_stack((x, 0.3 * np.abs(x / 2.9 - 0.45) ** 2.4))
    deck = bottom + np.column_stack((0 * x, 0.012 + 0.066 * np.sin(np.pi * x / 2.9) ** 0.8))
    stations = tuple(
        StationName(place, f"{place * 1000:.0f} mm from tail") for place in (0.0, 0.1, 0.3, 1.45, 2.6, 2.9)
    )
    shapes = TemplateShapes("Long", 2.9, np.column_stack((x, half)), bottom, deck, stations)
    geometry = rocker_template(shapes, TitleBlock(""), Wording(system)).geometry
    labels = texts(geometry)
    assert not any("…" in label.words for label in labels)
    assert sum(label.words.startswith("rocker ") for label in labels) == len(stations)
    assert geometry.box_of(Pen.OUTLINE, Pen.LEVEL).holds(geometry.box(), 0.5)
