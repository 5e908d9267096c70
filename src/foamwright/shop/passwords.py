"""The teacher's password, where a shop wants one: kept as an argon2id hash."""

from __future__ import annotations

import threading

from sqlalchemy.orm import Session

from foamwright.shop.about import PASSWORD_HASH, set_value, value_of
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.told import RefusedError, ShopError, told

SHORTEST = 12
LONGEST = 200

_ONE_AT_A_TIME = threading.Lock()
"""Hashing takes memory on purpose; many guesses at once must not take all of it."""


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
    return value_of(session, PASSWORD_HASH) is not None


def require_password(session: Session, password: str) -> None:
    """Refuse anything but the teacher's password.

    Raises
    ------
    RefusedError
        None is set, or this is not it.
    """
    from argon2 import PasswordHasher
    from argon2.exceptions import VerificationError

    kept = value_of(session, PASSWORD_HASH)
    if kept is None:
        raise RefusedError(told("password", "password-none"))
    try:
        with _ONE_AT_A_TIME:
            PasswordHasher().verify(kept, password[:LONGEST])
    except (VerificationError, UnicodeError):
        raise RefusedError(told("password", "password-wrong")) from None


def _hash(password: str) -> str:
    from argon2 import PasswordHasher

    return PasswordHasher().hash(password)
