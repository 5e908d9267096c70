"""Backups as files: what kind, which form, and whether they are whole."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy.exc import DatabaseError

from foamwright.shop.engines import read_only_engine
from foamwright.shop.forms import known_forms
from foamwright.shop.opening import check_database
from foamwright.shop.portable import FORMAT, MANIFEST, rows_name
from foamwright.shop.told import UnfitError, told

MOST_MANIFEST = 1_000_000


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

    def fill(self, table: str, insert: Callable[[Iterator[str]], int]) -> None:
        """Hand the lines of a table to `insert`, if the export has that table.

        Raises
        ------
        UnfitError
            Not as many rows came as the export says it has.
        """
        if table not in self.counts:
            return
        with zipfile.ZipFile(self.path) as packed, packed.open(rows_name(table)) as stream:
            lines = io.TextIOWrapper(stream, encoding="utf-8", newline="\n")
            if insert(iter(lines)) != self.counts[table]:
                raise UnfitError(told(str(self.path), "backup-damaged", what=f"rows of {table} are missing"))


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


def _sqlite_backup(path: Path) -> Backup:
    engine = read_only_engine(path)
    try:
        check_database(engine)
    except DatabaseError as why:
        raise UnfitError(told(str(path), "backup-damaged", what=str(why.orig).strip())) from why
    finally:
        engine.dispose()
    return Backup(path, True, "", {})


def _export_backup(path: Path) -> Backup:
    try:
        with zipfile.ZipFile(path) as packed:
            manifest = _manifest(path, packed)
            for table, said in manifest["tables"].items():
                _require_digest(path, packed, table, said["sha256"])
            counts = {str(table): int(said["rows"]) for table, said in manifest["tables"].items()}
    except (zipfile.BadZipFile, KeyError, ValueError, TypeError, AttributeError, EOFError, OSError) as why:
        raise _unreadable(path, type(why).__name__) from None
    return Backup(path, False, str(manifest["form"]), counts)


def _manifest(path: Path, packed: zipfile.ZipFile) -> dict[str, Any]:
    with packed.open(MANIFEST) as stream:
        manifest: dict[str, Any] = json.loads(stream.read(MOST_MANIFEST))
    if manifest["format"] != FORMAT:
        raise _unreadable(path, str(manifest["format"])[:40])
    if manifest["form"] not in known_forms():
        raise UnfitError(told(str(path), "backup-newer", revision=str(manifest["form"])[:40]))
    return manifest


def _require_digest(path: Path, packed: zipfile.ZipFile, table: str, digest: str) -> None:
    with packed.open(rows_name(table)) as stream:
        found = hashlib.file_digest(stream, "sha256").hexdigest()  # type: ignore[arg-type]
    if found != digest:
        raise UnfitError(told(str(path), "backup-damaged", what=f"{table} is not as it was written"))


def _unreadable(path: Path, why: str) -> UnfitError:
    return UnfitError(told(str(path), "backup-unreadable", path=path.name, why=why))
