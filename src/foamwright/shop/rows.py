"""Finding one row, refusing stale changes to it, and the archive."""

from __future__ import annotations

from datetime import datetime
from typing import Any, Protocol, TypeVar

from sqlalchemy import ColumnElement
from sqlalchemy.orm import InstrumentedAttribute, Session

from foamwright.shop.class_tables import CourseRow, PupilRow
from foamwright.shop.kinds import Shelf
from foamwright.shop.order_tables import BillRow, OrderRow
from foamwright.shop.table_base import Base
from foamwright.shop.tables import BoardRow, JobRow, Person, StockBlank
from foamwright.shop.told import ConflictError, UnknownError, told

R = TypeVar("R", bound=Base)

_NAMES: dict[type[Base], str] = {
    Person: "unknown-person",
    BoardRow: "unknown-board",
    StockBlank: "unknown-blank",
    JobRow: "unknown-job",
    OrderRow: "unknown-order",
    BillRow: "unknown-bill",
    CourseRow: "unknown-course",
    PupilRow: "unknown-pupil",
}


class Kept(Protocol):
    """A row that can be put into the archive."""

    archived_at: Any


class Revised(Protocol):
    """A row that counts its changes."""

    revision: Any


def require_row(session: Session, table: type[R], number: int) -> R:
    """Return a row by its number.

    Raises
    ------
    UnknownError
        There is none.
    """
    row = session.get(table, number)
    if row is None:
        raise UnknownError(told("id", _NAMES[table], id=number))
    return row


def require_fresh(row: Revised, sent: int) -> None:
    """Refuse a change that began from an older state of the row.

    Raises
    ------
    ConflictError
        The row was changed since.
    """
    if row.revision != sent:
        raise ConflictError(told("revision", "stale", current=row.revision, sent=sent))


def on_shelf(column: InstrumentedAttribute[datetime | None], shelf: Shelf) -> ColumnElement[bool]:
    """Return the condition that a row is in use, or in the archive."""
    return column.is_not(None) if shelf is Shelf.ARCHIVE else column.is_(None)


def move(row: Kept, shelf: Shelf, now: datetime) -> bool:
    """Put a row into the archive or take it out; return whether it was elsewhere before."""
    is_there = (row.archived_at is not None) == (shelf is Shelf.ARCHIVE)
    if not is_there:
        row.archived_at = now if shelf is Shelf.ARCHIVE else None
    return not is_there
