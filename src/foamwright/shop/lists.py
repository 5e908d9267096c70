"""Suppliers' lists: every row read as a blank of a stock sheet, every bad row explained.

The columns are the keys of a stock sheet: ``id``, ``foam``, ``length``, ``price`` …; a key of a table
stands behind the table's name: ``rocker nose``, ``rocker 12 from nose``, ``thickness centre``,
``outline wide``, ``dome tail``, ``stringer wood``. So a list obeys the rules of a sheet, and no others.
"""

from __future__ import annotations

import difflib
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time, timedelta
from typing import Any

from foamwright.blank.numbers import BlankNumbers
from foamwright.blank.sheet import stock_from_text
from foamwright.blank.written import BlankTable
from foamwright.errors import InputError, Problem
from foamwright.findings import listed, said
from foamwright.sheets.writing import text_value
from foamwright.shop.list_files import Cell, Row, rows_of
from foamwright.shop.told import ShopError, told
from foamwright.units import Unit

TABLES = ("outline", "rocker", "thickness", "dome", "stringer", "skim")
NEEDED = ("id", "foam", "section", "length", "price")


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that is no blank: its number, its cells as they were read, and what is wrong."""

    number: int
    cells: tuple[str, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True)
class SupplierList:
    """A list as it was read: the blanks, and the rows that are none."""

    columns: tuple[str, ...]
    blanks: tuple[BlankNumbers, ...]
    bad: tuple[BadRow, ...]


@dataclass(frozen=True, slots=True)
class ListForm:
    """What a list does not say itself: the unit of a bare number, and the currency of its prices."""

    unit: Unit
    currency: str


def read_list(name: str, data: bytes, form: ListForm) -> SupplierList:
    """Return what a supplier's list says.

    Parameters
    ----------
    name
        The file's name, for messages.
    data
        CSV (comma, semicolon or tab; UTF-8, UTF-16 or Windows-1252) or XLSX (its first sheet).
    form
        Unit and currency; columns ``units`` and ``currency`` have their say first.

    Raises
    ------
    ShopError
        The file cannot be read, or its columns cannot stand; rows that cannot are among its `bad` ones.
    """
    names, *rows = rows_of(name, data)
    columns = _columns(name, names)
    blanks: list[BlankNumbers] = []
    bad: list[BadRow] = []
    seen: dict[str, int] = {}
    for row in rows:
        try:
            blank = _blank(name, columns, row, form)
            _refuse_second(name, row, blank, seen)
            blanks.append(blank)
        except InputError as why:
            bad.append(BadRow(row.number, tuple(map(_shown, row.cells)), why.problems))
    return SupplierList(columns, tuple(blanks), tuple(bad))


def _at(name: str, row: Row) -> str:
    return listed(name, said("sheet.row", "row {row}", row=str(row.number)))


def _columns(name: str, row: Row) -> tuple[str, ...]:
    columns = tuple(" ".join(_shown(cell).casefold().replace("_", " ").split()) for cell in row.cells)
    columns = tuple(_SPELT.get(column, column) for column in columns)
    where = _at(name, row)
    problems: list[Problem] = [
        told(where, "list-column-twice", column=column)
        for column, count in Counter(columns).items()
        if column and count > 1
    ]
    problems += [told(where, "list-column-missing", column=need) for need in NEEDED if need not in columns]
    problems += [_unknown(where, column) for column in columns if column and not _is_known(column)]
    if problems:
        raise ShopError(problems)
    return columns


_SPELT = {key.replace("_", " "): key for key in BlankTable.model_fields if "_" in key}
_KEYS = {*(set(BlankTable.model_fields) - set(TABLES)), "thickness", "units", "currency", "stringer"}


def _is_known(column: str) -> bool:
    table, _, key = column.partition(" ")
    return column in _KEYS or (table in TABLES and bool(key))


def _unknown(where: str, column: str) -> Problem:
    near = difflib.get_close_matches(column, sorted(_KEYS), n=1)
    key = "list-column-misspelt" if near else "list-column-unknown"
    return told(where, key, column=column, near=near[0] if near else ", ".join(sorted(_KEYS)))


def _refuse_second(name: str, row: Row, blank: BlankNumbers, seen: dict[str, int]) -> None:
    if blank.id in seen:
        where = listed(_at(name, row), "id")
        raise ShopError(told(where, "list-code-twice", code=blank.id, row=seen[blank.id]))
    seen[blank.id] = row.number


def _blank(name: str, columns: Sequence[str], row: Row, form: ListForm) -> BlankNumbers:
    where = _at(name, row)
    if len(row.cells) > len(columns):
        raise ShopError(told(where, "list-row-long"))
    cells = {c: cell for c, cell in zip(columns, row.cells, strict=False) if c and cell not in (None, "")}
    _refuse_spoilt(where, cells)
    try:
        (blank,) = stock_from_text(_sheet(cells, form), where)
    except InputError as why:
        raise ShopError([_at_its_cell(where, problem) for problem in why.problems]) from None
    return blank


def _refuse_spoilt(where: str, cells: Mapping[str, Cell]) -> None:
    """Refuse what a spreadsheet has made of a cell: a date out of 3/4, an error out of a formula."""
    problems: list[Problem] = []
    for column, cell in cells.items():
        if isinstance(cell, date | time | timedelta):
            problems.append(told(listed(where, column), "list-date"))
        elif isinstance(cell, str) and cell.startswith("#") and cell.rstrip("!?").isupper():
            problems.append(told(listed(where, column), "list-formula-error", written=cell))
    if problems:
        raise ShopError(problems)


def _sheet(cells: Mapping[str, Cell], form: ListForm) -> str:
    """The row as a stock sheet of one blank."""
    units, currency = cells.get("units", form.unit.value), cells.get("currency", form.currency)
    plain, tables = _sorted_out(cells)
    plain.setdefault("on_hand", 0)
    if "stringer" not in {*plain, *tables}:
        plain["stringer"] = "none"
    lines = [f"units = {_value(units)}", f"currency = {_value(currency)}", "[[blank]]"]
    lines += [f"{key} = {_value(cell)}" for key, cell in plain.items()]
    for table, inside in tables.items():
        listed = ", ".join(f"{text_value(key)} = {_value(cell)}" for key, cell in inside.items())
        lines.append(f"{table} = {{ {listed} }}")
    return "\n".join(lines) + "\n"


def _sorted_out(cells: Mapping[str, Cell]) -> tuple[dict[str, Cell], dict[str, dict[str, Cell]]]:
    plain: dict[str, Cell] = {}
    tables: dict[str, dict[str, Cell]] = {}
    for column, cell in cells.items():
        table, _, key = column.partition(" ")
        if column in ("units", "currency"):
            continue
        if table in TABLES and key:
            tables.setdefault(table, {})[_spelt_key(key)] = cell
        else:
            plain[column] = cell
    # One thickness and thicknesses at stations: the sheet's own key for the one is `everywhere`.
    for table in tables.keys() & plain.keys():
        tables[table]["everywhere" if table == "thickness" else "wood"] = plain.pop(table)
    return plain, tables


def _spelt_key(key: str) -> str:
    return "wide_at" if key == "wide at" else key


_INTEGER = re.compile(r"-?[0-9]{1,15}")
_NUMBER = re.compile(r"-?[0-9]{1,15}\.[0-9]{1,15}")


def _value(cell: Cell) -> str:
    if isinstance(cell, bool):
        return str(cell).lower()
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    if isinstance(cell, int | float):
        return repr(cell)
    text = str(cell).strip()
    if _INTEGER.fullmatch(text):
        return str(int(text))
    return text if _NUMBER.fullmatch(text) else text_value(text)


_PLACE = re.compile(r"(?:, line [0-9]+)?(?:, \[blank(?: 1)?(?:, ([^\]]+))?\])?(?: ?(.+))?")


def _at_its_cell(where: str, problem: Problem) -> Problem:
    """The problem at the row and column a person sees, instead of the line of our own sheet."""
    match = _PLACE.fullmatch(problem.where.removeprefix(where))
    names = [part.strip('"') for part in match.groups() if part] if match else []
    return told(
        listed(*filter(None, (where, " ".join(names)))),
        "list-row",
        what=problem.what,
        remedy=problem.remedy,
    )


def _shown(cell: Any) -> str:
    text = "" if cell is None else str(cell)
    return text if len(text) <= 80 else text[:79] + "…"
