"""Moments: always with a zone, always UTC, in every database the same."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from sqlalchemy import DateTime, Dialect
from sqlalchemy.types import TypeDecorator

Clock = Callable[[], datetime]


def now() -> datetime:
    """Return this moment in UTC."""
    return datetime.now(UTC)


class Moment(TypeDecorator[datetime]):
    """A moment in UTC; SQLite keeps it without its zone, so the zone is put back on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the moment as it is stored."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without its zone")
        utc = value.astimezone(UTC)
        return utc.replace(tzinfo=None) if dialect.name == "sqlite" else utc

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Return the moment as it was."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
