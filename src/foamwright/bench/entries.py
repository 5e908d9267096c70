"""Entries of a job's history: readings, strokes made, time taken, notes, and undoings of earlier entries."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

from foamwright.bench.belief import Made
from foamwright.bench.readings import Measured, Reading, Tool
from foamwright.cuts.runs import End
from foamwright.stages.solids import StageName


class State(StrEnum):
    """What is thought of a reading."""

    ACCEPTED = "accepted"
    QUESTIONED = "questioned"


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading that was taken, and what is thought of it and why."""

    kind: ClassVar[str] = "reading"
    reading: Reading
    state: State = State.ACCEPTED
    reason: str = ""

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        one = self.reading
        return {
            "stage": one.stage.value,
            "station": one.station,
            "station_m": one.x,
            "what": one.what.value,
            "value_m": one.value,
            "written": one.written,
            "tool": one.tool.value,
            "spacer_m": one.spacer,
            "note": one.note,
            "state": self.state.value,
            "reason": self.reason,
        }


@dataclass(frozen=True, slots=True)
class Stroked:
    """Equal strokes that were made in one run."""

    kind: ClassVar[str] = "strokes"
    stage: StageName
    end: End
    stroke: Made
    count: int

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        return {
            "stage": self.stage.value,
            "end": self.end.value,
            "count": self.count,
            "start_from_tip_m": self.stroke.start,
            "end_from_tip_m": self.stroke.end,
            "chip_m": self.stroke.chip,
        }


@dataclass(frozen=True, slots=True)
class Timed:
    """Minutes that a stage took, or a part of it."""

    kind: ClassVar[str] = "time"
    stage: StageName
    minutes: float

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        return {"stage": self.stage.value, "minutes": self.minutes}


@dataclass(frozen=True, slots=True)
class Noted:
    """Words."""

    kind: ClassVar[str] = "note"
    text: str

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        return {"text": self.text}


@dataclass(frozen=True, slots=True)
class Undone:
    """An earlier entry, by its number, no longer counts; it stays where it is."""

    kind: ClassVar[str] = "undo"
    of: int

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        return {"of": self.of}


Event = Taken | Stroked | Timed | Noted | Undone


@dataclass(frozen=True, slots=True)
class Entry:
    """An event in the history: its number (from 1), when it was told (ISO 8601 with offset), and what."""

    number: int
    at: str
    event: Event

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        return {"n": self.number, "at": self.at, "kind": self.event.kind, **self.event.as_json()}


def entry_from(line: Mapping[str, Any]) -> Entry:
    """Return the entry that a line holds.

    Raises
    ------
    KeyError, TypeError, ValueError
        It holds none.
    """
    return Entry(int(line["n"]), str(line["at"]), _EVENTS[str(line["kind"])](line))


def _taken(line: Mapping[str, Any]) -> Taken:
    reading = Reading(
        stage=StageName(line["stage"]),
        x=float(line["station_m"]),
        what=Measured(line["what"]),
        value=float(line["value_m"]),
        tool=Tool(line["tool"]),
        spacer=float(line["spacer_m"]),
        station=str(line["station"]),
        written=str(line["written"]),
        note=str(line["note"]),
    )
    return Taken(reading, State(line["state"]), str(line["reason"]))


def _stroked(line: Mapping[str, Any]) -> Stroked:
    end = line["end_from_tip_m"]
    made = Made(float(line["start_from_tip_m"]), None if end is None else float(end), float(line["chip_m"]))
    return Stroked(StageName(line["stage"]), End(line["end"]), made, int(line["count"]))


_EVENTS: dict[str, Callable[[Mapping[str, Any]], Event]] = {
    "reading": _taken,
    "strokes": _stroked,
    "time": lambda line: Timed(StageName(line["stage"]), float(line["minutes"])),
    "note": lambda line: Noted(str(line["text"])),
    "undo": lambda line: Undone(int(line["of"])),
}


def counting(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """Return the entries that count: those that no later entry, itself counting, has undone."""
    undone: set[int] = set()
    kept = []
    for entry in reversed(entries):
        if entry.number in undone:
            continue
        if isinstance(entry.event, Undone):
            undone.add(entry.event.of)
        else:
            kept.append(entry)
    return tuple(reversed(kept))
