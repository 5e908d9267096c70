"""Everything as one zip: the rows to bring it back from, and the same as files that people read."""

from __future__ import annotations

import csv
import io
import os
import re
import zipfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.errors import Problem
from foamwright.files import final_place, unwritten
from foamwright.shop.backup_files import open_backup
from foamwright.shop.database import Database
from foamwright.shop.engines import is_sqlite
from foamwright.shop.opening import sqlite_path
from foamwright.shop.portable import add_file, write_rows
from foamwright.shop.readings import readings_of
from foamwright.shop.sqlite_files import copy_sqlite
from foamwright.shop.stock import stock_as_sheets
from foamwright.shop.tables import BoardRow, JobRow, Person, ReadingRow
from foamwright.shop.told import UnfitError
from foamwright.units import Unit

_READING_COLUMNS = (
    "id",
    "stage",
    "station",
    "station_m",
    "what",
    "value_m",
    "written",
    "tool",
    "tablet_at",
    "stored_at",
    "told_by",
    "state",
    "reason",
)
_PERSON_COLUMNS = ("id", "name", "mass_kg", "stature_m", "experience", "water", "note", "archived_at")


def back_up(database: Database, target: Path) -> None:
    """Copy the database while it is in use: a SQLite file from SQLite, an export from PostgreSQL.

    Raises
    ------
    InputError
        Something that is no such backup stands there, or the place cannot be written to.
    """
    if not is_sqlite(database.engine):
        export_file(database, target)
        return
    source, place = sqlite_path(database.engine), final_place(target)
    with _in_words(target):
        if place.exists() and source.exists() and place.samefile(source):
            raise UnfitError(Problem(str(target), "That is the database itself.", "Name another file."))
        _require_replaceable(target, "backup")
        copy_sqlite(source, place)


def export_file(database: Database, target: Path) -> None:
    """Write everything into one zip, beside the target first and then renamed onto it.

    Raises
    ------
    InputError
        Something that is no export of ours stands there, or the place cannot be written to.
    """
    with _in_words(target):
        _require_replaceable(target, "export")
        _write_export(database, final_place(target))


@contextmanager
def _in_words(target: Path) -> Iterator[None]:
    """Turn what a disk says when it cannot take a file into words."""
    try:
        yield
    except OSError as why:
        raise unwritten(why, target.parent) from why


def _require_replaceable(target: Path, kind: str) -> None:
    """Raise where something stands that is no `kind` (``backup`` or ``export``) of ours, or no file."""
    if not target.exists() or (target.is_file() and target.stat().st_size == 0):
        return
    try:
        ours = target.is_file() and open_backup(target).is_sqlite == (kind == "backup")
    except UnfitError:
        ours = False
    if not ours:
        what = f"It is there already and is no {kind} of ours."
        raise UnfitError(Problem(str(target), what, "Name another file."))


def _write_export(database: Database, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        with os.fdopen(os.open(beside, os.O_CREAT | os.O_TRUNC | os.O_RDWR, 0o600), "w+b") as stream:
            export(database, stream)
            stream.flush()
            os.fsync(stream.fileno())
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)


def export(database: Database, stream: BinaryIO) -> None:
    """Write everything, as it stands at one moment, as one zip into a stream."""
    with database.snapshot() as session, zipfile.ZipFile(stream, "w") as packed:
        write_rows(session, packed, database.clock())
        _write_sheets(session, packed)
        _write_jobs(session, packed)


def _write_sheets(session: Session, packed: zipfile.ZipFile) -> None:
    for board in session.scalars(select(BoardRow).order_by(BoardRow.id)):
        add_file(packed, f"boards/{_file_name(board.id, board.name)}.board.toml", board.sheet.encode())
    for currency, sheet in stock_as_sheets(session, Unit.INCH).items():
        add_file(packed, f"stock/{_plain_name(currency)}.stock.toml", sheet.encode())
    people = session.scalars(select(Person).order_by(Person.id))
    add_file(packed, "people.csv", as_csv(_PERSON_COLUMNS, people))


def _write_jobs(session: Session, packed: zipfile.ZipFile) -> None:
    for job in session.scalars(select(JobRow).order_by(JobRow.id)):
        folder = f"jobs/{_file_name(job.id, job.title)}"
        kept = {
            "board.toml": job.board_sheet,
            "blank.stock.toml": job.blank_sheet,
            "bay.toml": job.bay_sheet,
            "plan.json": job.plan,
        }
        for name, content in kept.items():
            if content:
                add_file(packed, f"{folder}/{name}", content.encode())
        add_file(packed, f"{folder}/readings.csv", readings_csv(readings_of(session, job.id)))


def readings_csv(readings: Sequence[ReadingRow]) -> bytes:
    """Return readings as CSV."""
    return as_csv(_READING_COLUMNS, readings)


def as_csv(columns: Sequence[str], rows: Iterable[object]) -> bytes:
    """Return rows as CSV in UTF-8 with a mark that spreadsheets know it by."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(columns)
    writer.writerows([_cell(getattr(row, column)) for column in columns] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def _cell(value: object) -> object:
    # A spreadsheet takes a text that starts so for a formula; a name must stay a name.
    if isinstance(value, str) and value.startswith(("=", "+", "-", "@", "\t")):
        return "'" + value
    return value


def _file_name(number: int, name: str) -> str:
    return f"{number:05d}-{_plain_name(name)}".rstrip("-")


def _plain_name(name: str) -> str:
    return re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")[:60]
