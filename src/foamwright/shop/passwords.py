"""The teacher's password, where a shop wants one: kept as an argon2id hash."""

from __future__ import annotations

import threading

from sqlalchemy.orm import Session

from foamwright.shop.about import PASSWORD_HASH, set_value, value_of
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.told import RefusedError, ShopError, TooManyError, told

SHORTEST = 12
LONGEST = 200

_ONE_AT_A_TIME = threading.Lock()
"""Hashing takes memory on purpose; many guesses at once must not take all of it."""

_WAITING = threading.BoundedSemaphore(3)
"""So many wait for their turn: each holds one of the forty threads that answer everybody else's requests."""


def set_password(work: Work, password: str | None) -> None:
    """Set the teacher's password, or take it away with ``None``.

    Raises
    ------
    ShopError
        It is too short, or too long to be hashed in good time.
    """
    if password is not None and len(password) < SHORTEST:
        raise ShopError(told("password", "password-short", least=SHORTEST))
    if password is not None and len(password) > LONGEST:
        raise ShopError(told("password", "too-long", most=LONGEST))
    set_value(work.session, PASSWORD_HASH, None if password is None else _hash(password))
    work.tell(Event.PASSWORD_SET, set=password is not None)


def has_password(session: Session) -> bool:
    """Return whether a teacher's password is set."""
    return password_kept(session) is not None


def password_kept(session: Session) -> str | None:
    """Return the hash of the teacher's password, or ``None`` if none is set."""
    return value_of(session, PASSWORD_HASH)


def require_password(kept: str | None, password: str) -> None:
    """Refuse anything but the teacher's password.

    Parameters
    ----------
    kept
        From `password_kept`.
    password
        What was typed.

    Raises
    ------
    RefusedError
        None is set, or this is not it.
    TooManyError
        As many are being looked at already as may wait.
    """
    from argon2 import PasswordHasher
    from argon2.exceptions import VerificationError

    if kept is None:
        raise RefusedError(told("password", "password-none"))
    if not _WAITING.acquire(blocking=False):
        raise TooManyError(told("password", "too-many-tries", seconds=2))
    try:
        with _ONE_AT_A_TIME:
            PasswordHasher().verify(kept, password[:LONGEST])
    except (VerificationError, UnicodeError):
        raise RefusedError(told("password", "password-wrong")) from None
    finally:
        _WAITING.release()


def _hash(password: str) -> str:
    from argon2 import PasswordHasher

    return PasswordHasher().hash(password)
