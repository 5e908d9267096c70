"""Readings: each stored once, in the order it came, whatever is thought of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.errors import Problem
from foamwright.shop.courses import require_brief
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event, JobState, Measured, ReadingState
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow, ReadingRow
from foamwright.shop.told import UnknownError, told

MOST_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class ReadingWish:
    """A reading as a tablet tells it.

    Attributes
    ----------
    client_id
        The tablet's own name for it, never used twice.
    sequence
        The tablet's count of its readings in this job.
    stage, station, what, tool
        At which stage, where (as the tape names it), what was measured, with what.
    station_m, value_m
        The station from the tail tip and the value, metres.
    written
        What was typed, with its unit.
    tablet_at
        What the tablet's clock said; it may be wrong.
    """

    client_id: str
    sequence: int
    stage: str
    station: str
    station_m: float
    what: Measured
    value_m: float
    written: str
    tool: str
    tablet_at: datetime


@dataclass(frozen=True, slots=True)
class Verdict:
    """What is thought of a reading, and why."""

    state: ReadingState = ReadingState.ACCEPTED
    reason: str = ""


Judge = Callable[[JobRow, Sequence[ReadingRow], ReadingWish], Verdict]
"""Says what to think of a reading, from its job and the readings before it."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a batch.

    Attributes
    ----------
    stored
        Ids that are stored now, new or known already: the tablet may forget these.
    questioned
        Ids among them that look wrong, each with the reason.
    differing
        Ids that were stored before with another value: the first one stands, and history holds the other.
    refused
        Ids that were not stored, each with what is wrong.
    """

    stored: tuple[str, ...]
    questioned: tuple[tuple[str, str], ...]
    differing: tuple[str, ...]
    refused: tuple[tuple[str, Problem], ...] = ()


def store_readings(work: Work, number: int, sent: Sequence[ReadingWish], judge: Judge) -> Outcome:
    """Store the readings of a batch that are not stored yet.

    An archived job's readings are stored too: a tablet that was away comes late, and loses nothing.

    Raises
    ------
    UnknownError
        There is no such job.
    """
    job = require_row(work.session, JobRow, number)
    require_brief(work.session, number)
    known = _known(work.session, [one.client_id for one in sent])
    is_news = any(one.client_id not in known for one in sent)
    before = list(readings_of(work.session, number)) if is_news else []
    differing = []
    for one in sent:
        row = known.get(one.client_id)
        if row is None:
            known[one.client_id] = row = _row(work, number, one, judge(job, before, one))
            _store(work, row)
            _job_moves(work, job, row.stage)
            before.append(row)
        elif not _same(row, number, one):
            differing.append(one.client_id)
            _tell_differing(work, number, one)
    return Outcome(
        stored=tuple(dict.fromkeys(one.client_id for one in sent)),
        questioned=tuple(
            (row.client_id, row.reason)
            for row in known.values()
            if row.job_id == number and row.state == ReadingState.QUESTIONED
        ),
        differing=tuple(differing),
    )


def settle_reading(work: Work, number: int, reading_id: int, state: ReadingState, reason: str) -> ReadingRow:
    """Accept a questioned reading after all, or set one aside; what was measured stays as it was told.

    Raises
    ------
    UnknownError
        There is no such reading in this job.
    """
    row = work.session.get(ReadingRow, reading_id)
    if row is None or row.job_id != number:
        raise UnknownError(told("reading_id", "unknown-reading", id=reading_id))
    before, row.state, row.reason = row.state, state.value, reason
    work.tell(Event.READING_SETTLED, number, reading_id=row.id, before=before, state=row.state, reason=reason)
    return row


def readings_of(session: Session, number: int, after: int = 0) -> Sequence[ReadingRow]:
    """Return a job's readings in the order they came, those after reading number `after`."""
    ours = (ReadingRow.job_id == number, ReadingRow.id > after)
    return session.scalars(select(ReadingRow).where(*ours).order_by(ReadingRow.id)).all()


def accept_all(_job: JobRow, _before: Sequence[ReadingRow], _reading: ReadingWish) -> Verdict:
    """Think nothing of a reading: for trials of the store itself."""
    return Verdict()


def _known(session: Session, ids: Sequence[str]) -> dict[str, ReadingRow]:
    rows = session.scalars(select(ReadingRow).where(ReadingRow.client_id.in_(ids)))
    return {row.client_id: row for row in rows}


def _row(work: Work, number: int, one: ReadingWish, verdict: Verdict) -> ReadingRow:
    return ReadingRow(
        client_id=one.client_id,
        job_id=number,
        sequence=one.sequence,
        stage=one.stage,
        station=one.station,
        station_m=one.station_m,
        what=one.what.value,
        value_m=one.value_m,
        written=one.written,
        tool=one.tool,
        tablet_at=one.tablet_at,
        stored_at=work.now,
        told_by=work.actor.name,
        state=verdict.state.value,
        # Kept as plain text, whatever it knows of how it was made.
        reason=str(verdict.reason),
    )


def _store(work: Work, row: ReadingRow) -> None:
    work.session.add(row)
    # Flushed one by one, so that the numbers follow the order in which they were sent.
    work.session.flush()
    work.tell(
        Event.READING,
        row.job_id,
        reading_id=row.id,
        stage=row.stage,
        station=row.station,
        measured=row.what,
        value_m=row.value_m,
        state=row.state,
    )


def _same(row: ReadingRow, number: int, one: ReadingWish) -> bool:
    told_before = (row.job_id, row.stage, row.station_m, row.what, row.value_m)
    return told_before == (number, one.stage, one.station_m, one.what.value, one.value_m)


def _tell_differing(work: Work, number: int, one: ReadingWish) -> None:
    work.tell(
        Event.READING,
        number,
        client_id=one.client_id,
        stage=one.stage,
        station=one.station,
        measured=one.what.value,
        value_m=one.value_m,
        state="differs from the one stored before",
    )


def _job_moves(work: Work, job: JobRow, stage: str) -> None:
    job.changed_at = work.now
    if job.archived_at is None:
        job.stage = stage
        if job.state in (JobState.OPEN, JobState.PLANNED):
            job.state = JobState.STARTED.value
