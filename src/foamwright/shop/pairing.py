"""Pairing: a code shown on the host, good for a short while and for few tries, opens one session."""

from __future__ import annotations

import hmac
import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import select

from foamwright.shop.database import Work
from foamwright.shop.jobs import require_open
from foamwright.shop.kinds import Event, Role
from foamwright.shop.sessions import NewSession, digest_of, open_session
from foamwright.shop.tables import PairingCode
from foamwright.shop.texts import line_of
from foamwright.shop.told import RefusedError, ShopError, told

LIFE = timedelta(minutes=5)
DIGITS = 8
"""So many that wrong tries need cost a code nothing: a stranger cannot use up what is meant for another. The
app takes at most 300 wrong codes a minute from everybody together (`web.rate`), so within the life of a code
one in 66,000 is hit at best."""

_NOT_COUNTED = 0
"""What stands in the column of older forms that counted wrong tries."""


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
    ShopError
        A bench without a job: it would see nothing, and stay paired to nothing.
    """
    if role is Role.BENCH and job_id is None:
        raise ShopError(told("job_id", "bench-without-job"))
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
        tries_left=_NOT_COUNTED,
    )
    work.session.add(row)
    work.session.flush()
    work.tell(Event.CODE_MADE, job_id, role=role.value, label=row.label)
    return ShownCode(row.id, code, role, job_id, row.label, row.expires_at)


def try_code(work: Work, written: str) -> NewSession | None:
    """Open a session with a code; a wrong one is written down, and ``None`` comes back.

    That must be stored, so this does not raise: `require_paired` tells the person.
    """
    row = _good_code(work, "".join(written.split()))
    if row is None:
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
    good = select(PairingCode).where(PairingCode.used_at.is_(None), PairingCode.expires_at > work.now)
    sought = digest_of(code)
    found = [row for row in work.session.scalars(good) if hmac.compare_digest(row.code_digest, sought)]
    return found[0] if found else None
