"""Readings that cannot be believed are questioned with the slip that explains them, and never used."""

from __future__ import annotations

from pathlib import Path

import pytest

from foamwright.bench.entries import State, Taken
from foamwright.errors import InputError
from foamwright.jobs.bench_job import BenchJob
from foamwright.jobs.reading import ReadingText, Recorded, record_readings
from foamwright.stages.solids import StageName
from foamwright.units import INCH
from tests.bench_jobs import bench_job


def text(station: str, value: str, what: str = "rocker", stage: str = "rocker", **more: str) -> ReadingText:
    return ReadingText(stage, station, what, value, **more)


def read(job: BenchJob, *texts: ReadingText) -> Recorded:
    return record_readings(job, texts)


@pytest.fixture
def job(tmp_path: Path) -> BenchJob:
    """A job whose rocker is half cut, by readings: the nose 4 3/8, 12 in from it 1 3/4."""
    job = bench_job(tmp_path)
    assert read(job, text("nose", "4 3/8"), text("12 from nose", "1 3/4"), text("6 from nose", "2 7/8")).sound
    return job


def reason(recorded: Recorded) -> str:
    (entry,) = recorded.questioned
    assert isinstance(entry.event, Taken)
    assert entry.event.state is State.QUESTIONED
    return entry.event.reason


def test_sixteenths_written_as_inches(job: BenchJob) -> None:
    assert "sixteenths" in reason(read(job, text("12 from nose", "28")))


def test_the_other_tip(job: BenchJob) -> None:
    recorded = read(job, text("nose", "4 3/8"), text("6 from nose", "1 1/4"))
    assert "tips confused" in reason(recorded)


def test_a_digit_dropped(job: BenchJob) -> None:
    assert "digit dropped" in reason(read(job, text("nose", "3/8")))


def test_foam_does_not_grow(job: BenchJob) -> None:
    assert "Foam does not grow" in reason(read(job, text("12 from nose", "1.4")))


def test_more_gone_than_strokes_could_take_is_believed_the_second_time(job: BenchJob) -> None:
    first = read(job, text("12 from nose", "2.15"))
    assert "More is gone" in reason(first)
    again = read(job, text("12 from nose", "2.15"))
    assert not again.questioned
    assert "agrees with entry 4" in again.accepted[0].event.reason  # type: ignore[union-attr]
    left = next(one for one in again.advice.left if abs(one.station - (job.plan.length - 12 * INCH)) < 1e-6)
    wanted = job.plan.stages[StageName.ROCKER].bottom
    expected = job.plan.at(wanted, left.station) - float(wanted.min()) - 2.15 * INCH
    assert left.left == pytest.approx(expected, abs=INCH / 40)


def test_outside_the_blank(job: BenchJob) -> None:
    assert "Outside the blank" in reason(read(job, text("centre", "3.4", "thickness", "foil")))


def test_a_squared_edge_after_the_rails_are_cut(job: BenchJob) -> None:
    recorded = read(job, text("centre", "2.5", "thickness", "finished", tool="squared edge"))
    assert "cut away with the rails" in reason(recorded)


def test_a_spacer_is_taken_off_and_trusted_less(job: BenchJob) -> None:
    recorded = read(job, text("nose", "5 3/8", tool="propped edge", spacer="1"))
    assert recorded.sound
    too_high = read(job, text("nose", "3/4", tool="propped edge", spacer="1"))
    assert "spacer is higher" in reason(too_high)


def test_questioned_readings_change_nothing(job: BenchJob) -> None:
    before = job.as_is(job.store.entries())
    read(job, text("12 from nose", "28"), text("nose", "1/2"))
    after = job.as_is(job.store.entries())
    assert len(job.store.entries()) == 5
    for one, other in zip(before, after, strict=True):
        assert (one.belief.face.mean == other.belief.face.mean).all()


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        (text("nose", "four"), "value: “four” is not a length"),
        (text("middle", "4"), "station: “middle” is not a station"),
        (text("90 from tail", "4"), "beyond the nose"),
        (text("nose", "4", "height"), "what: “height” is none of them"),
        (text("nose", "4", stage="sanding"), "stage: “sanding” is no stage that is cut"),
        (text("nose", "4", stage="blank"), "stage: “blank” is no stage that is cut"),
        (text("nose", "4", tool="calipers"), "does not measure rocker"),
        (text("nose", "4", tool="propped edge"), "needs its spacer's height"),
        (text("nose", "4", spacer="1"), "has no spacer"),
    ],
)
def test_what_is_no_reading_is_told_and_nothing_recorded(
    job: BenchJob, wrong: ReadingText, told: str
) -> None:
    before = len(job.store.entries())
    with pytest.raises(InputError, match=told):
        read(job, text("nose", "4 3/8"), wrong)
    assert len(job.store.entries()) == before


def test_every_problem_of_every_reading_is_told(job: BenchJob) -> None:
    with pytest.raises(InputError) as caught:
        read(job, text("nowhere", "x"), text("nose", "y"))
    assert len(caught.value.problems) == 3
