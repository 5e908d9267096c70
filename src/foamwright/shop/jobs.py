"""Jobs: one board for one rider, opened, given a blank and a plan, worked, finished, put away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.shop.database import Work
from foamwright.shop.kinds import Event, JobState, Shelf
from foamwright.shop.reservations import unuse_reservation, use_reservation
from foamwright.shop.rows import move, on_shelf, require_fresh, require_row
from foamwright.shop.searching import refresh_search
from foamwright.shop.stock import put_one_back, take_one
from foamwright.shop.tables import BoardRow, JobRow, Person
from foamwright.shop.texts import LONGEST_TITLE, escaped_like, folded, line_of, note_of
from foamwright.shop.told import ConflictError, told

MOST_AT_ONCE = 200

_UNCUT = (JobState.OPEN, JobState.PLANNED)
"""States in which nothing was cut yet."""


@dataclass(frozen=True, slots=True)
class JobWish:
    """What a job is to be: its title, whose, which board, and a note."""

    title: str
    rider_id: int | None = None
    board_id: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class JobQuery:
    """Which jobs are looked for: words of their search text, in use or in the archive, a page of them."""

    words: str = ""
    shelf: Shelf = Shelf.IN_USE
    limit: int = 50
    offset: int = 0


def open_job(work: Work, wish: JobWish) -> JobRow:
    """Open a job and return its row.

    Raises
    ------
    UnknownError
        There is no such rider or board.
    ShopError
        A text is empty or too long, or what is named is in the archive.
    """
    job = JobRow(state=JobState.OPEN.value, stage="", plan_revision=0, revision=1)
    job.board_sheet, job.blank_sheet, job.bay_sheet, job.made_at = "", "", "", work.now
    _fill(work, job, wish)
    work.session.add(job)
    work.session.flush()
    work.tell(Event.JOB_OPENED, job.id, title=job.title)
    return job


def change_job(work: Work, number: int, revision: int, wish: JobWish) -> JobRow:
    """Change what a job is to be, and return its row; a board named anew is taken as it stands now.

    Raises
    ------
    UnknownError
        There is no such job, rider or board.
    ConflictError
        Somebody changed the job meanwhile, or it is in the archive.
    """
    job = require_open(work.session, number)
    require_fresh(job, revision)
    _fill(work, job, wish)
    job.revision += 1
    work.tell(Event.JOB_CHANGED, job.id, title=job.title)
    return job


def refresh_board(work: Work, number: int) -> JobRow:
    """Take a job's board as it stands now; its plan stays until a new one is made."""
    job = require_open(work.session, number)
    if job.board_id is not None:
        _take_board(work, job, job.board_id)
        _changed(work, job)
        work.tell(Event.JOB_CHANGED, job.id, title=job.title, board_revision=job.board_revision)
    return job


def give_blank(work: Work, number: int, blank_id: int | None) -> JobRow:
    """Give a job a blank off the rack (the one it had goes back), or only put its blank back.

    Raises
    ------
    UnknownError
        There is no such job or blank.
    ConflictError
        None of that blank is left. The job keeps what it had.
    """
    job = require_open(work.session, number)
    if blank_id == job.blank_id:
        return job
    if blank_id is not None:
        use_reservation(work, blank_id, job.id)
        taken = take_one(work, blank_id, job.id)
        _put_back(work, job)
        job.blank_id, job.blank_sheet = taken.id, taken.sheet
    else:
        _put_back(work, job)
        job.blank_id, job.blank_sheet = None, ""
    _changed(work, job)
    work.tell(Event.JOB_BLANK, job.id, blank_id=blank_id)
    return job


def set_stage(work: Work, number: int, stage: str, state: JobState) -> JobRow:
    """Write down where a job stands."""
    job = require_open(work.session, number)
    named = note_of("stage", stage, 40)
    if (job.stage, job.state) != (named, state.value):
        job.stage, job.state = named, state.value
        _changed(work, job)
        work.tell(Event.JOB_STAGE, job.id, stage=job.stage, state=job.state)
    return job


def move_job(work: Work, number: int, shelf: Shelf) -> JobRow:
    """Put a job into the archive, or take it out; nothing of it is lost, its benches are let go.

    A blank that nothing was cut from goes back onto the rack.
    """
    job = require_row(work.session, JobRow, number)
    if shelf is Shelf.ARCHIVE and job.archived_at is None and job.state in _UNCUT:
        give_blank(work, number, None)
    if move(job, shelf, work.now):
        _changed(work, job)
        work.tell(Event.JOB_ARCHIVED, job.id, shelf=shelf.value)
    return job


def find_jobs(session: Session, query: JobQuery) -> Sequence[JobRow]:
    """Return the jobs in which every word that is looked for stands, last changed first."""
    found = select(JobRow).where(on_shelf(JobRow.archived_at, query.shelf))
    for word in folded(query.words).split():
        found = found.where(JobRow.search.like(f"%{escaped_like(word)}%", escape="\\"))
    page = found.order_by(JobRow.changed_at.desc(), JobRow.id.desc())
    return session.scalars(page.limit(min(query.limit, MOST_AT_ONCE)).offset(query.offset)).all()


def require_open(session: Session, number: int) -> JobRow:
    """Return a job that may be changed.

    Raises
    ------
    UnknownError
        There is none of that number.
    ConflictError
        It is in the archive.
    """
    job = require_row(session, JobRow, number)
    if job.archived_at is not None:
        raise ConflictError(told("id", "archived-job", title=job.title))
    return job


def _fill(work: Work, job: JobRow, wish: JobWish) -> None:
    job.title = line_of("title", wish.title, LONGEST_TITLE)
    job.note = note_of("note", wish.note)
    if wish.rider_id != job.rider_id:
        _take_rider(work, job, wish.rider_id)
    if wish.board_id is None:
        job.board_id, job.board_revision, job.board_sheet = None, None, ""
    elif wish.board_id != job.board_id:
        _take_board(work, job, wish.board_id)
    job.changed_at = work.now
    with work.session.no_autoflush:
        refresh_search(work.session, job)


def _take_rider(work: Work, job: JobRow, rider_id: int | None) -> None:
    if rider_id is not None:
        rider = require_row(work.session, Person, rider_id)
        if rider.archived_at is not None:
            raise ConflictError(told("rider_id", "archived-person", name=rider.name))
    job.rider_id = rider_id


def _take_board(work: Work, job: JobRow, board_id: int) -> None:
    board = require_row(work.session, BoardRow, board_id)
    if board.archived_at is not None:
        raise ConflictError(told("board_id", "archived-board", name=board.name))
    job.board_id, job.board_revision, job.board_sheet = board.id, board.revision, board.sheet


def _put_back(work: Work, job: JobRow) -> None:
    if job.blank_id is not None:
        put_one_back(work, job.blank_id, job.id)
        unuse_reservation(work, job.id)


def _changed(work: Work, job: JobRow) -> None:
    job.revision += 1
    job.changed_at = work.now
    refresh_search(work.session, job)
