"""Advice for one job: strokes that are safe, places to measure, what is done and what is too deep."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest

from foamwright.bench.advice import RISK, below
from foamwright.bench.course import TRUE_GRID, course_of
from foamwright.bench.shaper import DRAWS, Hands
from foamwright.cuts.runs import End
from foamwright.errors import InputError
from foamwright.jobs.advising import advise_job
from foamwright.jobs.bench_job import BenchJob
from foamwright.jobs.reading import (
    ReadingText,
    record_advised,
    record_note,
    record_readings,
    record_strokes,
    record_time,
    strokes_from,
    undo,
)
from foamwright.shape.kernels.worn_trials import Luck, left_at, wear_badly
from foamwright.stages.solids import StageName
from foamwright.units import INCH
from tests.bench_jobs import bench_job, job_plan
from tests.plans import demo_plan


def started(tmp_path: Path) -> BenchJob:
    """Return a job whose rocker towards the nose has begun: three strokes told."""
    job = bench_job(tmp_path)
    record_strokes(job, "rocker", "nose", [strokes_from(job, 3, ("6", None, "1/32"))])
    return job


def rocker_there(job: BenchJob, from_tip: float, left: float) -> str:
    """Return what a straight edge shows at a distance from the nose when so much is left; inches."""
    bottom = job.plan.stages[StageName.ROCKER].bottom
    height = job.plan.at(bottom, job.plan.length - from_tip) - float(bottom.min()) - left
    return f"{round(height / INCH * 32) / 32}"


def test_a_fresh_job_starts_at_the_saw(tmp_path: Path) -> None:
    advice = advise_job(bench_job(tmp_path))
    assert advice.stage is StageName.OUTLINE
    assert not advice.strokes
    assert not advice.too_deep
    assert not advice.finished
    assert advice.risk == 0.0


def test_what_was_planed_last_is_worked_on(tmp_path: Path) -> None:
    advice = advise_job(started(tmp_path))
    assert advice.stage is StageName.ROCKER
    assert advice.done == ()
    assert {one.stage for one in advice.left} == {"rocker"}


def test_the_first_strokes_are_few_and_near_the_tip_until_the_chip_is_measured(tmp_path: Path) -> None:
    advice = advise_job(started(tmp_path))
    assert sum(group.count for group in advice.strokes) <= 5
    assert all(group.stroke.start < 9 * INCH for group in advice.strokes)
    assert advice.measure


def test_told_strokes_are_followed(tmp_path: Path) -> None:
    job = started(tmp_path)
    tip = next(one for one in advise_job(job).left if one.station == job.plan.length)
    planned = next(run for run in job.plan.runs_of(StageName.ROCKER) if run.target.end is End.NOSE)
    assert tip.left == pytest.approx(planned.target.depth[-1] - 3 * INCH / 32, abs=1e-9)
    assert tip.doubt > 0.3 * 3 * INCH / 32


def test_an_undone_stroke_never_was(tmp_path: Path) -> None:
    job = started(tmp_path)
    before = advise_job(job)
    record_strokes(job, "rocker", "nose", [strokes_from(job, 9, ("3", None, "1/32"))])
    assert advise_job(job).left != before.left
    undo(job, 2)
    assert advise_job(job).left == before.left


def test_a_station_too_deep_is_told_and_whether_it_matters(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    texts = [
        ReadingText("rocker", f"{d} from nose", "rocker", rocker_there(job, d * INCH, left * INCH))
        for d, left in ((0, 0.0), (6, -0.1), (12, 0.0), (18, 0.0))
        for _ in range(3)
    ]
    recorded = record_readings(job, texts)
    deep = recorded.advice.too_deep
    assert not recorded.sound
    assert [round((job.plan.length - one.at.station) / INCH) for one in deep] == [6]
    assert deep[0].chance > 0.99
    assert not deep[0].within_finish


@pytest.mark.parametrize("seed", [1, 2])
def test_followed_to_the_end_a_run_is_done_and_nothing_is_too_deep(tmp_path: Path, seed: int) -> None:
    """The commands' own functions, not the trial's kernel, with a shaper at the other end of the plane."""
    job = started(tmp_path)
    run = next(r for r in demo_plan().runs if r.target.stage == "rocker" and r.target.end is End.NOSE)
    foam = course_of(run).foam()
    normals = np.random.default_rng(seed).standard_normal(DRAWS)
    habits, luck = Hands().shaper(normals), Luck(normals[2:], np.zeros(1, dtype=np.int64))
    for _ in range(3):
        wear_badly(foam, np.array([6 * INCH, -1.0, INCH / 32]), habits, luck)
    risks = []
    for _ in range(40):
        advice = advise_job(job)
        ours = [group for group in advice.strokes if group.end == "nose" and group.stage == "rocker"]
        if not ours and not any(job.plan.length - x < run.target.length for x in advice.measure):
            break
        risks.append(advice.risk)
        if ours:
            record_advised(job)
        for group in ours:
            end = -1.0 if group.stroke.end is None else group.stroke.end
            for _ in range(group.count):
                wear_badly(foam, np.array([group.stroke.start, end, group.stroke.chip]), habits, luck)
        _measure(job, foam, luck, list(advise_job(job).measure))
    left = (foam.height - foam.target)[::-1][:: round(3 * INCH / TRUE_GRID)]
    assert max(risks) < RISK
    assert left.min() > -INCH / 32
    assert left.max() < INCH / 20


def _measure(job: BenchJob, foam: object, luck: Luck, stations: list[float]) -> None:
    """Read every station asked for (towards the nose), twice, rounded to the tape's mark."""
    texts = []
    for station in stations * 2:
        distance = job.plan.length - station
        if distance < 0.8:
            luck.used[0] += 1
            noise = float(luck.normals[luck.used[0]]) * INCH / 64
            told = rocker_there(job, distance, left_at(foam, distance) + noise)  # type: ignore[arg-type]
            texts.append(ReadingText("rocker", f"{distance / INCH} from nose", "rocker", told))
    if texts:
        record_readings(job, texts)


def test_advice_comes_within_50_ms_of_a_reading(tmp_path: Path) -> None:
    job = started(tmp_path)
    record_readings(job, [ReadingText("rocker", "nose", "rocker", rocker_there(job, 0.0, 0.02))] * 5)
    advise_job(job)
    spans = []
    for _ in range(7):
        begin = time.process_time()
        advise_job(job)
        spans.append(time.process_time() - begin)
    assert sorted(spans)[3] < 0.05


def test_below_is_the_normal_law() -> None:
    assert below(-1.0, 0.0, 1.0) == pytest.approx(0.15865525393145707)  # standard normal table, z = 1
    assert below(-1.0, 0.0, 0.0) == 0.0
    assert below(-1.0, -2.0, 0.0) == 1.0


@pytest.mark.parametrize(
    ("written", "told"),
    [
        (("x", None, "1/32"), "--from"),
        (("6", None, "x"), "--chip"),
        (("6", "7", "1/32"), "end before they start"),
        (("6", None, "1"), "no plane cuts"),
    ],
)
def test_strokes_that_cannot_be_are_told(tmp_path: Path, written: tuple[str, None, str], told: str) -> None:
    with pytest.raises(InputError, match=told):
        strokes_from(bench_job(tmp_path), 1, written)


def test_what_is_no_run_no_entry_no_time_is_told(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    with pytest.raises(InputError, match="no run-off of stage"):
        record_strokes(job, "outline", "nose", [strokes_from(job, 1, ("6", None, "1/32"))])
    with pytest.raises(InputError, match="no entry 5"):
        undo(job, 5)
    with pytest.raises(InputError, match="cannot be"):
        record_time(job, "rocker", -3.0)
    with pytest.raises(InputError, match="No strokes are advised"):
        record_advised(job)
    record_note(job, "words")
    assert len(job.store.entries()) == 1
    assert job_plan().length == job.plan.length
