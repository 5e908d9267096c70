"""Paired devices: a token on the device, its digest here."""

from __future__ import annotations

import hashlib
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.shop.database import Work
from foamwright.shop.kinds import Event, Role
from foamwright.shop.moments import Clock
from foamwright.shop.tables import JobRow, PairedSession
from foamwright.shop.told import UnknownError, told

LIVES = {Role.TEACHER: timedelta(days=7), Role.BENCH: timedelta(days=30)}
"""How long a device stays paired: a bench as long as a job may take, a teacher a week."""

SEEN_EVERY = timedelta(minutes=1)
"""A visit is written down at most this often, so that reading pages does not write."""


@dataclass(frozen=True, slots=True)
class NewSession:
    """A session just opened, with its token in clear; only its device keeps that."""

    id: int
    token: str
    role: Role
    job_id: int | None


def open_session(work: Work, role: Role, job_id: int | None, label: str) -> NewSession:
    """Open a session for a device."""
    token = secrets.token_urlsafe(32)
    row = PairedSession(
        token_digest=digest_of(token),
        role=role.value,
        job_id=job_id,
        label=label,
        made_at=work.now,
        seen_at=work.now,
        expires_at=work.now + LIVES[role],
    )
    work.session.add(row)
    work.session.flush()
    return NewSession(row.id, token, role, job_id)


def find_session(session: Session, token: str, clock: Clock) -> PairedSession | None:
    """Return the session of a token, unless it has ended, run out, or its job is in the archive."""
    found = session.scalars(
        select(PairedSession).where(PairedSession.token_digest == digest_of(token))
    ).one_or_none()
    if found is None or found.ended_at is not None or found.expires_at <= clock():
        return None
    job = session.get(JobRow, found.job_id) if found.job_id is not None else None
    return None if job is not None and job.archived_at is not None else found


def saw_session(work: Work, number: int) -> None:
    """Write down that a device was here."""
    row = work.session.get(PairedSession, number)
    if row is not None:
        row.seen_at = work.now


def end_session(work: Work, number: int) -> None:
    """Let a device go: its token is worth nothing from now on.

    Raises
    ------
    UnknownError
        There is no such device.
    """
    row = work.session.get(PairedSession, number)
    if row is None:
        raise UnknownError(told("id", "unknown-session", id=number))
    if row.ended_at is None:
        row.ended_at = work.now
        work.tell(Event.SESSION_ENDED, row.job_id, label=row.label)


def live_sessions(session: Session, clock: Clock) -> Sequence[PairedSession]:
    """Return the devices that are paired now, last seen first."""
    live = (PairedSession.ended_at.is_(None), PairedSession.expires_at > clock())
    return session.scalars(select(PairedSession).where(*live).order_by(PairedSession.seen_at.desc())).all()


def digest_of(secret: str) -> str:
    """Return the digest under which a code or token is kept."""
    return hashlib.sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()
