"""Advice for one job: strokes that are safe, places to measure, what is done and what is too deep."""

from __future__ import annotations

import re
import time
from pathlib import Path

import numpy as np
import pytest

from foamwright.bench.advice import RISK, below
from foamwright.bench.course import TRUE_GRID, course_of
from foamwright.bench.shaper import DRAWS, Hands
from foamwright.cuts.run import End
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
    run_named,
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
    with pytest.raises(InputError, match="not followed one by one"):
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


def thickness_readings(job: BenchJob, left: float) -> list[ReadingText]:
    """What calipers show at every mark of the tape with so much left above the thickness stage."""
    faces = job.plan.stages[StageName.THICKNESS]
    there = [(x, job.plan.at(faces.deck - faces.bottom, x)) for x in job.stations]
    return [
        ReadingText(
            "thickness", f"{x / INCH:.4f} in from tail", "thickness", f"{(thick + left) / INCH:.4f} in"
        )
        for x, thick in there
    ]


def test_a_later_reading_counts_where_nobody_tells_passes_and_the_stage_ends(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    for left in (3 * INCH / 32, INCH / 32):
        record_readings(job, thickness_readings(job, left))
    advice = advise_job(job)
    told = [one.left for one in advice.left if one.stage == "thickness"]
    assert len(told) == len(job.stations)
    assert max(abs(one - INCH / 32) for one in told) < INCH / 100
    record_readings(job, thickness_readings(job, -INCH / 128))
    assert StageName.THICKNESS in advise_job(job).done


def test_what_is_still_thick_is_measured_again_where_it_is(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    texts = thickness_readings(job, 0.0)
    texts[3] = thickness_readings(job, INCH / 8)[3]
    record_readings(job, texts)
    advice = advise_job(job)
    assert advice.stage is StageName.THICKNESS
    assert job.stations[3] in advice.measure


@pytest.mark.parametrize(
    ("name", "value"),
    [("value_m", "NaN"), ("value_m", "1e400"), ("value_m", '"2"'), ("value_m", "-5"), ("station_m", "99")],
)
def test_a_history_edited_by_hand_is_told_with_its_line(tmp_path: Path, name: str, value: str) -> None:
    job = bench_job(tmp_path)
    record_readings(job, thickness_readings(job, 0.0)[:2])
    path = tmp_path / "history.jsonl"
    text = path.read_text("utf-8")
    path.write_text(re.sub(rf'"{name}": ?[-0-9.e]+', f'"{name}": {value}', text, count=1), "utf-8")
    assert path.read_text("utf-8") != text
    with pytest.raises(InputError, match=r"history\.jsonl, line 1"):
        advise_job(job)


def test_an_undoing_is_told_once_and_of_what_was_told_before(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    record_readings(job, thickness_readings(job, 0.0)[:1])
    undo(job, 1)
    with pytest.raises(InputError, match="Entry 1 is undone already"):
        undo(job, 1)
    path = tmp_path / "history.jsonl"
    path.write_text(
        path.read_text("utf-8").replace('"of":1', '"of":9').replace('"of": 1', '"of": 9'), "utf-8"
    )
    with pytest.raises(InputError, match=r"line 2: .*does not come before it"):
        advise_job(job)


def test_strokes_of_a_stage_without_run_offs_are_answered_before_anything_else(tmp_path: Path) -> None:
    job = bench_job(tmp_path)
    with pytest.raises(InputError, match="Read what the tape shows after them"):
        run_named(job, "thickness", "")
