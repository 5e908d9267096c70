"""Learning: the chip from measured jobs, the rates from timed ones, each with its own uncertainty."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import bay_from_text, bay_sheet
from foamwright.bench.belief import Made
from foamwright.bench.entries import Stroked, Taken, Timed
from foamwright.bench.learning import TIMED, learn, learned_bay, looking_of, work_of
from foamwright.bench.readings import Measured, Reading, Tool
from foamwright.cli.main import main
from foamwright.cuts.run import End
from foamwright.stages.solids import StageName
from foamwright.units import INCH, Unit
from tests.bench_jobs import bench_job, job_plan

PLANE = job_plan().runs[0].run.plane.name


def told_job(folder: Path, factor: float) -> tuple[object, ...]:
    """Record ten strokes whose chips came out `factor` thick, and three readings of what they left."""
    job = bench_job(folder)
    run = next(r for r in job.plan.runs_of(StageName.ROCKER) if r.end == End.NOSE)
    left = float(run.run.before[-1] - run.run.target[-1]) - 10 * factor * INCH / 32
    bottom = job.plan.stages[StageName.ROCKER].bottom
    value = job.plan.at(bottom, job.plan.length) - float(bottom.min()) - left
    reading = Reading(StageName.ROCKER, job.plan.length, Measured.ROCKER, value, Tool.STRAIGHT_EDGE)
    job.store.tell(
        lambda _: [
            Stroked(StageName.ROCKER, End.NOSE, Made(6 * INCH, None, INCH / 32), 10),
            *[Taken(reading)] * 3,
        ]
    )
    return job.store.entries()


def test_nothing_told_teaches_nothing() -> None:
    learned = learn([(job_plan(), ())], Bay())
    assert learned.chips == {}
    assert learned.stringer.count == 0
    assert learned.stringer.mean == pytest.approx(Bay().rates.stringer)
    assert learned_bay(Bay(), learned) == Bay()


@pytest.mark.parametrize("factor", [0.75, 1.3])
def test_chips_are_learned_and_better_with_every_job(tmp_path: Path, factor: float) -> None:
    jobs = [(job_plan(), told_job(tmp_path / str(k), factor)) for k in range(3)]
    one, three = (learn(some, Bay()).chips[PLANE] for some in (jobs[:1], jobs))  # type: ignore[arg-type]
    assert three.error < one.error < 0.3
    assert three.mean == pytest.approx(factor, abs=2.0 * three.error)
    assert abs(three.mean - factor) < abs(1.0 - factor) / 3.0
    assert (one.count, three.count) == (1, 3)


def test_rates_follow_the_minutes() -> None:
    """Jobs timed by other rates: with many of them, those rates come out."""
    plan, truth = job_plan(), np.array([1400.0, 1800.0])
    usual = np.array([Bay().rates.stringer, Bay().rates.foam])
    # The same person looks more slowly too: minutes are planing and looking together.
    entries = []
    for stage in TIMED:
        row, looking = work_of(plan, stage), looking_of(plan, stage, Bay().rates)
        entries.append(Timed(stage, float(row @ truth * (1.0 + looking / (row @ usual)))))
    from foamwright.bench.entries import Entry

    history = [Entry(k, "", event) for k, event in enumerate(entries, 1)]
    learned = learn([(plan, history)] * 200, Bay())
    for stage in TIMED:
        row = work_of(plan, stage)
        found = row @ np.array([learned.stringer.mean, learned.foam.mean])
        assert found == pytest.approx(row @ truth, rel=0.05)
    once = learn([(plan, history)], Bay())
    assert learned.stringer.error < once.stringer.error < 0.5 * Bay().rates.stringer


def test_the_bay_sheet_carries_it_on(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    told_job(tmp_path / "job", 1.3)
    sheet = tmp_path / "learned.bay.toml"
    assert main(["learn", str(tmp_path / "job"), "--out", str(sheet)]) == 0
    assert "± " in capsys.readouterr().out
    text = sheet.read_text(encoding="utf-8")
    assert text.startswith("# Learned from")
    plane = next(one for one in bay_from_text(text, "learned").planes if one.name == PLANE)
    assert plane.chips[0] > 1.1 * INCH / 32


def test_without_a_bay_the_jobs_own_is_learned_into(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    jobs = tmp_path / "first", tmp_path / "second"
    for job, labour in zip(jobs, (77.0, 55.0), strict=True):
        told_job(job, 1.0)
        bay = replace(Bay(), prices=replace(Bay().prices, labour_hour=labour))
        (job / "bay.toml").write_text(bay_sheet(bay, Unit.INCH), encoding="utf-8")
    sheet = tmp_path / "learned.bay.toml"
    assert main(["learn", str(jobs[0]), "--out", str(sheet)]) == 0
    assert bay_from_text(sheet.read_text(encoding="utf-8"), "learned").prices.labour_hour == 77.0
    capsys.readouterr()
    assert main(["learn", *map(str, jobs)]) == 2
    assert "The jobs were planned in different bays" in capsys.readouterr().err
