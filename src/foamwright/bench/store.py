"""Where a job lives: one small interface, and a folder behind it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Protocol

from foamwright.bench.entries import Entry, Event, entry_from
from foamwright.bench.lines import append_all, locked, read_lines
from foamwright.bench.plan_file import JobPlan, plan_from
from foamwright.errors import InputError, Problem
from foamwright.files import settle_folder

PLAN = "plan.json"
HISTORY = "history.jsonl"

Telling = Callable[[Sequence[Entry]], Sequence[Event]]
"""From the history so far, the events to add to it."""


class JobStore(Protocol):
    """A job's plan and its history, wherever they are kept."""

    def plan(self) -> JobPlan:
        """Return the plan."""

    def entries(self) -> tuple[Entry, ...]:
        """Return the whole history in the order it was told, undone entries too."""

    def tell(self, telling: Telling) -> tuple[Entry, ...]:
        """Add events that are worked out from the history as it stands; no other writer comes between.

        Returns the new entries once they cannot be lost.
        """


def now() -> str:
    """Return the time of day as history writes it: ISO 8601, universal time, to the second."""
    return datetime.now(UTC).isoformat(timespec="seconds")


class FolderStore:
    """A job in the folder that ``foamwright plan`` wrote: ``plan.json``, and ``history.jsonl`` beside it.

    Raises
    ------
    InputError
        There is no such folder, or no plan in it.
    """

    def __init__(self, folder: Path, clock: Callable[[], str] = now) -> None:
        self.folder, self._clock = folder, clock
        # A plan that was killed between two files is carried through before anything is read of it.
        settle_folder(folder)
        if not (folder / PLAN).is_file():
            raise InputError(
                Problem(
                    str(folder),
                    f"There is no {PLAN} here, so this is no job.",
                    "Name the folder that foamwright plan … --out wrote.",
                )
            )

    @property
    def history(self) -> Path:
        """The file of the history."""
        return self.folder / HISTORY

    def plan(self) -> JobPlan:
        """Return the plan."""
        path = self.folder / PLAN
        try:
            content = path.read_bytes()
        except OSError as error:
            raise InputError(
                Problem(str(path), f"Cannot read it ({error.strerror}).", "Check its rights.")
            ) from error
        return plan_from(content, str(path))

    def entries(self) -> tuple[Entry, ...]:
        """Return the whole history in the order it was told."""
        if not self.history.exists():
            return ()
        return tuple(self._entry(k, line) for k, line in enumerate(read_lines(self.history), 1))

    def tell(self, telling: Telling) -> tuple[Entry, ...]:
        """Add events worked out from the history; they are on the disk when this returns."""
        with locked(self.history):
            before = self.entries()
            at = self._clock()
            made = [Entry(len(before) + k, at, event) for k, event in enumerate(telling(before), 1)]
            if made:
                append_all(self.history, [entry.as_json() for entry in made])
        return tuple(made)

    def _entry(self, number: int, line: dict[str, object]) -> Entry:
        try:
            entry = entry_from(line)
            if entry.number == number:
                return entry
            what = f"It should be entry {number}, but says {entry.number}: a line was taken out or moved."
        except (KeyError, TypeError, ValueError) as error:
            what = f"It is no entry ({type(error).__name__}: {error})."
        raise InputError(
            Problem(
                f"{self.history}, line {number}",
                what,
                "Lines are only ever added by the program; put back what was edited by hand.",
            )
        )
