"""Entries of a job's history: readings, strokes made, time taken, notes, and undoings of earlier entries."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

from foamwright.bench.belief import Made
from foamwright.bench.readings import Measured, Reading, Tool
from foamwright.cuts.run import End
from foamwright.stages.solids import StageName

MOST_MINUTES = 6000.0
"""Minutes that no stage takes."""


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
    entry = Entry(_whole(line, "n"), str(line["at"]), _EVENTS[str(line["kind"])](line))
    if isinstance(entry.event, Undone) and not 1 <= entry.event.of < entry.number:
        raise ValueError(f"it undoes entry {entry.event.of}, which does not come before it")
    return entry


FARTHEST = 10.0
"""Metres that no length of a job comes near."""


def _length(line: Mapping[str, Any], name: str) -> float:
    """Return a length that a line holds: a number, finite, and one that a board may have."""
    value = line[name]
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError(f"{name} is no number")
    if not 0.0 <= value <= FARTHEST:
        raise ValueError(f"{name} is {value}, from 0 to {FARTHEST:g} m is possible")
    return float(value)


def _whole(line: Mapping[str, Any], name: str) -> int:
    value = line[name]
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError(f"{name} is no whole number")
    return value


def _minutes(line: Mapping[str, Any]) -> float:
    value = line["minutes"]
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0.0 < value < MOST_MINUTES:
        raise ValueError(f"minutes is {value}")
    return float(value)


def _taken(line: Mapping[str, Any]) -> Taken:
    reading = Reading(
        stage=StageName(line["stage"]),
        x=_length(line, "station_m"),
        what=Measured(line["what"]),
        value=_length(line, "value_m"),
        tool=Tool(line["tool"]),
        spacer=_length(line, "spacer_m"),
        station=str(line["station"]),
        written=str(line["written"]),
        note=str(line["note"]),
    )
    return Taken(reading, State(line["state"]), str(line["reason"]))


def _stroked(line: Mapping[str, Any]) -> Stroked:
    end = None if line["end_from_tip_m"] is None else _length(line, "end_from_tip_m")
    made = Made(_length(line, "start_from_tip_m"), end, _length(line, "chip_m"))
    return Stroked(StageName(line["stage"]), End(line["end"]), made, _whole(line, "count"))


_EVENTS: dict[str, Callable[[Mapping[str, Any]], Event]] = {
    "reading": _taken,
    "strokes": _stroked,
    "time": lambda line: Timed(StageName(line["stage"]), _minutes(line)),
    "note": lambda line: Noted(str(line["text"])),
    "undo": lambda line: Undone(_whole(line, "of")),
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
