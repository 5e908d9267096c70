"""Notes between a teacher and a bench."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.shop.database import Work
from foamwright.shop.jobs import require_open
from foamwright.shop.kinds import Event, Role
from foamwright.shop.tables import NoteRow
from foamwright.shop.texts import note_of
from foamwright.shop.told import ShopError, UnknownError, told

LONGEST = 500


def add_note(work: Work, job_id: int, role: Role, words: str) -> NoteRow:
    """Leave a note at a job.

    Raises
    ------
    UnknownError
        There is no such job.
    ShopError
        It says nothing, or too much.
    """
    job = require_open(work.session, job_id)
    text = note_of("words", words, LONGEST)
    if not text:
        raise ShopError(told("words", "empty"))
    note = NoteRow(
        job_id=job.id, words=text, written_by=work.actor.name, from_role=role.value, made_at=work.now
    )
    work.session.add(note)
    work.session.flush()
    work.tell(Event.NOTE, job.id, note_id=note.id, from_role=role.value)
    return note


def note_seen(work: Work, job_id: int, note_id: int) -> NoteRow:
    """Write down that a note was read.

    Raises
    ------
    UnknownError
        There is no such note in this job.
    """
    note = work.session.get(NoteRow, note_id)
    if note is None or note.job_id != job_id:
        raise UnknownError(told("note_id", "unknown-note", id=note_id))
    if note.seen_at is None:
        note.seen_at = work.now
        work.tell(Event.NOTE_SEEN, job_id, note_id=note.id)
    return note


def notes_of(session: Session, job_id: int) -> Sequence[NoteRow]:
    """Return the notes at a job, oldest first."""
    return session.scalars(select(NoteRow).where(NoteRow.job_id == job_id).order_by(NoteRow.id)).all()
