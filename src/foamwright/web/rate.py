"""Slowing down whoever guesses: so many wrong tries from one address, then a wait."""

from __future__ import annotations

import math
import threading
from collections import OrderedDict
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from foamwright.shop.moments import Clock
from foamwright.shop.told import TooManyError, told

MOST_ADDRESSES = 10_000


@dataclass(eq=False)
class Rate:
    """Wrong tries by address, in memory: it forgets when the app stops, the codes' own count does not."""

    clock: Clock
    most: int = 5
    window: timedelta = timedelta(minutes=1)
    _wrong: OrderedDict[str, list[datetime]] = field(default_factory=OrderedDict)
    _lock: threading.Lock = field(default_factory=threading.Lock)

    def require_patience(self, address: str) -> None:
        """Refuse an address that has just tried wrongly too often.

        Raises
        ------
        TooManyError
            Says how many seconds to wait.
        """
        with self._lock:
            recent = self._recent(address)
        if len(recent) >= self.most:
            wait = self.window - (self.clock() - recent[0])
            raise TooManyError(told("code", "too-many-tries", seconds=math.ceil(wait.total_seconds())))

    def note_wrong(self, address: str) -> None:
        """Note a wrong try."""
        with self._lock:
            self._wrong[address] = [*self._recent(address), self.clock()]
            self._wrong.move_to_end(address)
            while len(self._wrong) > MOST_ADDRESSES:
                self._wrong.popitem(last=False)

    def _recent(self, address: str) -> list[datetime]:
        since = self.clock() - self.window
        return [moment for moment in self._wrong.get(address, []) if moment > since]
