"""Backups as files: what kind, which form, whether they are whole, and their rows one after the other."""

from __future__ import annotations

import hashlib
import io
import json
import lzma
import sqlite3
import zipfile
import zlib
from collections.abc import Collection, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Table
from sqlalchemy.exc import DatabaseError

from foamwright.shop.backup_rows import LONGEST, WrongRowError, row_of_copy, row_of_line
from foamwright.shop.engines import read_only_connection, read_only_engine
from foamwright.shop.forms import form_of, known_forms
from foamwright.shop.opening import check_database
from foamwright.shop.portable import FORMAT, LEFT_OUT, MANIFEST, rows_name
from foamwright.shop.tables import PairingCode
from foamwright.shop.told import UnfitError, told

MOST_MANIFEST = 1_000_000
MOST_TABLES = 100
MOST_UNPACKED = 4_000_000_000
"""Bytes of all rows of an export: at 300 bytes a reading, ten million readings."""

_PIECE = 1 << 20
_PACKINGS = (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED)

_NEVER = {"alembic_version", PairingCode.__tablename__}
"""What no backup brings back: the form is our own, and codes are good for minutes."""

_SPOILT = (
    zipfile.BadZipFile,
    zlib.error,
    lzma.LZMAError,
    sqlite3.Error,
    LookupError,
    ValueError,
    TypeError,
    AttributeError,
    EOFError,
    OSError,
    # Encrypted parts, packings that are not known, and JSON nested too deep.
    RuntimeError,
    ArithmeticError,
)
"""What reading an altered archive or copy raises."""


@dataclass(frozen=True, eq=False)
class Backup:
    """A backup that was found whole.

    Attributes
    ----------
    path
        Its file.
    is_sqlite
        Whether it is a copy of a SQLite database; else it is an export.
    form
        The form of its tables.
    counts
        How many rows each table of an export has.
    """

    path: Path
    is_sqlite: bool
    form: str
    counts: dict[str, int]

    def tables_among(self, tables: Collection[Table]) -> list[Table]:
        """Return those tables that the backup brings back; it must have each of them, and no other.

        Parameters
        ----------
        tables
            Every table of the backup's form, each after those it points to.

        Raises
        ------
        UnfitError
            The backup has other tables or columns than that form.
        """
        carried = [table for table in tables if table.name not in _NEVER]
        with _in_words(self.path):
            if self.is_sqlite:
                _require_columns(self.path, tables)
                return carried
            carried = [table for table in carried if table.name not in LEFT_OUT]
            names = {table.name for table in carried}
            for name in sorted(names ^ set(self.counts)):
                what = (
                    f"the table {name} is missing" if name in names else "it holds tables that are not ours"
                )
                raise WrongRowError(what)
        return carried

    def rows(self, table: Table) -> Iterator[dict[str, Any]]:
        """Give a table's rows one after the other, each checked, moments in UTC.

        Raises
        ------
        UnfitError
            A row is not one of that table, or not as many came as the export says.
        """
        with _in_words(self.path):
            if self.is_sqlite:
                yield from _copied_rows(self.path, table)
            else:
                yield from self._exported_rows(table)

    def _exported_rows(self, table: Table) -> Iterator[dict[str, Any]]:
        count = 0
        with zipfile.ZipFile(self.path) as packed, packed.open(rows_name(table.name)) as stream:
            lines = io.TextIOWrapper(stream, encoding="utf-8", newline="\n")
            while line := lines.readline(LONGEST + 1):
                if len(line) > LONGEST:
                    raise WrongRowError(f"a row of {table.name} is longer than any of ours")
                count += 1
                yield row_of_line(table, line)
        if count != self.counts[table.name]:
            raise WrongRowError(f"rows of {table.name} are missing")


def open_backup(path: Path) -> Backup:
    """Return a backup, after reading it whole and checking every digest.

    Raises
    ------
    UnfitError
        It is not there, is none, is damaged, or was written by a newer foamwright.
    """
    try:
        with path.open("rb") as stream:
            start = stream.read(16)
    except OSError as why:
        raise _unreadable(path, why.strerror or "unreadable") from None
    if start.startswith(b"SQLite format 3"):
        return _sqlite_backup(path)
    if start.startswith(b"PK"):
        return _export_backup(path)
    raise _unreadable(path, "neither a SQLite copy nor an export")


@contextmanager
def _in_words(path: Path) -> Iterator[None]:
    """Turn whatever an altered backup raises while it is read into words."""
    try:
        yield
    except WrongRowError as why:
        raise UnfitError(told(str(path), "backup-damaged", what=str(why))) from None
    except _SPOILT as why:
        raise _unreadable(path, type(why).__name__) from None


def _sqlite_backup(path: Path) -> Backup:
    engine = read_only_engine(path)
    try:
        # Damaged names are no UTF-8: the driver's error for that is none of the database's.
        with _in_words(path):
            check_database(engine)
            with engine.connect() as connection:
                form = str(form_of(connection))
    except DatabaseError as why:
        raise UnfitError(told(str(path), "backup-damaged", what=str(why.orig).strip())) from why
    finally:
        engine.dispose()
    return Backup(path, True, form, {})


def _require_columns(path: Path, tables: Collection[Table]) -> None:
    """Refuse a copy whose tables are not ours; triggers and views of anybody's are simply left behind."""
    with closing(read_only_connection(path)) as connection:
        found = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite^_%' ESCAPE '^'"
        names = {str(row[0]) for row in connection.execute(found)}
        if names != {table.name for table in tables}:
            raise WrongRowError("its tables are not ours")
        for table in tables:
            columns = {str(row[1]) for row in connection.execute(f'PRAGMA table_xinfo("{table.name}")')}
            if columns != set(table.columns.keys()):
                raise WrongRowError(f"{table.name} has other columns")


def _copied_rows(path: Path, table: Table) -> Iterator[dict[str, Any]]:
    columns = ", ".join(f'"{name}"' for name in table.columns.keys())  # noqa: SIM118
    keys = ", ".join(f'"{column.name}"' for column in table.primary_key)
    with closing(read_only_connection(path)) as connection:
        connection.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, LONGEST)
        for row in connection.execute(f'SELECT {columns} FROM "{table.name}" ORDER BY {keys}'):
            yield row_of_copy(table, row)


def _export_backup(path: Path) -> Backup:
    with _in_words(path), zipfile.ZipFile(path) as packed:
        manifest = _manifest(path, packed)
        tables = manifest["tables"]
        if len(tables) > MOST_TABLES:
            raise WrongRowError("it holds tables that are not ours")
        left = MOST_UNPACKED
        for table, said in tables.items():
            left = _require_digest(packed, table, said["sha256"], left)
        counts = {str(table): int(said["rows"]) for table, said in tables.items()}
    return Backup(path, False, str(manifest["form"]), counts)


def _manifest(path: Path, packed: zipfile.ZipFile) -> dict[str, Any]:
    with _part(packed, MANIFEST) as stream:
        manifest: dict[str, Any] = json.loads(stream.read(MOST_MANIFEST))
    if manifest["format"] != FORMAT:
        raise _unreadable(path, str(manifest["format"])[:40])
    if manifest["form"] not in known_forms():
        raise UnfitError(told(str(path), "backup-newer", revision=str(manifest["form"])[:40]))
    return manifest


def _part(packed: zipfile.ZipFile, name: str) -> IO[bytes]:
    entry = packed.getinfo(name)
    if entry.compress_type not in _PACKINGS:
        raise WrongRowError("it is packed as no export of ours is")
    return packed.open(entry)


def _require_digest(packed: zipfile.ZipFile, table: str, digest: str, most: int) -> int:
    """Check a table's digest, piece by piece, and return how many bytes may still come."""
    found, size = hashlib.sha256(), 0
    with _part(packed, rows_name(table)) as stream:
        while piece := stream.read(_PIECE):
            found.update(piece)
            size += len(piece)
            if size > most:
                raise WrongRowError("it unpacks to more than 4 GB")
    if found.hexdigest() != digest:
        raise WrongRowError(f"{table} is not as it was written")
    return most - size


def _unreadable(path: Path, why: str) -> UnfitError:
    return UnfitError(told(str(path), "backup-unreadable", path=path.name, why=why))
