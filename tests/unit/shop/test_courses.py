"""Courses: nothing begins before the brief is signed; the power planer stays shut until all is shown."""

from __future__ import annotations

import pytest
from bench_support import add_planned_job
from order_support import OWNER

from foamwright.shop.contacts import find_or_add_person
from foamwright.shop.courses import (
    CLEARED,
    GATE,
    CourseWish,
    add_course,
    add_pupil,
    is_brief_missing,
    is_cleared,
    marks_of,
    set_marks,
    sign_brief,
)
from foamwright.shop.kinds import Measured, StepState
from foamwright.shop.order_kinds import Shown
from foamwright.shop.plans import set_step
from foamwright.shop.readings import ReadingWish, accept_all, store_readings
from foamwright.shop.told import ConflictError, ShopError


@pytest.fixture
def pupil(database):
    """A pupil with a planned job."""
    job = add_planned_job(database, "First board")
    with database.writing(OWNER) as work:
        course = add_course(work, CourseWish("December", begins_on="2026-03-03", ends_on="2026-03-05"))
        person = find_or_add_person(work, "Lio Sand", "")
        return add_pupil(work, course.id, person.id, job, "teen")


def reading(clock):
    return ReadingWish(
        "tablet-0000000000001", 1, "rocker", "nose", 1.9, Measured.ROCKER, 0.1, "", "", clock()
    )


def test_the_first_step_waits_for_the_signature(database, pupil, clock):
    for begin in (
        lambda work: set_step(work, pupil.job_id, 1, StepState.STARTED),
        lambda work: store_readings(work, pupil.job_id, [reading(clock)], accept_all),
    ):
        with pytest.raises(ConflictError, match="Lio Sand has not signed the safety brief"):
            do(database, begin)
    with pytest.raises(ShopError, match="“Leo Sand” is not the pupil's name, Lio Sand"):
        do(database, lambda work: sign_brief(work, pupil.job_id, "Leo Sand", "read"))
    signed = do(database, lambda work: sign_brief(work, pupil.job_id, " lio  sand", "read"))
    assert (signed.signed_as, signed.signed_brief, signed.signed_at) == ("lio sand", "read", clock())
    assert do(database, lambda work: set_step(work, pupil.job_id, 1, StepState.STARTED)).state == "started"
    with database.reading() as session:
        assert not is_brief_missing(session, pupil.job_id)


def do(database, act):
    with database.writing(OWNER) as work:
        return act(work)


def test_a_job_of_nobody_in_a_course_needs_no_signature(database):
    job = add_planned_job(database, "The shop's own")
    assert do(database, lambda work: set_step(work, job, 1, StepState.STARTED)).state == "started"


def test_the_power_planer_opens_only_after_all_of_it(database, pupil):
    most = dict.fromkeys(GATE[:-1], Shown.SHOWN) | {GATE[-1]: Shown.WITH_HELP}
    with pytest.raises(ConflictError, match=r"Lio Sand is not cleared for the power planer: stops-above"):
        do(database, lambda work: set_marks(work, pupil.id, {**most, CLEARED: Shown.SHOWN}))
    with database.reading() as session:
        assert marks_of(session, pupil.id) == {}
    do(
        database,
        lambda work: set_marks(work, pupil.id, {**most, GATE[-1]: Shown.SHOWN, CLEARED: Shown.SHOWN}),
    )
    with database.reading() as session:
        assert is_cleared(session, pupil.id)
        assert marks_of(session, pupil.id)[CLEARED].by == "host"
    # What is taken back shuts the gate: it cannot stay open over it.
    with pytest.raises(ConflictError, match="not cleared"):
        do(database, lambda work: set_marks(work, pupil.id, {GATE[0]: Shown.NOT_YET}))


def test_a_job_has_one_pupil_and_a_course_ends_after_it_begins(database, pupil):
    with pytest.raises(ConflictError, match="belongs to another pupil"):
        do(database, lambda work: add_pupil(work, pupil.course_id, pupil.person_id, pupil.job_id))
    with pytest.raises(ShopError, match=r"title: Nothing stands here(.|\n)*2026-03-01 has gone by"):
        do(
            database,
            lambda work: add_course(work, CourseWish(" ", begins_on="2026-03-03", ends_on="2026-03-01")),
        )
