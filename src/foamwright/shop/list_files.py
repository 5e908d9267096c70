"""Suppliers' lists as rows of cells: CSV as spreadsheets write it, and XLSX, within limits."""

from __future__ import annotations

import csv
import io
import zipfile
import zlib
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, time, timedelta

from foamwright.shop.told import ShopError, told

MOST_BYTES = 4_000_000
MOST_UNPACKED = 40_000_000
MOST_ELEMENTS = 1_200_000
"""Tags of an XLSX, counted while it is unpacked: 5,000 rows of 60 cells have as many. Read as a sheet,
a million tags take some 400 MB."""

_PIECE = 1 << 18
MOST_PARTS = 500
MOST_ROWS = 5_000
MOST_COLUMNS = 80

Cell = str | float | int | bool | date | time | timedelta | None

_ENCODINGS = {b"\xef\xbb\xbf": "utf-8-sig", b"\xff\xfe": "utf-16", b"\xfe\xff": "utf-16"}


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a list: its number as the spreadsheet shows it, and its cells."""

    number: int
    cells: tuple[Cell, ...]


def rows_of(name: str, data: bytes) -> list[Row]:
    """Return the rows of a list that are not empty, the names of the columns first.

    Raises
    ------
    ShopError
        The file is too large, packed to burst, unreadable, or empty.
    """
    if len(data) > MOST_BYTES:
        raise ShopError(told(name, "list-too-large", most=MOST_BYTES // 1_000_000))
    rows = _xlsx_rows(name, data) if data[:2] == b"PK" else _csv_rows(name, data)
    found = _bounded(name, rows)
    if len(found) < 2:
        raise ShopError(told(name, "list-empty"))
    return found


def _bounded(name: str, rows: Iterable[tuple[int, tuple[Cell, ...]]]) -> list[Row]:
    found: list[Row] = []
    for number, cells in rows:
        row = Row(number, _without_empty_end(cells))
        if len(row.cells) > MOST_COLUMNS:
            raise ShopError(told(f"{name}, row {number}", "list-too-wide", most=MOST_COLUMNS))
        if row.cells:
            found.append(row)
        if len(found) > MOST_ROWS + 1:
            raise ShopError(told(name, "list-too-long", most=MOST_ROWS))
    return found


def _without_empty_end(cells: tuple[Cell, ...]) -> tuple[Cell, ...]:
    end = len(cells)
    while end and (cells[end - 1] is None or cells[end - 1] == ""):
        end -= 1
    return cells[:end]


def _csv_rows(name: str, data: bytes) -> Iterable[tuple[int, tuple[Cell, ...]]]:
    text = _decoded(name, data)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_separator(text), strict=False)
    try:
        yield from ((reader.line_num, tuple(cell.strip() for cell in cells)) for cells in reader)
    except csv.Error as why:
        raise ShopError(told(name, "list-not-xlsx", why=str(why))) from None


def _decoded(name: str, data: bytes) -> str:
    named = next((encoding for mark, encoding in _ENCODINGS.items() if data.startswith(mark)), None)
    for encoding in (named,) if named else ("utf-8", "cp1252"):
        with suppress(UnicodeDecodeError):
            text = data.decode(encoding)
            if "\0" not in text:
                return text
    raise ShopError(told(name, "list-not-text"))


def _separator(text: str) -> str:
    """The separator that the row of names uses most."""
    names = text.lstrip().partition("\n")[0]
    return max((",", ";", "\t"), key=names.count)


def _xlsx_rows(name: str, data: bytes) -> Iterable[tuple[int, tuple[Cell, ...]]]:
    from openpyxl import load_workbook

    _refuse_bomb(name, data)
    try:
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        sheet = book.worksheets[0]
        # What a sheet says of its own size can be anything; the rows are counted as they come.
        sheet.reset_dimensions()
        yield from enumerate(
            sheet.iter_rows(max_row=MOST_ROWS + 2, max_col=MOST_COLUMNS + 1, values_only=True), 1
        )
    except ShopError:
        raise
    except Exception as why:
        # openpyxl lets whatever its parsers raise through: zip, XML, key and value errors.
        raise ShopError(told(name, "list-not-xlsx", why=type(why).__name__)) from why


def _refuse_bomb(name: str, data: bytes) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            size, tags = _counted(packed)
    except (zipfile.BadZipFile, ValueError, NotImplementedError, RuntimeError, EOFError, zlib.error) as why:
        raise ShopError(told(name, "list-not-xlsx", why=type(why).__name__)) from None
    if size > MOST_UNPACKED:
        raise ShopError(told(name, "list-bomb", most=MOST_UNPACKED // 1_000_000))
    if tags > MOST_ELEMENTS:
        raise ShopError(told(name, "list-too-long", most=MOST_ROWS))


def _counted(packed: zipfile.ZipFile) -> tuple[int, int]:
    """Return how many bytes and tags an archive unpacks to, as far as anybody wants to know."""
    size = tags = 0
    parts = packed.infolist()
    if len(parts) > MOST_PARTS:
        return MOST_UNPACKED + 1, 0
    for part in parts:
        with packed.open(part) as stream:
            while piece := stream.read(_PIECE):
                size += len(piece)
                tags += piece.count(b"<")
                if size > MOST_UNPACKED or tags > MOST_ELEMENTS:
                    return size, tags
    return size, tags
