"""Rows of a backup, checked before they are believed: our columns, values of our kinds, and nothing else."""

from __future__ import annotations

import json
import math
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import JSON, Column, DateTime, Float, Integer, String, Table

from foamwright.shop.about import PRIVATE
from foamwright.shop.tables import About

LONGEST = 32_000_000
"""Characters of a line of an export, and bytes of a value of a copy: a job with its sheets and its plan, the
longest row there is, comes to under 2 MB."""

_DIGITS_64 = 2**63


class WrongRowError(ValueError):
    """A row is not one of ours; says why, as the end of a sentence."""


def row_of_line(table: Table, line: str) -> dict[str, Any]:
    """Return a row of an export from its line.

    Raises
    ------
    WrongRowError
        It is no JSON, has other columns or kinds, or opens a door (a key, a password).
    """
    try:
        row = json.loads(line, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise WrongRowError(f"a row of {table.name} cannot be read") from None
    if not isinstance(row, dict) or set(row) != set(table.columns.keys()):
        raise WrongRowError(f"a row of {table.name} has other columns")
    if table.name == About.__tablename__ and row["name"] in PRIVATE:
        raise WrongRowError(f"it holds a “{row['name']}”, which no export of ours does")
    return {name: _checked(table.columns[name], value) for name, value in row.items()}


def row_of_copy(table: Table, values: tuple[Any, ...]) -> dict[str, Any]:
    """Return a row of a SQLite copy, its values in the order of the table's columns.

    Raises
    ------
    WrongRowError
        A value is of another kind.
    """
    return {
        column.name: _checked(column, _unpacked(column, value))
        for column, value in zip(table.columns, values, strict=True)
    }


def _unpacked(column: Column[Any], value: Any) -> Any:
    if not isinstance(column.type, JSON) or not isinstance(value, str):
        return value
    try:
        return json.loads(value, parse_constant=_no_number)
    except (ValueError, RecursionError):
        raise _wrong(column) from None


def _no_number(word: str) -> float:
    raise ValueError(f"{word} is no number")


def _checked(column: Column[Any], value: Any) -> Any:
    if value is None:
        if not column.nullable:
            raise _wrong(column)
        return None
    kind = column.type
    if isinstance(kind, DateTime):
        return _moment(column, value)
    if isinstance(kind, JSON):
        fits = isinstance(value, dict)
    elif isinstance(kind, Integer):
        fits = type(value) is int and -_DIGITS_64 <= value < _DIGITS_64
    elif isinstance(kind, Float):
        fits = type(value) in (int, float) and math.isfinite(value)
    else:
        fits = isinstance(kind, String) and isinstance(value, str)
    if not fits:
        raise _wrong(column)
    return value


def _moment(column: Column[Any], value: Any) -> datetime:
    """Return a moment in UTC with its zone; a copy keeps it without."""
    try:
        moment = datetime.fromisoformat(value)
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)
    except (TypeError, ValueError, OverflowError):
        raise _wrong(column) from None


def _wrong(column: Column[Any]) -> WrongRowError:
    return WrongRowError(f"{column.table.name}.{column.name} holds a value of another kind")
