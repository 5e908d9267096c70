"""Copies of a SQLite file, taken while others write to it."""

from __future__ import annotations

import errno
import os
import sqlite3
from contextlib import closing
from pathlib import Path

_PAGES_AT_ONCE = 4096


def copy_sqlite(source: Path, target: Path) -> None:
    """Copy a database whole, as it stands at one moment, though others may be writing to it.

    The copy is written beside `target` and renamed onto it once it is on the disk.

    Raises
    ------
    OSError
        The disk does not take it, whether the system says so or SQLite; nothing is left behind.
    """
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        _copy(source, beside)
        _sync(beside)
        beside.replace(target)
    except sqlite3.OperationalError as why:
        raise _refused_by_the_disk(why, beside) from why
    finally:
        for log in ("", "-journal", "-wal", "-shm"):
            beside.with_name(beside.name + log).unlink(missing_ok=True)


def _refused_by_the_disk(why: sqlite3.OperationalError, beside: Path) -> Exception:
    """Return SQLite's complaint about a disk as the system's own; any other stays as it is."""
    said = str(why).casefold()
    if "full" in said:
        return OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(beside))
    if "readonly" in said or "unable to open" in said:
        return OSError(errno.EACCES, os.strerror(errno.EACCES), str(beside))
    return OSError(errno.EIO, os.strerror(errno.EIO), str(beside)) if "i/o" in said else why


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
