"""Readings from tablets are judged as the command line judges: by plan, bay, strokes and readings before."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from bench_support import add_planned_job
from sqlalchemy import text as sql

from foamwright.bay.bay import Bay
from foamwright.bench.as_is import stretches
from foamwright.bench.belief import ChipFactor
from foamwright.jobs.bench_steps_advice import advise_at_bench, plan_kept
from foamwright.jobs.bench_steps_told import entries_told
from foamwright.jobs.shop_judging import _part_of, warm_up
from foamwright.jobs.shop_readings import record_readings
from foamwright.shop.database import Actor
from foamwright.shop.kinds import Measured, ReadingState
from foamwright.shop.plans import StrokesWish, put_plan, steps_of, store_strokes
from foamwright.shop.readings import ReadingWish, readings_of, settle_reading
from foamwright.shop.tables import JobRow
from foamwright.units import INCH, System
from foamwright.web.settings import Settings

BENCH = Actor("bench")


class Bench:
    """A tablet at a planned job; its clock stands a year wrong unless a test sets it."""

    def __init__(self, database, clock, said=0, board="groyne"):
        self.database, self.clock = database, clock
        self.job = add_planned_job(database, "Judged", board)
        self.judge = Settings(database).judge
        self.said = said
        self.tablet = datetime(2025, 1, 1, tzinfo=UTC)

    def steps(self):
        with self.database.reading() as session:
            return list(steps_of(session, session.get(JobRow, self.job)))

    def length(self):
        return self.steps()[0].detail["length_m"]

    def stroke(self, step, count):
        self.clock.pass_by(seconds=5)
        self.said += 1
        with self.database.writing(BENCH) as work:
            revision = work.session.get(JobRow, self.job).plan_revision
            wish = StrokesWish(f"stroke-{self.said:016}", step.number, count, self.tablet)
            store_strokes(work, self.job, revision, [wish])

    def read(self, stage, what, station, station_m, value_m, tool="", written="1 in"):
        self.clock.pass_by(seconds=5)
        self.said += 1
        sent = ReadingWish(
            f"reading-{self.said:016}", self.said, stage, station, station_m, Measured(what), value_m,
            written, tool, self.tablet,
        )  # fmt: skip
        questioned = record_readings(self.database, BENCH, self.job, [sent], self.judge).questioned
        return dict(questioned).get(sent.client_id, "")

    def ask(self, step, ask, value_m=None):
        value = ask["expect_m"] if value_m is None else value_m
        return self.read(step.stage, ask["what"], ask["station"], ask["station_m"], value, ask["tool"])


@pytest.fixture
def bench(sqlite_url, open_shop, clock):
    return Bench(open_shop(sqlite_url), clock)


def test_a_job_done_as_planned_is_never_questioned(bench):
    questions = []
    for step in bench.steps():
        if step.detail["end"]:
            bench.stroke(step, sum(group["count"] for group in step.detail["groups"]))
        questions += [reason for ask in step.detail["asks"] if (reason := bench.ask(step, ask))]
    assert bench.said > 100
    assert questions == []


@pytest.fixture
def rocker(bench):
    """The rocker half cut, by readings: the nose 4 3/8, 12 in from it 1 3/4."""
    length = bench.length()
    for away, inches in ((0, 4.375), (12, 1.75), (6, 2.875)):
        assert bench.read("rocker", "rocker", "x", length - away * INCH, inches * INCH) == ""

    def read(away, inches, **more):
        return bench.read("rocker", "rocker", "x", length - away * INCH, inches * INCH, **more)

    return read


@pytest.mark.parametrize(
    ("away", "inches", "reason"),
    [
        (12, 1.75 / 16, "sixteenths"),
        (0, 0.375, "digit dropped"),
        (12, 1.4, "Foam does not grow"),
        (12, 2.3, "More is gone"),
    ],
)
def test_slips_are_told_in_the_benchs_own_words(rocker, away, inches, reason):
    assert reason in rocker(away, inches)


def test_what_the_tablet_asked_by_itself_is_the_reason_that_the_shop_keeps(bench):
    """Foam that has grown, and what would fit the other tip as well: the tablet knows the first alone."""
    steps = bench.steps()
    asks = steps[0].detail["asks"]
    near, far = asks[0], asks[-1]
    assert far["expect_m"] < near["expect_m"] - 0.01
    assert [bench.ask(steps[0], ask) for ask in asks] == [""] * len(asks)
    grown = bench.read("outline", "width", far["station"], far["station_m"], near["expect_m"])
    assert re.fullmatch(r"It was \d+ \d+/\d+ in there before, and foam does not grow. Read it again.", grown)
    more = near["expect_m"] + 0.02
    millimetres = bench.read("outline", "width", far["station"], far["station_m"], more, written="390 mm")
    assert re.match(r"It was \d+\.\d mm there before", millimetres)


def test_beyond_any_board_is_no_slip_of_the_tape(rocker):
    assert rocker(12, 28) == "A rocker of 28 in is beyond any board. Read the tape again."


def test_twice_the_same_is_believed(rocker, bench):
    assert "More is gone" in rocker(12, 2.3)
    assert rocker(12, 2.3) == ""
    with bench.database.reading() as session:
        states = [row[0] for row in session.execute(sql("SELECT state FROM readings ORDER BY id"))]
    assert states[-2:] == [ReadingState.QUESTIONED, ReadingState.ACCEPTED]


def test_what_a_teacher_set_aside_no_longer_counts(rocker, bench):
    assert "More is gone" in rocker(12, 2.3)
    with bench.database.writing(Actor("teacher")) as work:
        newest = work.session.execute(sql("SELECT max(id) FROM readings")).scalar()
        settle_reading(work, bench.job, newest, ReadingState.SET_ASIDE, "slip")
    assert "More is gone" in rocker(12, 2.3)


def test_the_reason_is_told_in_the_units_that_were_typed(rocker):
    assert " mm was expected" in rocker(12, 1.4, written="35.6 mm")
    assert " in was expected" in rocker(12, 1.1, written="1 1/8 in")


def test_strokes_that_were_told_are_known_to_the_judge(bench):
    """2.5 mm more than was read before two strokes of 0.8 mm: foam does not grow."""
    run = [step for step in bench.steps() if step.kind == "run" and step.detail["end"] == "nose"]
    first, second = (step for step in run[:2])
    bench.stroke(first, sum(group["count"] for group in first.detail["groups"]))
    (before,) = first.detail["asks"]
    assert bench.ask(first, before) == ""
    bench.stroke(second, sum(group["count"] for group in second.detail["groups"]))
    assert bench.ask(second, second.detail["asks"][0], before["expect_m"] + 2.5e-3) != ""
    assert bench.ask(second, second.detail["asks"][0]) == ""


def test_strokes_that_nobody_ticked_do_not_make_a_reading_look_wrong(bench):
    """The whole job as planned, and not one stroke told: nothing is questioned."""
    questions = [bench.ask(step, ask) for step in bench.steps() for ask in step.detail["asks"]]
    assert len(questions) > 70
    assert not any(questions)


def test_what_came_off_between_two_readings_of_a_pass_is_no_slip(sqlite_url, open_shop, clock):
    """The long board: its blank is thicker than the demo's short one wants."""
    bench = Bench(open_shop(sqlite_url), clock, board="breakwater")
    step = next(step for step in bench.steps() if step.stage == "thickness" and step.detail["asks"])
    ask = step.detail["asks"][0]
    assert [bench.ask(step, ask, ask["expect_m"] + more) for more in (3e-3, 1.5e-3, 2e-4)] == [""] * 3
    assert "More is gone" in bench.ask(step, ask, ask["limit_m"] - 9e-3)


def test_a_tablet_whose_clock_is_wrong_changes_no_verdict_and_no_advice(bench):
    """Strokes come from a tablet that is a year behind, the reading after them from one two years ahead."""
    step = next(step for step in bench.steps() if step.kind == "run" and step.detail["asks"])
    total = sum(group["count"] for group in step.detail["groups"])
    bench.tablet += timedelta(days=900)
    bench.stroke(step, total)
    bench.tablet -= timedelta(days=1800)
    assert bench.ask(step, step.detail["asks"][0]) == ""
    with bench.database.reading() as session:
        found = advise_at_bench(session, session.get(JobRow, bench.job), System.INCH)
    right = Bench(bench.database, bench.clock, said=100)
    right.stroke(step, total)
    right.ask(step, step.detail["asks"][0])
    with bench.database.reading() as session:
        other = advise_at_bench(session, session.get(JobRow, right.job), System.INCH)
    assert found.left == other.left
    assert found.strokes == other.strokes


@pytest.mark.parametrize("station_m", [-0.05, 1.98])
def test_a_station_beyond_the_board_is_questioned(bench, station_m):
    assert "The board is shorter than that" in bench.read("rocker", "thickness", "x", station_m, 0.05)


def test_a_plan_of_another_form_and_a_stage_nobody_knows_are_stored_all_the_same(bench):
    assert bench.read("varnish", "thickness", "centre", 0.9, 0.05) == ""
    with bench.database.writing(Actor("teacher")) as work:
        job = work.session.get(JobRow, bench.job)
        put_plan(work, job.id, job.revision, '{"format": "some other plan"}', [])
    assert bench.read("rocker", "thickness", "nose", 1.9, 0.05) == ""
    assert "beyond any board" in bench.read("rocker", "thickness", "centre", 0.9, 0.5)


def test_warming_up_changes_nothing(bench):
    before = bench.database.reading
    warm_up(bench.database)
    with before() as session:
        assert session.execute(sql("SELECT count(*) FROM readings")).scalar() == 0
        assert session.execute(sql("SELECT count(*) FROM strokes")).scalar() == 0


def test_without_a_plan_there_is_nothing_to_warm_up(sqlite_url, open_shop):
    warm_up(open_shop(sqlite_url))


def test_the_part_of_a_plan_that_a_reading_is_judged_by_knows_what_the_whole_knows(bench):
    """Stage by stage, after strokes and readings in every stage."""
    for step in bench.steps():
        if step.detail["end"]:
            bench.stroke(step, sum(group["count"] for group in step.detail["groups"]) - 1)
        for ask in step.detail["asks"][:2]:
            bench.ask(step, ask)
    with bench.database.reading() as session:
        job = session.get(JobRow, bench.job)
        plan, entries = plan_kept(job.plan), entries_told(session, job, readings_of(session, job.id))
    whole = stretches(plan, entries, Bay(), ChipFactor())
    for stage in plan.order[1:]:
        part = stretches(_part_of(plan, stage), entries, Bay(), ChipFactor())
        ours, theirs = ([one for one in found if one.stage is stage] for found in (part, whole))
        assert len(ours) == len(theirs) > 0
        for one, other in zip(ours, theirs, strict=True):
            assert np.array_equal(one.belief.left, other.belief.left)
            assert np.array_equal(one.belief.doubt, other.belief.doubt)
