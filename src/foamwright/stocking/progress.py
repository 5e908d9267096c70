"""Saying how far a long piece of work is, and how long it still takes."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field

SAY_EVERY = 5.0
"""Seconds between two lines."""


def to_standard_error(line: str) -> None:
    """Say a line on standard error."""
    print(line, file=sys.stderr, flush=True)


@dataclass
class Progress:
    """Counts what is done of `total`, and says so now and then.

    Attributes
    ----------
    what
        Name of what is counted, in the plural.
    total
        How many there are.
    say
        Takes a line.
    """

    what: str
    total: int
    say: Callable[[str], None] = to_standard_error
    done: int = 0
    began: float = field(default_factory=time.monotonic)
    said: float = 0.0

    def more(self, count: int) -> None:
        """Count more, and say it if nothing was said for a while or all is done."""
        self.done += count
        now = time.monotonic()
        if now - self.said >= SAY_EVERY or self.done >= self.total:
            self.said = now
            self.say(self.line(now - self.began))

    def line(self, elapsed: float) -> str:
        """Return how far it is after so many seconds."""
        if self.done >= self.total:
            return f"{self.total} {self.what} done in {spell(elapsed)}."
        left = elapsed * (self.total - self.done) / max(self.done, 1)
        return f"{self.done} of {self.total} {self.what}, about {spell(left)} left"


def spell(seconds: float) -> str:
    """Return a time in words.

    Examples
    --------
    >>> spell(42.4), spell(150), spell(7500)
    ('42 s', '2 min 30 s', '2 h 5 min')
    """
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"
