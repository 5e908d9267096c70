"""The parts that job sheets are drawn from: views, lists, rails, minutes, shapes for templates."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.cuts.bands import Where
from foamwright.papers.drawing import Polygon
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job
from foamwright.papers.job_list import GroupLine, NoteLine, flowed
from foamwright.papers.job_minutes import minutes_by_step, whole_minutes
from foamwright.papers.job_page import ground_for
from foamwright.papers.job_rail_shape import section_cut
from foamwright.papers.job_strokes import run_lines, run_pages, run_sheet
from foamwright.papers.job_views import View, enlargement_for, scale_for
from foamwright.papers.job_walk import Check, WalkLine
from foamwright.papers.job_words import Figures
from foamwright.papers.plan_shapes import outline_points, section_points, template_shapes
from foamwright.papers.tiling import Paper
from tests.boards import groyne
from tests.plans import demo_plan


def lines(groups=23, stop_every=4):
    made = []
    for n in range(1, groups + 1):
        made.append(GroupLine(n, f"{n} 3/16", 1 + n % 6, "1/32", n == 1))
        if n % stop_every == 0:
            made.append(WalkLine(1, ["1", "1 3/8"], "Measure", [Check("tip", "2 7/16", "2 1/4")]))
    return made


def columns(height, count=3, width=66.0):
    return [Box(70.0 * i, 0.0, 70.0 * i + width, height) for i in range(count)]


@pytest.mark.parametrize("height", [30.0, 61.0, 88.0, 400.0])
def test_every_row_of_a_list_finds_one_place_in_order(height):
    given = lines()
    filled, rest = flowed(given, columns(height))
    placed = [row for _, rows in filled for row in rows]
    assert placed + rest == given


@pytest.mark.parametrize("height", [30.0, 44.0, 61.0, 88.0])
def test_no_column_of_a_list_is_overfull_and_no_stop_begins_one(height):
    filled, _ = flowed(lines(), columns(height))
    for box, rows in filled:
        assert sum(row.height(box.width) for row in rows) <= box.height


def test_a_sentence_stays_with_the_row_after_it():
    rows = [*lines(4, 9), NoteLine("Then from mark to mark."), *lines(3, 9)]
    height = 4.4 + sum(row.height(66.0) for row in rows[:5]) + 1.0
    filled, _ = flowed(rows, columns(height))
    assert [len(found) for _, found in filled][:2] == [4, 4]


def test_a_row_has_a_box_for_every_stroke():
    for count in (1, 6, 14):
        row = GroupLine(1, "9", count, "1/32", True)
        boxes = [item for item in row.drawn(62.0).items if isinstance(item, Polygon)]
        assert len(boxes) == count
        assert all(item.box().left >= 0.0 and item.box().right <= 62.0 for item in boxes)
        assert all(item.box().bottom >= -row.height(62.0) for item in boxes)


def test_the_largest_scale_that_fits_is_taken():
    assert scale_for(1.93, 250.0) == 8
    assert scale_for(1.93, 240.0) == 10
    assert enlargement_for(0.155, 8, 60.0) == 3
    assert enlargement_for(0.155, 8, 10.0) == 1


def test_a_view_is_true_to_its_scale_and_can_lie_bottom_up():
    view = View(10.0, 20.0, 8, -2, -1)
    assert view.x(0.8) == pytest.approx(10.0 - 100.0)
    assert view.y(0.04) == pytest.approx(20.0 - 10.0)
    assert view.scale == "1:8, heights × 2"


@pytest.mark.parametrize("name", ["groyne", "breakwater"])
def test_the_minutes_of_the_steps_are_those_of_the_choice(name):
    plan = demo_plan(name)
    assert sum(minutes_by_step(plan).values()) == pytest.approx(plan.choice.work_min, rel=1e-4)


@pytest.mark.parametrize("side", [Where.DECK, Where.BOTTOM])
@pytest.mark.parametrize("name", ["groyne", "breakwater"])
def test_flats_are_drawn_where_the_plan_puts_their_pencil_lines(name, side):
    for station in demo_plan(name).bands:
        bands = [b for b in station.bands.bands if b.side is side]
        if not bands:
            continue
        cut = section_cut(station, side)
        low = float(station.section.stage[:, 1].min())
        for flat, band in zip(cut.flats, bands, strict=True):
            assert flat.outer[1] - low == pytest.approx(band.lines[0].height, abs=1e-9)
            assert flat.inner[1] - low == pytest.approx(band.lines[1].height, abs=1e-9)
            slope = math.atan2(abs(flat.inner[1] - flat.outer[1]), abs(flat.inner[0] - flat.outer[0]))
            assert slope == pytest.approx(band.slope, abs=1e-9)


def test_all_flats_drawn_leave_the_section_of_the_plan():
    for station in demo_plan().bands:
        cut = section_cut(station, Where.BOTTOM)
        ours = {tuple(row) for row in np.round(cut.after, 9).tolist()}
        theirs = {tuple(row) for row in np.round(station.bands.outline, 9).tolist()}
        assert ours == theirs


def test_shapes_for_templates_are_the_finished_board():
    plan = demo_plan()
    board, shapes = plan.board, template_shapes(plan)
    for station in plan.stations[1:-1]:
        at = np.array([station.x])
        width = np.interp(station.x, shapes.outline[1:-1, 0], shapes.outline[1:-1, 1])
        assert width == pytest.approx(float(board.half_width(at)[0]), abs=2e-6)
        bottom = np.interp(station.x, shapes.bottom[:, 0], shapes.bottom[:, 1])
        assert bottom == pytest.approx(float(board.rocker(station.x)), abs=2e-6)
    assert len(shapes.sections) == len(plan.stations) - 2


def test_an_outline_begins_and_ends_on_the_stringer():
    points = outline_points(groyne())
    assert points[0].tolist() == [0.0, 0.0]
    assert points[-1].tolist() == [groyne().length, 0.0]
    assert points[:, 1].max() * 2 == pytest.approx(20.375 * 0.0254, abs=2e-6)


def test_a_section_runs_from_bottom_to_deck_round_the_rail():
    x = groyne().length / 2
    points = section_points(groyne(), x)
    assert points[0] == pytest.approx([0.0, float(groyne().rocker(x))], abs=1e-12)
    assert points[-1] == pytest.approx([0.0, float(groyne().deck_line(x))], abs=1e-12)
    assert points[:, 0].max() == pytest.approx(float(groyne().half_width(x)), abs=1e-12)


def test_the_tail_s_own_width_is_in_the_outline():
    points = outline_points(groyne())
    rail = points[points[:, 1] > 0.0]
    assert rail[0, 0] < 1e-4
    assert template_shapes(demo_plan()).bottom[0, 0] == 0.0


@given(st.lists(st.floats(0.0, 200.0), min_size=1, max_size=9))
@settings(max_examples=60, deadline=None, derandomize=True)
def test_whole_minutes_add_up_and_none_is_off_by_one(parts):
    whole = whole_minutes(parts)
    assert sum(whole) == round(sum(parts))
    assert all(abs(a - b) < 1.0 + 1e-9 for a, b in zip(whole, parts, strict=True))


def test_a_run_with_nothing_to_plane_has_a_page_that_says_so():
    plan = demo_plan()
    run = replace(plan.runs[0], strokes=(), stops=(), foam_down=())
    (line,) = run_lines(run_sheet(Job(plan, Figures(), ground_for(Paper.A4)), run), Figures())
    assert line.words.startswith("No stroke: what stands above the line is less than 1/32 in")
    (page,) = run_pages(Job(plan, Figures(), ground_for(Paper.A4)), run)
    assert page.purpose == "Nothing to plane here."
