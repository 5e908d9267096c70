"""Slowing down whoever guesses: so many tries from one address, and from all together, then a wait."""

from __future__ import annotations

import math
import threading
from collections import OrderedDict, deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from foamwright.shop.moments import Clock
from foamwright.shop.told import RefusedError, TooManyError, told

MOST_ADDRESSES = 10_000

MOST_CODES = 300
"""Wrong codes a minute from everybody together: with eight digits one code in 66,000 is hit in its five
minutes, and a stranger needs sixty addresses to keep others waiting."""

MOST_PASSWORDS = 30
"""Wrong passwords a minute from everybody together: each costs a tenth of a second of the processor."""


@dataclass(eq=False)
class Rate:
    """Wrong tries by address and in all, in memory: it forgets when the app stops."""

    clock: Clock
    most_in_all: int
    most: int = 5
    window: timedelta = timedelta(minutes=1)
    _tries: OrderedDict[str, deque[datetime]] = field(default_factory=OrderedDict)
    _all: deque[datetime] = field(default_factory=deque)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    @contextmanager
    def trying(self, address: str) -> Iterator[None]:
        """Count a try before it is made; one that is not refused is taken back.

        Counted first and in one step, thirty tries at one moment are five tries and twenty-five refusals.

        Raises
        ------
        TooManyError
            Says how many seconds to wait.
        """
        moment = self._counted(address)
        try:
            yield
        except RefusedError:
            raise
        except BaseException:
            self._take_back(address, moment)
            raise
        self._take_back(address, moment)

    def _counted(self, address: str) -> datetime:
        now = self.clock()
        with self._lock:
            own = self._tries.setdefault(address, deque())
            self._tries.move_to_end(address)
            while len(self._tries) > MOST_ADDRESSES:
                self._tries.popitem(last=False)
            for tries, most in ((own, self.most), (self._all, self.most_in_all)):
                while tries and tries[0] <= now - self.window:
                    tries.popleft()
                if len(tries) >= most:
                    wait = math.ceil((self.window - (now - tries[0])).total_seconds())
                    raise TooManyError(told("code", "too-many-tries", seconds=wait))
            own.append(now)
            self._all.append(now)
        return now

    def _take_back(self, address: str, moment: datetime) -> None:
        with self._lock:
            for tries in (self._tries.get(address, deque()), self._all):
                if moment in tries:
                    tries.remove(moment)
