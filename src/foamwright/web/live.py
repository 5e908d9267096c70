"""Live pages: what happens in the shop, told to everybody who follows, in order and without gaps.

The source is the history table itself. One task reads what is new (woken by our own writes, and every
two seconds for those of another program on the same database) and hands it to every follower. A follower
that was away names the last number it saw and gets the rest first.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import logging
import threading
from collections.abc import AsyncIterator, Callable
from dataclasses import dataclass, field

from sqlalchemy.exc import SQLAlchemyError
from starlette.concurrency import run_in_threadpool

from foamwright.shop.database import Database
from foamwright.shop.history import MOST_AT_ONCE, happened_since, last_number
from foamwright.shop.tables import HistoryRow
from foamwright.shop.told import ShopError, TooManyError, told

_LOG = logging.getLogger(__name__)

POLL_SECONDS = 2.0
BEAT_SECONDS = 15.0
MOST_WAITING = 1000
"""Events that wait for a slow follower before it is let go; it comes back and names its last number."""


@dataclass(frozen=True, slots=True)
class Happening:
    """One event as it goes over the wire."""

    number: int
    job: int | None
    text: str


@dataclass(eq=False)
class Follower:
    """Somebody who follows: one job, or all; `device` is the paired device, ``None`` the host."""

    job: int | None
    device: int | None = None
    queue: asyncio.Queue[Happening | None] = field(default_factory=lambda: asyncio.Queue(MOST_WAITING))

    def takes(self, happening: Happening) -> bool:
        """Hand over an event, if it is this follower's; return whether there was room for it."""
        if self.job is not None and happening.job != self.job:
            return True
        try:
            self.queue.put_nowait(happening)
        except asyncio.QueueFull:
            return False
        return True

    def let_go(self) -> None:
        """End the follower's stream where it is: events that still wait are asked for again, in order."""
        while not self.queue.empty():
            self.queue.get_nowait()
        self.queue.put_nowait(None)


@dataclass(eq=False)
class Live:
    """Everybody who follows."""

    database: Database
    most: int
    most_each: int
    _followers: set[Follower] = field(default_factory=set)
    _lock: threading.Lock = field(default_factory=threading.Lock)
    _stopped: bool = False
    _woken: asyncio.Event = field(default_factory=asyncio.Event)

    async def run(self) -> None:
        """Hand on what happens until cancelled."""
        loop = asyncio.get_running_loop()

        def wake() -> None:
            with contextlib.suppress(RuntimeError):
                loop.call_soon_threadsafe(self._woken.set)

        self.database.committed.append(wake)
        try:
            await self._hand_on(await run_in_threadpool(self._last))
        finally:
            self.database.committed.remove(wake)
            self.stop()

    def stop(self) -> None:
        """End every stream; browsers come back by themselves when the app does."""
        self._stopped = True
        with self._lock:
            followers = list(self._followers)
        for follower in followers:
            follower.let_go()

    def enter(self, job: int | None, device: int | None) -> Follower:
        """Take in one more follower, counted and taken in one step; `leave` lets it go.

        Parameters
        ----------
        job
            The one job that is followed, or ``None`` for all.
        device
            The paired device that follows; ``None`` for the host, whose streams are bounded in all only.

        Raises
        ------
        TooManyError
            There are as many as are kept, in all or of this device.
        """
        follower = Follower(job, device)
        with self._lock:
            own = sum(1 for one in self._followers if one.device == device)
            if len(self._followers) >= self.most or (device is not None and own >= self.most_each):
                raise TooManyError(told("live", "too-many-streams"))
            self._followers.add(follower)
        return follower

    def leave(self, follower: Follower) -> None:
        """Let a follower go, also one whose stream never began."""
        with self._lock:
            self._followers.discard(follower)

    async def follow(
        self, follower: Follower, after: int | None, still_allowed: Callable[[], bool]
    ) -> AsyncIterator[str]:
        """Give the events after number `after` (from now on, if ``None``) as lines of an event stream.

        Parameters
        ----------
        follower
            From `enter`.
        after
            The last number that the follower saw.
        still_allowed
            Asked at every beat; once it says no, the stream ends.

        """
        try:
            yield "retry: 2000\n\n"
            seen = await run_in_threadpool(self._last) if after is None else after
            async for line, number in self._missed(follower.job, seen):
                seen = number
                yield line
            async for line in self._new(follower, seen, still_allowed):
                yield line
        finally:
            self.leave(follower)

    async def _missed(self, job: int | None, seen: int) -> AsyncIterator[tuple[str, int]]:
        while missed := await run_in_threadpool(self._since, seen, job):
            for one in missed:
                seen = one.number
                yield one.text, seen
            if len(missed) < MOST_AT_ONCE:
                return

    async def _new(
        self, follower: Follower, seen: int, still_allowed: Callable[[], bool]
    ) -> AsyncIterator[str]:
        while not self._stopped:
            try:
                one = await asyncio.wait_for(follower.queue.get(), BEAT_SECONDS)
            except TimeoutError:
                if not await run_in_threadpool(still_allowed):
                    return
                yield ": still here\n\n"
                continue
            if one is None:
                return
            if one.number > seen:
                seen = one.number
                yield one.text

    async def _hand_on(self, seen: int) -> None:
        while True:
            with contextlib.suppress(TimeoutError):
                await asyncio.wait_for(self._woken.wait(), POLL_SECONDS)
            self._woken.clear()
            try:
                news = await run_in_threadpool(self._since, seen, None)
            except (ShopError, SQLAlchemyError) as why:
                # Busy or away: the next look finds it all.
                _LOG.warning("following history: %s", why)
                continue
            for one in news:
                seen = one.number
                self._tell(one)
            if len(news) == MOST_AT_ONCE:
                self._woken.set()

    def _tell(self, happening: Happening) -> None:
        with self._lock:
            slow = [follower for follower in self._followers if not follower.takes(happening)]
            self._followers.difference_update(slow)
        for follower in slow:
            follower.let_go()

    def _last(self) -> int:
        with self.database.reading() as session:
            return last_number(session)

    def _since(self, number: int, job: int | None) -> list[Happening]:
        with self.database.reading() as session:
            return [_happening(row) for row in happened_since(session, number, job)]


def _happening(row: HistoryRow) -> Happening:
    said = {"at": row.at.isoformat(), "who": row.who, "what": row.what, "job_id": row.job_id, **row.detail}
    text = f"id: {row.id}\nevent: {row.what}\ndata: {json.dumps(said, ensure_ascii=False)}\n\n"
    return Happening(row.id, row.job_id, text)
