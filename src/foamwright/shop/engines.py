"""SQLAlchemy engines set up so that what is acknowledged is on the disk."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import ArgumentError

from foamwright.shop.told import UnfitError, told

WRITING = "foamwright_writing"
"""Execution option of a connection that is going to write."""

BUSY_MILLISECONDS = 8000

_PRAGMAS = (
    "PRAGMA journal_mode=WAL",
    # FULL syncs the log at every commit: an acknowledged reading survives the power going.
    "PRAGMA synchronous=FULL",
    "PRAGMA fullfsync=ON",
    "PRAGMA foreign_keys=ON",
    f"PRAGMA busy_timeout={BUSY_MILLISECONDS}",
    "PRAGMA trusted_schema=OFF",
)


def engine_of(url: str) -> Engine:
    """Return the engine for an address: ``sqlite:///…`` or ``postgresql://…``.

    Raises
    ------
    UnfitError
        The address names neither, or psycopg is not there.
    """
    address = _address(url)
    if address.get_backend_name() == "sqlite":
        return _sqlite_engine(address)
    return _postgres_engine(address.set(drivername="postgresql+psycopg"))


def read_only_engine(path: Path) -> Engine:
    """Return an engine for a SQLite file that nobody writes to: looking at it leaves no trace."""
    return create_engine("sqlite://", creator=lambda: read_only_connection(path))


def read_only_connection(path: Path) -> sqlite3.Connection:
    """Return a connection to a SQLite file that nobody writes to, and whose schema is not trusted."""
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro&immutable=1", uri=True)
    connection.execute("PRAGMA trusted_schema=OFF")
    connection.execute("PRAGMA cell_size_check=ON")
    return connection


def is_sqlite(engine: Engine) -> bool:
    """Return whether the engine is SQLite's."""
    return engine.dialect.name == "sqlite"


def _address(url: str) -> URL:
    try:
        address = make_url(url)
        known = address.get_backend_name() in ("sqlite", "postgresql")
    except (ArgumentError, ValueError):
        known = False
    if not known or (address.database or "").strip() in ("", ":memory:"):
        raise UnfitError(told("--database", "database-url", url=url.partition("@")[2] or url))
    return address


def _sqlite_engine(address: URL) -> Engine:
    engine = create_engine(
        address, connect_args={"timeout": BUSY_MILLISECONDS / 1000}, pool_size=8, max_overflow=40
    )
    event.listen(engine, "connect", _set_up_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _set_up_sqlite(connection: sqlite3.Connection, _record: Any) -> None:
    # The driver's own BEGIN comes too late for BEGIN IMMEDIATE; _begin_sqlite says it instead.
    connection.isolation_level = None
    for pragma in _PRAGMAS:
        connection.execute(pragma)


def _begin_sqlite(connection: Connection) -> None:
    # IMMEDIATE takes the writer's place at once, so two pieces of work never read, then both write.
    writing = connection.get_execution_options().get(WRITING, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


def _postgres_engine(address: URL) -> Engine:
    try:
        return create_engine(
            address,
            pool_pre_ping=True,
            pool_size=8,
            max_overflow=40,
            connect_args={"connect_timeout": 10, "options": "-c lock_timeout=8000 -c timezone=UTC"},
        )
    except ModuleNotFoundError:
        raise UnfitError(told("--database", "database-driver")) from None
