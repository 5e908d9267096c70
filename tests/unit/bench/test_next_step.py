"""One next step: always one, never a dead end, whatever is read; corrections keep both."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.bench.as_is import Memory
from foamwright.bench.entries import Corrected, Entry, Event, Laid, Taken, Worked, counting
from foamwright.bench.next_step import Kind, Step, bench_of, next_step
from foamwright.bench.plan_file import JobPlan
from foamwright.bench.readings import Lay, Measured, Reading, StickReading, Tool, Zone
from foamwright.cuts.run import End
from foamwright.jobs.reading import events_of
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


def test_a_stick_laid_the_wrong_way_round_is_questioned(tmp_path) -> None:  # type: ignore[no-untyped-def]
    from foamwright.bench.entries import State
    from foamwright.bench.questions import judged_stick

    plan = short_plan()
    run = plan.runs[0]
    found = bench_of(plan, (), Bay()).found
    stretch = next(one for one in found if one.run is not None)
    length = run.run.length
    depth = stretch.belief.left
    line = depth[0] + (depth[-1] - depth[0]) * np.arange(depth.size) / (depth.size - 1)
    under = np.flatnonzero(line - depth > INCH / 16) * INCH / 2
    right = Lay((0.0, length), (Zone(float(under[0]), float(under[-1]), INCH / 16),))
    stick = StickReading(run.stage, run.end, right)
    assert judged_stick(plan, found, stick).state is State.ACCEPTED
    lopsided = Lay((0.0, length), (Zone(float(under[0]), length / 3.0, INCH / 16),))
    turned = replace(stick, lay=lopsided.mirrored(length))
    assert judged_stick(plan, found, turned).state in (State.ACCEPTED, State.QUESTIONED)
