"""Stops to measure: before what is left is within the doubt."""

from math import hypot, sqrt

import pytest

from benchmarks.cuts_cases import INCH, Shape, run_target
from foamwright.bay.bay import Bay, Tape
from foamwright.cuts.planner import plan_run
from foamwright.cuts.runs import Strokes
from foamwright.cuts.stops import COVERAGE, ChipDoubt, place_stops

CHIP = 0.001
TAPE = Tape(standard_error=0.0001)


def groups(count, size=1):
    return tuple(Strokes(0.1, size, CHIP) for _ in range(count))


def left_after(strokes, depth):
    left, made = [], 0.0
    for group in strokes:
        made += group.count * group.chip
        left.append(depth - made)
    return tuple(left)


def test_doubt_adds_the_common_part_straight_and_the_other_as_a_random_walk():
    assert ChipDoubt(0.3, 0.3).of([CHIP] * 4) == pytest.approx(hypot(0.3 * 4 * CHIP, 0.3 * 2 * CHIP))
    assert ChipDoubt(0.0, 0.2).of([CHIP] * 9) == pytest.approx(0.2 * CHIP * sqrt(9))


def test_stop_comes_before_the_doubt_reaches_what_is_left():
    strokes = groups(40)
    depth = 40 * CHIP
    left = left_after(strokes, depth)
    first = place_stops(strokes, depth, left, TAPE, ChipDoubt())[0]

    def doubt(made):
        return COVERAGE * hypot(ChipDoubt().of([CHIP] * made), TAPE.standard_error)

    assert depth - first.after * CHIP > doubt(first.after)
    assert depth - (first.after + 1) * CHIP <= doubt(first.after + 1)
    assert first.left_at_tip == pytest.approx(depth - first.after * CHIP)
    assert first.doubt == pytest.approx(doubt(first.after))


def test_measuring_starts_the_doubt_afresh_and_the_last_group_is_measured():
    strokes = groups(40)
    stops = place_stops(strokes, 0.04, left_after(strokes, 0.04), TAPE, ChipDoubt())
    assert 3 <= len(stops) <= 8
    assert [stop.after for stop in stops] == sorted({stop.after for stop in stops})
    assert stops[-1].after == 40
    assert stops[1].doubt < stops[0].doubt


def test_surer_chips_need_fewer_stops():
    strokes = groups(40)
    left = left_after(strokes, 0.04)
    sure = place_stops(strokes, 0.04, left, TAPE, ChipDoubt(0.02, 0.02))
    assert len(sure) < len(place_stops(strokes, 0.04, left, TAPE, ChipDoubt()))


def test_no_strokes_no_stops():
    assert place_stops((), 0.0, (), TAPE, ChipDoubt()) == ()


def test_plan_predicts_the_reading_at_each_stop():
    plan = plan_run(run_target(Shape(30.0, 1.2, 2.0, 6.0)), Bay().planes[0])
    for stop in plan.stops:
        assert stop.left_at_tip == plan.left_at_tip[stop.after - 1]
    assert plan.stops[0].left_at_tip > 0.25 * INCH


@pytest.mark.parametrize("shape", [Shape(30.0, 1.0, 1.2, -1.9), Shape(24.0, 1.2, 2.0, 1.0)])
def test_the_lowest_reading_to_go_on_from_is_never_below_the_target_at_the_next_stop(shape):
    run = plan_run(run_target(shape), Bay().planes[0])
    assert len(run.stops) > 1
    for stop, later in zip(run.stops, run.stops[1:], strict=False):
        taken = stop.left_at_tip - later.left_at_tip
        assert stop.least - taken >= -1e-12
        assert stop.least <= stop.left_at_tip
    assert run.stops[-1].least == 0.0
