"""Who does the work of a study: this process itself; a crew and a cluster do the same elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any, Protocol

Task = Callable[[Any, Any], Any]
"""A function of what all jobs share and of one job; importable by name, same result for same arguments."""


class Hands(Protocol):
    """Does jobs and hands back each with its place in the list, in any order, every one exactly once."""

    def each(self, task: Task, shared: object, jobs: Sequence[object]) -> Iterator[tuple[int, Any]]:
        """Yield ``(place, task(shared, job))`` for every job."""
        ...


class Alone:
    """No other process: one job after the other."""

    def each(self, task: Task, shared: object, jobs: Sequence[object]) -> Iterator[tuple[int, Any]]:
        """Yield ``(place, task(shared, job))`` for every job."""
        for place, job in enumerate(jobs):
            yield place, task(shared, job)
