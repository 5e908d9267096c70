"""A plan as steps: every stroke stands in one, in order; what a reading means follows the plan."""

from __future__ import annotations

import json
from itertools import pairwise

import numpy as np
import pytest
from bench_support import demo_steps

from foamwright.jobs.bench_steps import Kind, bench_steps
from foamwright.jobs.bench_steps_asked import HALF_MARK, Asked, Means, asked_from, meaning_of, means_of
from foamwright.jobs.bench_steps_lessons import lesson_picture
from foamwright.jobs.bench_steps_pictures import picture_of
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System
from tests.plans import demo_plan


@pytest.fixture(scope="module")
def plan():
    return demo_plan()


@pytest.fixture(scope="module")
def steps(plan):
    return bench_steps(plan)


def test_every_stroke_of_the_plan_is_in_a_step_once_and_in_order(plan, steps):
    for run in plan.runs:
        key = (run.stage, run.end)
        ours = [s for s in steps if s.kind is Kind.RUN and (s.stage.value, s.end) == key]
        told = [(g.count, g.start_m, g.chip_m, g.skew_deg) for step in ours for g in step.groups]
        assert told == [(1, one.start_from_tip, one.chip, 0.0) for one in run.strokes]
        assert [len(step.asks) for step in ours] == [1] * len(run.stops)


def test_the_steps_stand_in_the_order_of_the_work(steps):
    order = list(StageName)
    assert all(order.index(a.stage) <= order.index(b.stage) for a, b in pairwise(steps))
    assert steps[0].kind is Kind.SAW
    assert steps[-1].kind is Kind.SAND


def test_a_stop_expects_what_the_plan_predicts_at_the_tip(plan, steps):
    run = plan.runs[0]
    first = next(s for s in steps if s.kind is Kind.RUN)
    thickness = plan.chain.stage(StageName.ROCKER).thickness[-1]
    tip = run.stops[0].places[0]
    assert first.asks[0].expect_m == pytest.approx(thickness + tip.expect - run.target[-1], abs=1e-12)
    assert first.asks[0].limit_m == pytest.approx(thickness, abs=1e-12)
    assert first.asks[0].least_m == pytest.approx(thickness + tip.not_under - run.target[-1], abs=1e-12)


def test_thickness_after_the_first_face_is_the_outline_less_the_even_part():
    plan = demo_plan("breakwater")
    step = next(s for s in bench_steps(plan) if s.kind is Kind.PASSES)
    middle = next(a for a in step.asks if a.station == "centre")
    index = plan.chain.x.size // 2
    before = plan.chain.stage(StageName.OUTLINE).thickness[index]
    assert middle.expect_m == pytest.approx(before - plan.chain.bottom.even[index], abs=1e-12)


def test_what_is_kept_survives_json_and_draws_the_same(steps):
    _, wishes = demo_steps()
    for wish in wishes:
        again = json.loads(json.dumps(dict(wish.detail)))
        assert again == json.loads(json.dumps(again))
        for system in System:
            assert picture_of(again, system) == picture_of(wish.detail, system)
            assert picture_of(again, system) is not None
    asks = [ask for step in steps for ask in step.asks]
    assert [asked_from(ask.as_json()) for ask in asks] == asks


STOP = Asked("thickness", "calipers", "nose", 1.9, 0.050, 0.004, 0.040, 0.072, 0.0008)


@pytest.mark.parametrize(
    ("value", "means"),
    [
        (0.0395, Means.TOO_DEEP),
        (0.040 - HALF_MARK + 1e-6, Means.AHEAD),
        (0.0459, Means.AHEAD),
        (0.0461, Means.AS_PLANNED),
        (0.0539, Means.AS_PLANNED),
        (0.0541, Means.BEHIND),
        (0.0719, Means.BEHIND),
        (0.0721, Means.QUESTIONED),
    ],
)
def test_what_a_thickness_means(value, means):
    assert means_of(STOP, value) is means


@pytest.mark.parametrize(
    ("value", "means"),
    [
        (0.0440, Means.BEHIND),
        (0.0461, Means.AS_PLANNED),
        (0.0503, Means.AS_PLANNED),
        (0.0505, Means.TOO_DEEP),
        (0.41, Means.QUESTIONED),
    ],
)
def test_rocker_grows_as_foam_goes(value, means):
    asked = Asked("rocker", "straight edge", "tail", 0.0, 0.050, 0.004, 0.050, 0.4)
    assert means_of(asked, value) is means


def test_the_ranges_rise_and_cover_everything(steps):
    for step in steps:
        for ask in step.asks:
            ends = [one.upto_m for one in meaning_of(ask)]
            assert ends[-1] is None
            assert all(a < b for a, b in pairwise(ends[:-1]))


def test_reading_what_is_expected_to_the_nearest_mark_is_as_planned(steps):
    mark = INCH / 32
    for step in steps:
        for ask in step.asks:
            assert means_of(ask, round(ask.expect_m / mark) * mark) is Means.AS_PLANNED, ask


def test_a_whole_mark_past_the_line_is_too_deep(steps):
    for step in steps:
        for ask in step.asks:
            past = ask.limit_m + (INCH / 32 if ask.what == "rocker" else -INCH / 32)
            assert means_of(ask, past) is Means.TOO_DEEP, ask


def test_the_lessons_plane_is_as_long_as_the_jobs_plane_and_stands_on_the_first_mark():
    _, wishes = demo_steps()
    wish = next(w for w in wishes if w.kind == "run")
    picture = lesson_picture("run", wish.detail, System.INCH)
    assert picture is not None
    body, iron, rule = (
        next(s.path for s in picture.strokes if s.kind == k) for k in ("body", "iron", "rule")
    )
    points = np.array([[float(n) for n in pair.split()] for pair in body[1:-1].split("L")])
    ends = [[float(n) for n in pair.split()] for pair in iron[1:].split("L")]
    tape = [float(pair.split()[0]) for pair in rule.split("v")[0].split("M")[1].split("L")]
    detail = wish.detail
    scale = abs(tape[1] - tape[0]) / max(
        detail["groups"][0]["start_m"] + detail["more"]["sole_m"], 2 * detail["more"]["sole_m"]
    )
    assert np.hypot(*(points[1] - points[2])) / scale == pytest.approx(detail["more"]["sole_m"], abs=2e-4)
    middle = np.mean(ends, axis=0)
    assert abs(tape[0] - middle[0]) / scale == pytest.approx(detail["groups"][0]["start_m"], abs=2e-4)
    assert points[:, 1].min() > 0
