"""Opening a shop's database: found or made, checked, and brought to our form."""

from __future__ import annotations

import os
from pathlib import Path

from sqlalchemy import Connection, Engine, text
from sqlalchemy.exc import DatabaseError, OperationalError

from foamwright.errors import Problem
from foamwright.shop import moments
from foamwright.shop.database import Database
from foamwright.shop.engines import WRITING, engine_of, is_sqlite
from foamwright.shop.forms import form_of, head, require_known, step_up, write_version
from foamwright.shop.moments import Clock
from foamwright.shop.sqlite_files import copy_sqlite
from foamwright.shop.told import UnfitError, told

_HEADER = b"SQLite format 3\0"


def open_database(url: str, clock: Clock = moments.now) -> Database:
    """Return a shop's database, made if it is not there, checked and brought to our form.

    Parameters
    ----------
    url
        ``sqlite:///PATH`` or ``postgresql://user@host/name``.
    clock
        What time it is.

    Raises
    ------
    UnfitError
        It is damaged, foreign, from a newer foamwright, or does not answer. Nothing was changed.
    """
    engine = engine_of(url)
    if is_sqlite(engine):
        _prepare_file(sqlite_path(engine))
    try:
        _check_and_step_up(engine)
    except OperationalError as why:
        engine.dispose()
        raise UnfitError(told("database", "database-unreachable", why=_first_line(why))) from why
    except DatabaseError as why:
        engine.dispose()
        raise UnfitError(told("database", "database-damaged", what=_first_line(why))) from why
    except UnicodeError as why:
        # Damage that fell on a name: the driver cannot read it, and says so with an error of its own.
        engine.dispose()
        raise UnfitError(told("database", "database-damaged", what="a name cannot be read")) from why
    except BaseException:
        engine.dispose()
        raise
    return Database(engine, clock)


def require_there(url: str) -> None:
    """Refuse to make a database where one is only looked for.

    Raises
    ------
    UnfitError
        There is no file of that name.
    """
    engine = engine_of(url)
    engine.dispose()
    if is_sqlite(engine) and not sqlite_path(engine).exists():
        raise UnfitError(told("database", "database-missing", path=sqlite_path(engine)))


def sqlite_path(engine: Engine) -> Path:
    """Return the file of an SQLite engine."""
    return Path(str(engine.url.database))


def check_database(engine: Engine) -> None:
    """Check that a database is whole and of a form we know; nothing is changed.

    Raises
    ------
    UnfitError
        It is damaged, foreign, empty or newer.
    """
    with engine.connect() as connection:
        form = form_of(connection)
        if form is None:
            raise UnfitError(told("database", "database-foreign", path=engine.url.database or ""))
        require_known(connection, form)
        _require_whole(connection)


def _prepare_file(path: Path) -> None:
    """Make the folder for the owner's eyes only, and refuse a file that is no database."""
    make_private_folder(path.parent)
    try:
        start = _start_of(path)
    except OSError as why:
        raise _unusable(path, why.strerror or str(why)) from why
    if start not in (b"", _HEADER):
        raise UnfitError(told("database", "database-foreign", path=path))


def make_private_folder(folder: Path) -> None:
    """Make a folder for the owner's eyes only, with those above it.

    Raises
    ------
    UnfitError
        It cannot be made: a file stands there, or the disk does not let us.
    """
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as why:
        reason = "it is a file" if folder.is_file() else why.strerror or str(why)
        raise _unusable(folder, reason) from why


def _unusable(place: Path, why: str) -> UnfitError:
    """Return in words why a place cannot be used; only a terminal reads it, so it has no other language."""
    remedy = "Name another folder in FOAMWRIGHT_DATA, or another file with --database."
    return UnfitError(Problem(str(place), f"The shop cannot be kept there: {why}.", remedy))


def _start_of(path: Path) -> bytes:
    """Return the first bytes of a database file, made empty if there is none."""
    if not path.exists():
        # The file holds riders' names: nobody else on the machine need read it.
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
        return b""
    with path.open("rb") as stream:
        return stream.read(len(_HEADER))


def _check_and_step_up(engine: Engine) -> None:
    with engine.connect() as connection:
        form = form_of(connection)
        if form is not None:
            require_known(connection, form)
            _require_whole(connection)
    if form == head():
        return
    if form is not None and is_sqlite(engine):
        path = sqlite_path(engine)
        copy_sqlite(path, path.with_name(f"{path.stem}.before-{head()}{path.suffix}"))
    with engine.execution_options(**{WRITING: True}).begin() as connection:
        step_up(connection)
        write_version(connection)


def _require_whole(connection: Connection) -> None:
    if connection.dialect.name != "sqlite":
        return
    said = [str(row[0]) for row in connection.execute(text("PRAGMA integrity_check(3)"))]
    if said != ["ok"]:
        lines = [line for one in said for line in one.splitlines() if not line.startswith("***")]
        raise UnfitError(told("database", "database-damaged", what="; ".join(lines)))
    strays = connection.execute(text("PRAGMA foreign_key_check")).first()
    if strays is not None:
        what = f"a row of {strays[0]} points to a missing row of {strays[2]}"
        raise UnfitError(told("database", "database-damaged", what=what))


def _first_line(why: DatabaseError) -> str:
    return (str(why.orig).strip().splitlines() or [type(why.orig).__name__])[0]
