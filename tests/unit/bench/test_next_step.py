"""One next step: always one, never a dead end, whatever is read; corrections keep both."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from scipy.spatial import ConvexHull

from foamwright.bay.bay import Bay
from foamwright.bench.as_is import Memory
from foamwright.bench.entries import Corrected, Entry, Event, Laid, State, Taken, Worked, counting
from foamwright.bench.next_step import Kind, Step, bench_of, next_step
from foamwright.bench.plan_file import JobPlan
from foamwright.bench.questions import judged_stick
from foamwright.bench.readings import SHIMS, Lay, Measured, Reading, StickReading, Tool, Zone
from foamwright.cuts.run import End
from foamwright.jobs.reading import events_of
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName
from foamwright.units import INCH
from tests.bench_jobs import job_plan

MOST = 600


def short_plan() -> JobPlan:
    """Return the demo's plan with one run, so that a walk through it is quick."""
    plan = job_plan()
    return replace(plan, runs=plan.runs[2:3])


def walked(plan: JobPlan, dice: np.random.Generator | None, off: float) -> list[Step]:
    """Return every step until the end, each done; readings as expected, or off at random by `off` metres."""
    events: list[Event] = []
    steps = []
    memory = Memory()
    for _ in range(MOST):
        entries = [Entry(k, "", one) for k, one in enumerate(events, 1)]
        step = next_step(bench_of(plan, entries, Bay(), memory=memory))
        steps.append(step)
        if step.kind is Kind.DONE:
            return steps
        events += _answers(plan, step, dice, off)
    raise AssertionError(f"no end after {MOST} steps: {steps[-1]}")


def _answers(plan: JobPlan, step: Step, dice: np.random.Generator | None, off: float) -> list[Event]:
    if step.kind not in (Kind.MEASURE, Kind.STICK):
        return events_of(step)
    found: list[Event] = []
    if step.kind is Kind.STICK:
        run = next(one for one in plan.runs_of(step.stage) if one.end == step.end)
        zones = ()
        if dice is not None:
            ends = np.sort(dice.uniform(0.0, run.run.length, 2))
            zones = (Zone(float(ends[0]), float(ends[1]), INCH / 32),)
        found.append(Laid(StickReading(step.stage, End(step.end), Lay((0.0, run.run.length), zones))))
    for ask in step.places:
        value = ask.expect + (0.0 if dice is None else off * float(dice.standard_normal()))
        found.append(Taken(Reading(step.stage, ask.station, ask.what, max(value, 0.0), ask.tool)))
    return found


def test_a_job_that_goes_as_planned_ends_and_names_at_most_three_places() -> None:
    steps = walked(short_plan(), None, 0.0)
    kinds = {step.kind for step in steps}
    assert {Kind.SAW, Kind.STROKES, Kind.FOAM_DOWN, Kind.MEASURE, Kind.STICK, Kind.DONE} <= kinds
    assert all(len(step.places) <= 3 for step in steps)
    assert all(one.not_under <= one.expect + INCH for step in steps for one in step.places)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("off", [INCH / 64, INCH / 4])
def test_no_dead_end_whatever_is_read(seed: int, off: float) -> None:
    steps = walked(short_plan(), np.random.default_rng(seed), off)
    assert steps[-1].kind is Kind.DONE


def test_listed_strokes_keep_their_margin_under_a_full_chip() -> None:
    """The first list on a face whose chip nobody has measured: by counting, with every chip whole and half
    as thick again, no place goes under what it may."""
    plan = short_plan()
    steps = walked(plan, None, 0.0)
    first = next(step for step in steps if step.kind is Kind.STROKES)
    run = plan.runs[0].run
    at = np.arange(0.0, run.length, INCH / 4)
    left = np.interp(run.length - at, run.x, run.before - run.target)
    for made in first.strokes:
        left = left - np.where(at <= made.start, 1.5 * made.chip, 0.0)
    assert left.min() > -INCH / 32


def test_far_too_deep_is_measured_again_and_then_rescued() -> None:
    plan = short_plan()
    run = plan.runs[0]
    faces = plan.stages[run.stage]
    x = run.station(6.0 * INCH)
    deep = Reading(
        run.stage, x, Measured.THICKNESS, plan.at(faces.deck - faces.bottom, x) - INCH / 4, Tool.CALIPERS
    )
    entries = [Entry(k, "", Taken(deep)) for k in (1, 2, 3)]
    step = next_step(bench_of(plan, entries, Bay()))
    assert step.kind is Kind.RESCUE
    assert abs(step.places[0].station - x) < 3.0 * INCH
    left = [*entries, Entry(4, "", Worked(step.stage, "rescue", step.face, step.end))]
    assert next_step(bench_of(plan, left, Bay())).kind is not Kind.RESCUE


def test_a_correction_stands_in_its_place_and_both_stay() -> None:
    first = Taken(Reading(StageName.FOIL, 0.3, Measured.THICKNESS, 0.05, Tool.CALIPERS))
    second = replace(first, reading=replace(first.reading, value=0.06))
    entries = (Entry(1, "", first), Entry(2, "", Corrected(1, second)))
    assert [one.event for one in counting(entries)] == [second]
    assert len(entries) == 2


def laid_on(left: Floats, from_tip: Floats) -> Lay:
    """Return what a straight stick tells that is laid on a face: it rests on the hull's edge over the middle.

    The hull is scipy's, so nothing of the bench's own stick is used.
    """
    points = np.column_stack([from_tip, left])
    below = np.array([[from_tip[0], left.min() - 1.0], [from_tip[-1], left.min() - 1.0]])
    corners = ConvexHull(np.vstack([points, below])).vertices
    upper = np.sort(corners[corners < left.size])
    second = int(np.clip(np.searchsorted(upper, left.size // 2, "right"), 1, upper.size - 1))
    rests = upper[[second - 1, second]]
    gap = np.interp(from_tip, from_tip[rests], left[rests]) - left
    zones = []
    for shim in SHIMS:
        under = np.flatnonzero(gap[rests[0] : rests[1] + 1] >= shim) + rests[0]
        if under.size:
            zones.append(Zone(float(from_tip[under[0]]), float(from_tip[under[-1]]), shim))
    return Lay((float(from_tip[rests[0]]), float(from_tip[rests[1]])), tuple(zones))


def test_a_stick_laid_the_wrong_way_round_is_questioned_and_changes_nothing() -> None:
    """On the demo's foil at the nose the face bulges at the tip, so the two ways round differ. As it lies it
    is accepted; turned round, its marks counted from the wrong end, it is questioned with the reason."""
    plan = short_plan()
    found = bench_of(plan, (), Bay()).found
    stretch = next(one for one in found if one.run is not None)
    run = plan.runs[0]
    right = StickReading(run.stage, run.end, laid_on(stretch.belief.left, stretch.belief.from_tip))
    assert right.lay.zones
    assert judged_stick(plan, found, right) == Laid(right)
    wrong = replace(right, lay=right.lay.mirrored(run.run.length))
    told = judged_stick(plan, found, wrong)
    assert told.state is State.QUESTIONED
    assert "wrong way round" in told.reason
    after = next(one for one in bench_of(plan, [Entry(1, "", told)], Bay()).found if one.run is not None)
    assert np.array_equal(after.belief.face.mean, stretch.belief.face.mean)
    taken = next(
        one for one in bench_of(plan, [Entry(1, "", Laid(right))], Bay()).found if one.run is not None
    )
    assert not np.array_equal(taken.belief.face.mean, stretch.belief.face.mean)


def test_a_stick_that_fits_no_better_turned_round_is_taken() -> None:
    """On an even face both ways round are one answer: there is nothing to question."""
    plan = short_plan()
    found = bench_of(plan, (), Bay()).found
    length = plan.runs[0].run.length
    even = Lay((0.0, length), (Zone(length / 4.0, length * 3.0 / 4.0, INCH / 16),))
    stick = StickReading(plan.runs[0].stage, plan.runs[0].end, even)
    assert judged_stick(plan, found, stick).state is State.ACCEPTED


def test_what_is_done_at_one_tip_leaves_the_other_as_planned() -> None:
    """The foil's nose is worked and read: the tail, untouched, still has what the plan would take off it."""
    plan = job_plan()
    nose, tail = plan.runs[2:4]
    assert (nose.stage, nose.end, tail.end) == (StageName.FOIL, End.NOSE, End.TAIL)
    faces, x = plan.stages[nose.stage], nose.station(6.0 * INCH)
    here = plan.at(faces.deck - faces.bottom, x)
    read = Taken(Reading(nose.stage, x, Measured.THICKNESS, here, Tool.CALIPERS))
    done = Worked(nose.stage, "foam_down", nose.run.face.value, End.NOSE.value)
    found = bench_of(plan, [Entry(1, "", read), Entry(2, "", done)], Bay()).found
    untouched = next(one for one in found if (one.stage, one.end) == (StageName.FOIL, End.TAIL))
    before = tail.run.before - tail.run.target
    wanted = np.interp(tail.run.length - untouched.belief.from_tip, tail.run.x, before)
    assert untouched.belief.left == pytest.approx(wanted, abs=INCH / 64)
    assert untouched.belief.doubt.max() < INCH / 64


def test_a_questioned_reading_of_a_later_stage_does_not_move_the_job_on() -> None:
    plan = job_plan()
    wrong = Taken(
        Reading(StageName.FINISHED, 1.0, Measured.THICKNESS, 0.3, Tool.CALIPERS), State.QUESTIONED, "outside"
    )
    assert next_step(bench_of(plan, [Entry(1, "", wrong)], Bay())).kind is Kind.SAW
