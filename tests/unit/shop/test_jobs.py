"""Jobs, their plans, steps and strokes."""

from __future__ import annotations

import pytest
from shop_fixtures import TEACHER

from foamwright.shop.boards import add_board, change_board
from foamwright.shop.history import history_of
from foamwright.shop.jobs import (
    JobQuery,
    JobWish,
    change_job,
    find_jobs,
    move_job,
    open_job,
    refresh_board,
    set_stage,
)
from foamwright.shop.kinds import JobState, Shelf, StepState
from foamwright.shop.overview import glance_at
from foamwright.shop.plans import (
    StepWish,
    StrokesWish,
    put_plan,
    set_step,
    steps_of,
    store_strokes,
    strokes_made,
)
from foamwright.shop.told import ConflictError, UnknownError


def opened(database, title="Board", **wish):
    with database.writing(TEACHER) as work:
        return open_job(work, JobWish(title, **wish))


STEPS = [StepWish("rocker", "run-off", 4, {"from_m": 0.2}), StepWish("foil", "run-off", 6, {})]


def test_a_job_keeps_the_board_as_it_was_until_told(database, board_sheet_text):
    with database.writing(TEACHER) as work:
        board = add_board(work, board_sheet_text)
    job = opened(database, board_id=board.id)
    newer = board_sheet_text.replace("4.75", "4.5")
    with database.writing(TEACHER) as work:
        change_board(work, board.id, 1, newer)
    with database.writing(TEACHER) as work:
        same = change_job(work, job.id, 1, JobWish("Other title", board_id=board.id))
        assert (same.board_revision, "4.75" in same.board_sheet) == (1, True)
    with database.writing(TEACHER) as work:
        fresh = refresh_board(work, job.id)
        assert (fresh.board_revision, "4.75" in fresh.board_sheet) == (2, False)


def test_search_finds_every_word_and_takes_signs_as_they_are(database):
    for title in ("Blue fish for the point", "Red fish", "100% foam_core"):
        opened(database, title, note="Übung")
    with database.reading() as session:

        def found(words):
            return [job.title for job in find_jobs(session, JobQuery(words))]

        assert found("FISH point") == ["Blue fish for the point"]
        assert found("100%") == ["100% foam_core"]
        assert found("m_c") == ["100% foam_core"]
        assert found("ÜBUNG fish") == ["Red fish", "Blue fish for the point"]
        assert found("\\") == []
        assert len(find_jobs(session, JobQuery(limit=2))) == 2
        assert len(find_jobs(session, JobQuery(limit=2, offset=2))) == 1


def test_the_archive_keeps_a_job_from_change(database):
    job = opened(database)
    with database.writing(TEACHER) as work:
        move_job(work, job.id, Shelf.ARCHIVE)
    with database.reading() as session:
        assert find_jobs(session, JobQuery()) == []
        assert len(find_jobs(session, JobQuery(shelf=Shelf.ARCHIVE))) == 1
    with pytest.raises(ConflictError, match="“Board” is in the archive"), database.writing(TEACHER) as work:
        set_stage(work, job.id, "rocker", JobState.STARTED)


def test_a_stale_change_of_a_job_is_refused(database):
    job = opened(database)
    with database.writing(TEACHER) as work:
        change_job(work, job.id, 1, JobWish("One"))
    with (
        pytest.raises(ConflictError, match="revision 2, yours began at 1"),
        database.writing(TEACHER) as work,
    ):
        change_job(work, job.id, 1, JobWish("Two"))
    with pytest.raises(UnknownError, match="no board number 9"), database.writing(TEACHER) as work:
        change_job(work, job.id, 2, JobWish("Two", board_id=9))


def test_a_plan_is_kept_letter_for_letter_with_its_steps(database):
    job, plan = opened(database), '{"format": "x",\n "π": 0.1}'
    with database.writing(TEACHER) as work:
        put_plan(work, job.id, 1, plan, STEPS)
    with database.reading() as session:
        (kept,) = find_jobs(session, JobQuery())
        assert (kept.plan, kept.plan_revision, kept.state) == (plan, 1, "planned")
        assert [(s.number, s.stage, s.strokes_planned, s.detail) for s in steps_of(session, kept)] == [
            (1, "rocker", 4, {"from_m": 0.2}),
            (2, "foil", 6, {}),
        ]


def test_strokes_count_once_and_those_of_an_earlier_plan_stay_with_it(database, clock):
    job = opened(database)
    with database.writing(TEACHER) as work:
        put_plan(work, job.id, 1, "{}", STEPS)
    sent = [StrokesWish(f"tablet-stroke-{n:04}", 1, 2, clock()) for n in range(3)]
    for _ in range(2):
        with database.writing(TEACHER) as work:
            outcome = store_strokes(
                work, job.id, 1, [*sent, StrokesWish("tablet-stroke-9999", 7, 1, clock())]
            )
        assert outcome.stored == tuple(one.client_id for one in sent)
        assert outcome.refused == ("tablet-stroke-9999",)
    with database.writing(TEACHER) as work:
        put_plan(work, job.id, 2, "{}", STEPS)
        late = store_strokes(work, job.id, 1, [StrokesWish("tablet-stroke-late", 2, 1, clock())])
        assert late.stored == ("tablet-stroke-late",)
    with database.reading() as session:
        (kept,) = find_jobs(session, JobQuery())
        assert strokes_made(session, kept) == {}
        kept.plan_revision = 1
        assert strokes_made(session, kept) == {1: 6, 2: 1}


def test_a_step_moves_the_job(database):
    job = opened(database)
    with database.writing(TEACHER) as work:
        put_plan(work, job.id, 1, "{}", STEPS)
        set_step(work, job.id, 2, StepState.DONE)
    with database.reading() as session:
        (kept,) = find_jobs(session, JobQuery())
        assert (kept.stage, kept.state) == ("foil", "started")
    with pytest.raises(UnknownError, match="no step 3"), database.writing(TEACHER) as work:
        set_step(work, job.id, 3, StepState.DONE)


def test_the_class_at_a_glance(database, clock):
    first, second = opened(database, "First"), opened(database, "Second")
    with database.writing(TEACHER) as work:
        put_plan(work, first.id, 1, "{}", STEPS)
        set_step(work, first.id, 1, StepState.DONE)
    clock.pass_by(minutes=21)
    with database.reading() as session:
        one, two = glance_at(session, clock())
    assert (one.job.id, one.steps, one.done, one.waits_long) == (first.id, 2, 1, True)
    assert (two.job.id, two.steps, two.waits_long, two.last) == (second.id, 0, False, None)


def test_everything_that_was_done_stands_in_its_history(database):
    job = opened(database)
    with database.writing(TEACHER) as work:
        set_stage(work, job.id, "rocker", JobState.STARTED)
        set_stage(work, job.id, "rocker", JobState.STARTED)
    with database.reading() as session:
        assert [(h.what, h.who) for h in history_of(session, job.id)] == [
            ("job-stage", "teacher"),
            ("job-opened", "teacher"),
        ]
