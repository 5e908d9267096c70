"""Pairing: a code shown on the host, good for a short while and for few tries, opens one session."""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import select, update

from foamwright.shop.database import Work
from foamwright.shop.jobs import require_open
from foamwright.shop.kinds import Event, Role
from foamwright.shop.sessions import NewSession, digest_of, open_session
from foamwright.shop.tables import PairingCode
from foamwright.shop.texts import line_of
from foamwright.shop.told import RefusedError, told

LIFE = timedelta(minutes=5)
TRIES = 10
"""Wrong codes, by anybody, that a code outlives: with 10**6 codes, one guess in 100,000 at best."""

DIGITS = 6


@dataclass(frozen=True, slots=True)
class ShownCode:
    """A code as the host shows it; only here is it in clear."""

    id: int
    code: str
    role: Role
    job_id: int | None
    label: str
    expires_at: datetime


def make_code(work: Work, role: Role, job_id: int | None, label: str) -> ShownCode:
    """Make a code for one device.

    Parameters
    ----------
    work
        The piece of work.
    role
        ``teacher`` or ``bench``.
    job_id
        The job a bench is paired with; ``None`` for a teacher.
    label
        What the device is called in lists.

    Raises
    ------
    UnknownError
        There is no such job.
    """
    if job_id is not None:
        require_open(work.session, job_id)
    code = f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"
    row = PairingCode(
        code_digest=digest_of(code),
        role=role.value,
        job_id=job_id,
        label=line_of("label", label),
        made_at=work.now,
        expires_at=work.now + LIFE,
        tries_left=TRIES,
    )
    work.session.add(row)
    work.session.flush()
    work.tell(Event.CODE_MADE, job_id, role=role.value, label=row.label)
    return ShownCode(row.id, code, role, job_id, row.label, row.expires_at)


def try_code(work: Work, written: str) -> NewSession | None:
    """Open a session with a code; a wrong one costs every good code a try, and ``None`` comes back.

    The try must be stored, so this does not raise: `require_paired` tells the person.
    """
    row = _good_code(work, "".join(written.split()))
    if row is None:
        _cost_a_try(work)
        work.tell(Event.PAIRING_FAILED)
        return None
    row.used_at = work.now
    session = open_session(work, Role(row.role), row.job_id, row.label)
    work.tell(Event.PAIRED, row.job_id, role=row.role, label=row.label)
    return session


def require_paired(session: NewSession | None) -> NewSession:
    """Return the session, or say that the code was wrong.

    Raises
    ------
    RefusedError
        There is none.
    """
    if session is None:
        raise RefusedError(told("code", "code-wrong"))
    return session


def _good_code(work: Work, code: str) -> PairingCode | None:
    good = select(PairingCode).where(
        PairingCode.used_at.is_(None), PairingCode.tries_left > 0, PairingCode.expires_at > work.now
    )
    sought = digest_of(code)
    found = [row for row in work.session.scalars(good) if hmac.compare_digest(row.code_digest, sought)]
    return found[0] if found else None


def _cost_a_try(work: Work) -> None:
    good = (PairingCode.used_at.is_(None), PairingCode.tries_left > 0)
    work.session.execute(
        update(PairingCode).where(*good).values(tries_left=PairingCode.tries_left - 1),
        execution_options={"synchronize_session": False},
    )
