"""Bringing a shop back from a backup: checked first, and what was there is kept."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from enum import StrEnum
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, MetaData, inspect, text
from sqlalchemy.exc import DatabaseError, OperationalError

from foamwright.shop.backup_files import Backup, open_backup
from foamwright.shop.database import Database, full_disk
from foamwright.shop.engines import WRITING, engine_of, is_sqlite
from foamwright.shop.exporting import export_file
from foamwright.shop.forms import form_of, step_up, write_version
from foamwright.shop.moments import Clock, now
from foamwright.shop.opening import check_database, make_private_folder, open_database, sqlite_path
from foamwright.shop.portable import insert_rows
from foamwright.shop.told import ConflictError, UnfitError, told


class Existing(StrEnum):
    """What becomes of what is in the database already."""

    STAY = "stay"
    GIVE_WAY = "give way"


_COUNTED = ("jobs", "people", "boards", "blanks")


def restore(
    source: Path, url: str, folder: Path, existing: Existing = Existing.STAY, clock: Clock = now
) -> Path | None:
    """Bring a shop back from a backup.

    Parameters
    ----------
    source
        A SQLite copy, or an export (zip).
    url
        The database it goes into.
    folder
        Where what was there is kept.
    existing
        What becomes of jobs, people, boards and blanks that are there already.
    clock
        What time it is; names the file that is kept.

    Returns
    -------
    Path or None
        Where the database that was there is kept; ``None`` if there was nothing in it.

    Raises
    ------
    UnfitError
        The backup is damaged, newer or none; or the database is in use. Nothing was changed.
    ConflictError
        The database is not empty, and what is there is to stay.
    """
    backup = open_backup(source)
    kept = _name_kept(folder, url, clock)
    return (
        _into_sqlite(backup, url, kept, existing)
        if _is_sqlite(url)
        else _into_postgres(backup, url, kept, existing)
    )


def _is_sqlite(url: str) -> bool:
    engine = engine_of(url)
    engine.dispose()
    return is_sqlite(engine)


def _name_kept(folder: Path, url: str, clock: Clock) -> Path:
    ending = "sqlite" if url.startswith("sqlite") else "zip"
    return folder / f"before-restore-{clock():%Y%m%d-%H%M%S}.{ending}"


def _into_sqlite(backup: Backup, url: str, kept: Path, existing: Existing) -> Path | None:
    path = sqlite_path(engine_of(url))
    make_private_folder(path.parent)
    fresh = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        _build(backup, fresh)
        before = _keep_old(path, kept, existing)
        for log in ("-wal", "-shm"):
            path.with_name(path.name + log).unlink(missing_ok=True)
        fresh.replace(path)
    finally:
        for beside in ("", "-wal", "-shm"):
            fresh.with_name(fresh.name + beside).unlink(missing_ok=True)
    return before


def _build(backup: Backup, fresh: Path) -> None:
    """Make a database of our own form in a file of its own, and put the backup's rows into it."""
    engine = engine_of(f"sqlite:///{fresh}")
    try:
        _fill(backup, engine)
    finally:
        engine.dispose()
    open_database(f"sqlite:///{fresh}").close()
    _one_file(fresh)


def _one_file(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA journal_mode=DELETE")


def _keep_old(path: Path, kept: Path, existing: Existing) -> Path | None:
    if not path.exists() or path.stat().st_size == 0:
        return None
    _require_unused(path)
    count = _count_in_file(path)
    if count == 0:
        return None
    if existing is Existing.STAY:
        raise ConflictError(told("database", "restore-not-empty", count=count))
    _copy_as_it_is(path, kept)
    return kept


def _copy_as_it_is(path: Path, kept: Path) -> None:
    """Copy a database that nobody has open byte for byte: it may be damaged, and is kept all the same."""
    make_private_folder(kept.parent)
    for log in ("", "-wal"):
        source = path.with_name(path.name + log)
        if source.exists():
            shutil.copy2(source, kept.with_name(kept.name + log))


def _require_unused(path: Path) -> None:
    # SQLite leaves the log only if nobody else has the file open; so it is asked to.
    try:
        with closing(sqlite3.connect(path, timeout=1.0, isolation_level=None)) as connection:
            connection.execute("PRAGMA journal_mode=DELETE").fetchall()
    except sqlite3.OperationalError:
        raise UnfitError(told("database", "database-in-use")) from None
    except sqlite3.DatabaseError:
        # Damaged: that is what a backup is for.
        return


def _count_in_file(path: Path) -> int:
    try:
        with closing(sqlite3.connect(path)) as connection:
            return sum(connection.execute(f"SELECT count(*) FROM {t}").fetchone()[0] for t in _COUNTED)
    except sqlite3.DatabaseError:
        # It cannot be counted, so it may hold anything: it is not overwritten unasked.
        return -1


def _into_postgres(backup: Backup, url: str, kept: Path, existing: Existing) -> Path | None:
    if backup.is_sqlite:
        raise UnfitError(told(str(backup.path), "backup-into-postgres"))
    engine = engine_of(url)
    try:
        before = _keep_old_rows(engine, kept, existing)
        _fill(backup, engine)
        check_database(engine)
    finally:
        engine.dispose()
    return before


def _keep_old_rows(engine: Engine, kept: Path, existing: Existing) -> Path | None:
    with engine.connect() as connection:
        if form_of(connection) is None:
            return None
        count = sum(int(connection.scalar(text(f"SELECT count(*) FROM {t}")) or 0) for t in _COUNTED)
    if count == 0:
        return None
    if existing is Existing.STAY:
        raise ConflictError(told("database", "restore-not-empty", count=count))
    export_file(Database(engine), kept)
    return kept


def _fill(backup: Backup, engine: Engine) -> None:
    """Make the tables anew and put the rows in: all in one transaction."""
    try:
        with engine.execution_options(**{WRITING: True}).begin() as connection:
            _drop_everything(connection.engine.dialect.name, connection)
            step_up(connection, backup.form)
            tables = MetaData()
            tables.reflect(connection)
            for table in backup.tables_among(tables.sorted_tables):
                insert_rows(connection, table, backup.rows(table))
            _set_counters(connection.engine.dialect.name, connection, tables)
            step_up(connection)
            write_version(connection)
    except OperationalError as why:
        if (full := full_disk(why)) is None:
            raise UnfitError(told(str(backup.path), "backup-damaged", what=type(why.orig).__name__)) from why
        raise full from why
    except (DatabaseError, UnicodeError) as why:
        what = type(getattr(why, "orig", why)).__name__
        raise UnfitError(told(str(backup.path), "backup-damaged", what=what)) from why


def _drop_everything(dialect: str, connection: Any) -> None:
    if dialect == "sqlite":
        return
    for table in inspect(connection).get_table_names():
        connection.execute(text(f'DROP TABLE IF EXISTS "{table}" CASCADE'))
    connection.execute(text("DROP FUNCTION IF EXISTS only_added_to() CASCADE"))


def _set_counters(dialect: str, connection: Any, tables: MetaData) -> None:
    """Let PostgreSQL's counters go on after the highest number there is."""
    if dialect == "sqlite":
        return
    for table in tables.sorted_tables:
        if "id" in table.columns:
            highest = f'(SELECT coalesce(max(id), 0) + 1 FROM "{table.name}")'
            counter = f"pg_get_serial_sequence('{table.name}', 'id')"
            connection.execute(text(f"SELECT setval({counter}, {highest}, false)"))
