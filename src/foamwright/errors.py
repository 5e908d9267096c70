"""The errors foamwright raises; each carries what was read, where, and the remedy.

::

    FoamwrightError
    ├── InputError        what a person wrote is wrong; holds every Problem; exit code 2
    ├── NoAnswerError     the work was done and the answer is no (nothing fits); exit code 1
    └── FaultError        foamwright broke its own promise (an invariant failed); exit code 3
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is wrong with what was read.

    Attributes
    ----------
    where
        Place in plain words: ``"groyne.board.toml, line 12, [rocker] nose"``.
    what
        What was read and why it cannot stand.
    remedy
        What would be right.
    """

    where: str
    what: str
    remedy: str

    def __str__(self) -> str:
        """Return the problem as the line a person reads."""
        return f"{self.where}: {self.what} {self.remedy}".strip()


class FoamwrightError(Exception):
    """Root of everything foamwright raises on purpose."""

    exit_code = 3

    def as_json(self) -> dict[str, object]:
        """Return what is wrong as plain values: the exit code and the problems, each with its remedy."""
        return {"exit_code": self.exit_code, "problems": [{"where": "", "what": str(self), "remedy": ""}]}


class InputError(FoamwrightError):
    """What a person wrote is wrong; every problem is held, not only the first."""

    exit_code = 2

    def __init__(self, problems: tuple[Problem, ...] | list[Problem] | Problem) -> None:
        self.problems: tuple[Problem, ...] = (problems,) if isinstance(problems, Problem) else tuple(problems)
        super().__init__("\n".join(str(p) for p in self.problems))

    def as_json(self) -> dict[str, object]:
        """Return every problem as plain values."""
        problems = [{"where": p.where, "what": p.what, "remedy": p.remedy} for p in self.problems]
        return {"exit_code": self.exit_code, "problems": problems}


def attempt(problems: list[Problem], read: Callable[[], T]) -> T | None:
    """Return what is read, or ``None`` with its problems added to those gathered already."""
    try:
        return read()
    except InputError as wrong:
        problems.extend(wrong.problems)
        return None


class NoAnswerError(FoamwrightError):
    """The question was sound and the answer is no: no blank fits, no fair curve exists."""

    exit_code = 1


class FaultError(FoamwrightError):
    """An invariant of foamwright's own did not hold; nothing was written."""

    exit_code = 3
