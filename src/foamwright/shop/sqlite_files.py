"""Copies of a SQLite file, taken while others write to it."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

_PAGES_AT_ONCE = 4096


def copy_sqlite(source: Path, target: Path) -> None:
    """Copy a database whole, as it stands at one moment, though others may be writing to it.

    The copy is written beside `target` and renamed onto it once it is on the disk.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        _copy(source, beside)
        _sync(beside)
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)


def _copy(source: Path, target: Path) -> None:
    target.unlink(missing_ok=True)
    os.close(os.open(target, os.O_CREAT | os.O_RDWR, 0o600))
    with (
        closing(sqlite3.connect(f"{source.absolute().as_uri()}?mode=ro", uri=True)) as reading,
        closing(sqlite3.connect(target)) as writing,
    ):
        reading.backup(writing, pages=_PAGES_AT_ONCE)
        # A copy is one file: no log beside it that could be left behind.
        writing.execute("PRAGMA journal_mode=DELETE")


def _sync(path: Path) -> None:
    with path.open("rb+") as stream:
        os.fsync(stream.fileno())
