"""Days as people write them: ``2026-03-02``; empty where none is set."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta

from foamwright.shop.told import ShopError, told

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


def day_of(where: str, written: str) -> str:
    """Return a day as it is stored; empty stays empty.

    Raises
    ------
    ShopError
        There is no such day.
    """
    plain = written.strip()
    if not plain:
        return ""
    try:
        if _DAY.fullmatch(plain):
            return date.fromisoformat(plain).isoformat()
    except ValueError:
        pass
    raise ShopError(told(where, "no-day", written=plain[:40]))


def today(now: datetime) -> str:
    """Return the day of a moment where this machine stands."""
    return now.astimezone().date().isoformat()


def days_after(day: str, count: int) -> str:
    """Return the day so many days after another."""
    return (date.fromisoformat(day) + timedelta(days=count)).isoformat()
