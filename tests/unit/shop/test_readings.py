"""Readings: once each, in order, questioned but kept."""

from __future__ import annotations

import pytest
from shop_fixtures import TEACHER

from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobQuery, JobWish, find_jobs, move_job, open_job
from foamwright.shop.kinds import Measured, ReadingState, Shelf
from foamwright.shop.readings import (
    ReadingWish,
    Verdict,
    accept_all,
    readings_of,
    settle_reading,
    store_readings,
)
from foamwright.shop.told import UnknownError


@pytest.fixture
def job(database):
    with database.writing(TEACHER) as work:
        return open_job(work, JobWish("Board"))


def reading(clock, n, value_m=0.04):
    return ReadingWish(
        client_id=f"tablet-a-{n:016x}",
        sequence=n,
        stage="rocker",
        station="12 from nose",
        station_m=1.6,
        what=Measured.THICKNESS,
        value_m=value_m,
        written="1 9/16 in",
        tool="caliper",
        tablet_at=clock(),
    )


def stored(database, job, sent, judge=accept_all):
    with database.writing(Actor("bench 1")) as work:
        return store_readings(work, job.id, sent, judge)


def all_of(database, job):
    with database.reading() as session:
        return readings_of(session, job.id)


def test_a_batch_sent_again_is_stored_once_in_the_order_it_was_sent(database, job, clock):
    sent = [reading(clock, n) for n in (3, 1, 2)]
    first = stored(database, job, sent)
    again = stored(database, job, [*sent, reading(clock, 4)])
    assert first.stored == tuple(one.client_id for one in sent)
    assert again.stored == (*first.stored, reading(clock, 4).client_id)
    assert [row.sequence for row in all_of(database, job)] == [3, 1, 2, 4]


def test_one_batch_may_hold_the_same_reading_twice(database, job, clock):
    outcome = stored(database, job, [reading(clock, 1), reading(clock, 1)])
    assert len(outcome.stored) == 1
    assert len(all_of(database, job)) == 1


def test_the_first_value_stands_and_the_other_is_told(database, job, clock):
    stored(database, job, [reading(clock, 1, 0.040)])
    outcome = stored(database, job, [reading(clock, 1, 0.041)])
    assert outcome.stored == outcome.differing == (reading(clock, 1).client_id,)
    assert [row.value_m for row in all_of(database, job)] == [0.040]


def test_a_questioned_reading_is_kept_with_the_reason(database, job, clock):
    def doubt(_job, before, one):
        grown = any(one.value_m > row.value_m for row in before)
        return Verdict(ReadingState.QUESTIONED, "foam does not grow") if grown else Verdict()

    outcome = stored(database, job, [reading(clock, 1, 0.040), reading(clock, 2, 0.050)], doubt)
    assert outcome.questioned == ((reading(clock, 2).client_id, "foam does not grow"),)
    assert [row.state for row in all_of(database, job)] == ["accepted", "questioned"]
    # Asked again, the tablet hears the same.
    assert stored(database, job, [reading(clock, 2, 0.050)], doubt).questioned == outcome.questioned


def test_settling_changes_what_is_thought_not_what_was_measured(database, job, clock):
    stored(database, job, [reading(clock, 1)])
    (row,) = all_of(database, job)
    with database.writing(TEACHER) as work:
        settle_reading(work, job.id, row.id, ReadingState.SET_ASIDE, "wrong board")
    (row,) = all_of(database, job)
    assert (row.state, row.reason, row.value_m) == ("set aside", "wrong board", 0.04)
    with pytest.raises(UnknownError, match="no reading number 99"), database.writing(TEACHER) as work:
        settle_reading(work, job.id, 99, ReadingState.ACCEPTED, "")


def test_the_tablets_clock_is_kept_beside_ours(database, job, clock):
    early = clock().replace(year=1971)
    sent = reading(clock, 1)
    skewed = ReadingWish(**{**{f: getattr(sent, f) for f in ReadingWish.__slots__}, "tablet_at": early})
    stored(database, job, [skewed])
    (row,) = all_of(database, job)
    assert (row.tablet_at, row.stored_at) == (early, clock())


def test_readings_that_come_after_the_archive_are_not_lost(database, job, clock):
    with database.writing(TEACHER) as work:
        move_job(work, job.id, Shelf.ARCHIVE)
    stored(database, job, [reading(clock, 1)])
    assert len(all_of(database, job)) == 1
    with database.reading() as session:
        (kept,) = find_jobs(session, JobQuery(shelf=Shelf.ARCHIVE))
    assert kept.stage == ""


def test_a_reading_starts_the_job_and_moves_its_stage(database, job, clock):
    stored(database, job, [reading(clock, 1)])
    with database.reading() as session:
        (kept,) = find_jobs(session, JobQuery())
    assert (kept.stage, kept.state) == ("rocker", "started")


def test_no_job_no_reading(database, clock):
    with pytest.raises(UnknownError, match="no job number 9"), database.writing(TEACHER) as work:
        store_readings(work, 9, [reading(clock, 1)], accept_all)
