"""The database: opened, read from, and written to by one writer at a time."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlalchemy import Engine, text
from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlalchemy.orm import Session

from foamwright.shop import moments
from foamwright.shop.engines import WRITING, is_sqlite
from foamwright.shop.kinds import Event
from foamwright.shop.moments import Clock
from foamwright.shop.tables import HistoryRow
from foamwright.shop.told import BusyError, FullError, ShopError, told

WAIT_SECONDS = 10.0
"""How long a writer waits for its turn before it says so."""

_WRITERS_KEY = 7_305_811
"""Number of the lock that PostgreSQL's writers take, so that history is told in the order it happened."""


@dataclass(frozen=True, slots=True)
class Actor:
    """Who does something, as history names them."""

    name: str


@dataclass(frozen=True, slots=True)
class Work:
    """One piece of work in the database: all of it is done, or none.

    Attributes
    ----------
    session
        The open transaction.
    now
        Its moment; everything done in it happened then.
    actor
        Who does it.
    """

    session: Session
    now: datetime
    actor: Actor

    def tell(self, what: Event, job: int | None = None, **detail: Any) -> None:
        """Write down in history what is being done."""
        self.session.add(
            HistoryRow(at=self.now, who=self.actor.name, what=what.value, job_id=job, detail=detail)
        )


@dataclass(eq=False)
class Database:
    """A shop's database.

    Attributes
    ----------
    engine
        SQLAlchemy's, from `engines.engine_of`.
    clock
        What time it is; tests set their own.
    committed
        Called after every piece of work that was done, from the thread that did it.
    """

    engine: Engine
    clock: Clock = moments.now
    committed: list[Callable[[], None]] = field(default_factory=list)
    _turn: threading.Lock = field(default_factory=threading.Lock)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """Give a session for reading."""
        with _in_words(), Session(self.engine, expire_on_commit=False) as session:
            yield session

    @contextmanager
    def snapshot(self) -> Iterator[Session]:
        """Give a session that sees one moment, though others write: for copies of everything."""
        engine = self.engine
        if not is_sqlite(engine):
            engine = engine.execution_options(isolation_level="REPEATABLE READ")
        with _in_words(), Session(engine) as session:
            yield session

    @contextmanager
    def writing(self, actor: Actor) -> Iterator[Work]:
        """Give one piece of work; it is stored, on the disk, when the block ends without an error.

        Raises
        ------
        BusyError
            The turn did not come in time; nothing was stored.
        FullError
            The disk is full; nothing was stored.
        """
        if not self._turn.acquire(timeout=WAIT_SECONDS):
            raise BusyError(told("database", "busy"))
        try:
            with _in_words(), Session(self._writing_engine(), expire_on_commit=False) as session:
                self._wait_for_other_writers(session)
                yield Work(session, self.clock(), actor)
                session.commit()
        finally:
            self._turn.release()
        for call in self.committed:
            call()

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    def _writing_engine(self) -> Engine:
        return self.engine.execution_options(**{WRITING: True})

    def _wait_for_other_writers(self, session: Session) -> None:
        # SQLite's BEGIN IMMEDIATE has the same effect.
        if not is_sqlite(self.engine):
            session.execute(text(f"SELECT pg_advisory_xact_lock({_WRITERS_KEY})"))


@contextmanager
def _in_words() -> Iterator[None]:
    """Turn what a database says when it cannot go on into words; all else is a fault and stays one."""
    try:
        yield
    except PoolTimeout as why:
        raise BusyError(told("database", "busy")) from why
    except DBAPIError as why:
        if (error := _told_error(why)) is None:
            raise
        raise error from why


def full_disk(why: DBAPIError) -> FullError | None:
    """Return in words that the disk is full, if that is what a database says."""
    said = str(why.orig).casefold()
    full = "disk is full" in said or "no space left" in said or "disk i/o error" in said
    return FullError(told("database", "full")) if full else None


def _told_error(why: DBAPIError) -> ShopError | None:
    said = str(why.orig).casefold()
    if (full := full_disk(why)) is not None:
        return full
    if "readonly" in said or "read-only" in said:
        return ShopError(told("database", "read-only"))
    busy = "is locked" in said or "lock timeout" in said or "statement timeout" in said
    lost = isinstance(why, OperationalError) and (why.connection_invalidated or "connection" in said)
    return BusyError(told("database", "busy")) if busy or lost else None
