"""Laws of strokes and of planned run-offs."""

import json
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmarks.cuts_cases import INCH, Shape, bulging, hollow, run_target
from foamwright.bay.bay import Bay, Plane
from foamwright.cuts.planner import plan_run
from foamwright.cuts.reach import SKEWS_DEG, find_reach, lowest_surface
from foamwright.cuts.replay import replay
from foamwright.cuts.runs import Strokes
from foamwright.cuts.simulation import Edge, Workpiece
from foamwright.cuts.stage_runs import plan_with_bay

JACK, BLOCK = Bay().planes[:2]
QUICK = settings(max_examples=60, deadline=None, derandomize=True)

seeds = st.integers(0, 2**32 - 1)


def face(seed, n=120):
    """A random face: a bend, waves and steps, 15 in long."""
    random = np.random.default_rng(seed)
    x = np.linspace(0.0, 15.0 * INCH, n)
    bend = -(x**2) / (2.0 * random.uniform(-8.0, 8.0))
    waves = 0.002 * np.sin(x * random.uniform(5.0, 60.0) + random.uniform(0.0, 6.0))
    steps = 0.0008 * np.floor(x / random.uniform(0.02, 0.2))
    return x, bend + random.choice([0.0, 1.0]) * waves - random.choice([0.0, 1.0]) * steps


def stroke(seed):
    random = np.random.default_rng(seed + 1)
    skew = float(random.choice(SKEWS_DEG))
    return Strokes(random.uniform(0.0, 16.0) * INCH, 1, random.uniform(0.1, 1.0) * INCH / 32, skew)


@QUICK
@given(seeds)
def test_a_stroke_takes_between_nothing_and_one_chip_and_only_from_its_start_on(seed):
    x, before = face(seed)
    made = stroke(seed)
    taken = before - Workpiece(x, JACK).after_stroke(before, made)
    assert taken.min() >= 0.0
    assert taken.max() <= made.chip + 1e-15
    assert not taken[x < x[-1] - made.start_from_tip - 1e-9].any()


@QUICK
@given(seeds)
def test_a_higher_face_is_never_left_lower(seed):
    x, low = face(seed)
    high = low + 0.001 * np.random.default_rng(seed).uniform(size=x.size)
    work, made = Workpiece(x, JACK), stroke(seed)
    assert (work.after_stroke(high, made) >= work.after_stroke(low, made) - 1e-15).all()


@QUICK
@given(seeds)
def test_a_longer_sole_never_cuts_deeper(seed):
    x, before = face(seed)
    made = Strokes(x[-1], 1, INCH / 64)
    long = Plane("long", 2 * BLOCK.sole, 2 * BLOCK.mouth, BLOCK.width, BLOCK.iron, BLOCK.chips)
    assert (
        Workpiece(x, long).after_stroke(before, made)
        >= Workpiece(x, BLOCK).after_stroke(before, made) - 1e-15
    ).all()


@QUICK
@given(seeds)
def test_cautious_reading_of_the_sole_never_cuts_less(seed):
    x, before = face(seed, n=121)
    made = stroke(seed)
    sure = Workpiece(x, JACK, Edge.SLIPS).after_stroke(before, made)
    assert (sure <= Workpiece(x, JACK).after_stroke(before, made) + 1e-15).all()


@QUICK
@given(seeds, st.floats(-0.2, 0.2), st.floats(0.5, 4.0))
def test_a_stroke_does_not_care_for_tilt_or_scale(seed, slope, scale):
    x, before = face(seed)
    made = stroke(seed)
    plain = Workpiece(x, JACK).after_stroke(before, made)
    tilted = Workpiece(x, JACK).after_stroke(before + slope * x, made)
    assert np.abs(tilted - slope * x - plain).max() < 1e-14
    big = Plane(
        "big", scale * JACK.sole, scale * JACK.mouth, scale * JACK.width, scale * JACK.iron, JACK.chips
    )
    grown = Strokes(scale * made.start_from_tip, 1, scale * made.chip, made.skew_deg)
    assert np.abs(Workpiece(scale * x, big).after_stroke(scale * before, grown) - scale * plain).max() < 1e-13


def _plan_holds(target, plane):
    plan = plan_run(target, plane)
    heights = replay(json.loads(json.dumps(plan.as_json())))
    assert np.abs(heights - plan.predicted).max() < 1e-12
    assert (heights - target.target).min() >= -1e-12
    return plan


@settings(max_examples=50, deadline=None, derandomize=True)
@given(seeds, st.sampled_from([JACK, BLOCK]))
def test_bulging_runs_end_within_tolerance_everywhere_and_never_below(seed, plane):
    plan = _plan_holds(bulging(np.random.default_rng(seed)), plane)
    assert plan.reached
    assert plan.stroke_count <= plan.fewest + max(10, plan.fewest // 2)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(seeds, st.sampled_from([JACK, BLOCK]))
def test_hollow_runs_end_within_tolerance_or_say_where_not_and_never_below(seed, plane):
    target = hollow(np.random.default_rng(seed))
    plan = _plan_holds(target, plane)
    told = np.zeros(target.x.size, dtype=bool)
    for region in plan.hollows:
        if region.skew_deg is None:
            told |= (target.x >= region.begin) & (target.x <= region.end)
    assert (plan.left[~told] <= plan.tolerance + 1e-9).all()
    assert (plan.finished >= target.target - 1e-12).all()
    assert plan.completed


@settings(max_examples=30, deadline=None, derandomize=True)
@given(seeds)
def test_with_a_bays_planes_run_offs_alone_end_within_tolerance_on_hollow_faces_too(seed):
    target = hollow(np.random.default_rng(seed))
    plan = plan_with_bay(target, Bay())
    assert plan.reached
    assert (plan.predicted >= target.target - 1e-12).all()


@settings(max_examples=30, deadline=None, derandomize=True)
@given(seeds)
def test_no_plan_gets_below_what_reach_calls_the_lowest(seed):
    target = hollow(np.random.default_rng(seed))
    work = Workpiece(target.x, JACK, Edge.SLIPS)
    reach = find_reach(work, target.before, target.target, JACK.chips, 0.0)
    assert (plan_run(target, JACK).predicted >= reach.lowest - 1e-12).all()


@settings(max_examples=30, deadline=None, derandomize=True)
@given(seeds)
def test_turning_further_never_reaches_less(seed):
    target = hollow(np.random.default_rng(seed))
    work = Workpiece(target.x, JACK)
    faces = [
        lowest_surface(work, target.before, target.target, JACK.chips[0], skew)
        for skew in (15.0, 30.0, 45.0, 60.0)
    ]
    for less, more in pairwise(faces):
        assert (more <= less + 1e-12).all()


@pytest.mark.parametrize("power", [1.5, 2.2, 3.0])
def test_walking_inboard_wears_the_steps_away_and_walking_outwards_piles_up_misses(power):
    """Why the custom is right: the same strokes, in the two orders."""
    target = run_target(Shape(30.0, 1.5, power, 6.0))
    chip = INCH / 32
    marks = np.interp(np.arange(1, 48) * chip, target.depth, target.x[-1] - target.x)
    strokes = [Strokes(np.floor(start / INCH * 4) / 4 * INCH, 1, chip) for start in marks]
    work = Workpiece(target.x, JACK)
    outwards = work.after(target.before, strokes) - target.target
    inboard = work.after(target.before, strokes[::-1]) - target.target
    assert inboard.min() >= -1e-12
    assert inboard.max() < 1.6 * chip
    assert outwards.max() > 3.0 * inboard.max()
