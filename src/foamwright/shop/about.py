"""What the shop knows of itself: single values by name."""

from __future__ import annotations

import secrets

from sqlalchemy.orm import Session

from foamwright.shop.database import Actor, Database
from foamwright.shop.tables import About

SIGNING_KEY = "signing-key"
PASSWORD_HASH = "teacher-password"

PRIVATE = frozenset({SIGNING_KEY, PASSWORD_HASH})
"""Values that no export carries."""


def value_of(session: Session, name: str) -> str | None:
    """Return a value, or ``None``."""
    row = session.get(About, name)
    return None if row is None else row.value


def set_value(session: Session, name: str, value: str | None) -> None:
    """Set a value, or take it away."""
    row = session.get(About, name)
    if value is None:
        if row is not None:
            session.delete(row)
    elif row is None:
        session.add(About(name=name, value=value))
    else:
        row.value = value


def signing_key(database: Database) -> bytes:
    """Return the shop's own key, made the first time it is asked for."""
    with database.reading() as session:
        kept = value_of(session, SIGNING_KEY)
    if kept is not None:
        return bytes.fromhex(kept)
    with database.writing(Actor("foamwright")) as work:
        key = value_of(work.session, SIGNING_KEY)
        if key is None:
            key = secrets.token_hex(32)
            set_value(work.session, SIGNING_KEY, key)
    return bytes.fromhex(key)
