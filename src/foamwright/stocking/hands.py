"""Who does the work of a study: this process itself; a crew and a cluster do the same elsewhere."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from foamwright.errors import InputError, Problem

Task = Callable[[Any, Any], Any]
"""A function of what all jobs share and of one job; importable by name, same result for same arguments."""


class Hands(Protocol):
    """Does jobs and hands back each with its place in the list, in any order, every one exactly once."""

    def each(self, task: Task, shared: object, jobs: Sequence[object]) -> Iterator[tuple[int, Any]]:
        """Yield ``(place, task(shared, job))`` for every job."""
        ...


@dataclass(frozen=True, slots=True)
class Refusal:
    """What was wrong with a job's input: travels between processes, which an error with fields does not."""

    problems: tuple[Problem, ...]


def attempted(task: Task, shared: object, job: object) -> Any:
    """Return the task's result, or its refusal."""
    try:
        return task(shared, job)
    except InputError as wrong:
        return Refusal(wrong.problems)


def opened(result: Any) -> Any:
    """Return a result; of a refusal, raise what it refuses.

    Raises
    ------
    InputError
        The input of the job was wrong.
    """
    if isinstance(result, Refusal):
        raise InputError(result.problems)
    return result


class Alone:
    """No other process: one job after the other."""

    def each(self, task: Task, shared: object, jobs: Sequence[object]) -> Iterator[tuple[int, Any]]:
        """Yield ``(place, task(shared, job))`` for every job."""
        for place, job in enumerate(jobs):
            yield place, task(shared, job)
