"""Entries of a job's history: readings, strokes made, time taken, notes, and undoings of earlier entries."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, ClassVar

from foamwright.bench.belief import Made
from foamwright.bench.readings import Lay, Measured, Reading, StickReading, Tool, Zone
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
            "rubbed": self.stroke.rubbed,
        }


@dataclass(frozen=True, slots=True)
class Laid:
    """A stick that was laid on the face of one run, and what is thought of its answer."""

    kind: ClassVar[str] = "stick"
    stick: StickReading
    state: State = State.ACCEPTED
    reason: str = ""

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        lay = self.stick.lay
        return {
            "stage": self.stick.stage.value,
            "end": self.stick.end.value,
            "touches_m": list(lay.touches),
            "zones": [{"from_m": z.begin, "to_m": z.end, "shim_m": z.shim} for z in lay.zones],
            "shims_m": list(lay.shims),
            "gap_m": lay.gap,
            "gap_at_m": lay.gap_at,
            "state": self.state.value,
            "reason": self.reason,
        }


@dataclass(frozen=True, slots=True)
class Worked:
    """A step without numbers that was done: sawn, foam down, passes, scooped, a band, sanded."""

    kind: ClassVar[str] = "done"
    stage: StageName
    step: str
    face: str = ""
    end: str = ""

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        return {"stage": self.stage.value, "step": self.step, "face": self.face, "end": self.end}


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


@dataclass(frozen=True, slots=True)
class Corrected:
    """An earlier reading, by its number, is replaced by another; both stay in the history."""

    kind: ClassVar[str] = "correction"
    of: int
    reading: Taken | Laid

    def as_json(self) -> dict[str, object]:
        """Return the entry as plain values."""
        return {"of": self.of, "what_kind": self.reading.kind, **self.reading.as_json()}


Event = Taken | Laid | Stroked | Worked | Timed | Noted | Undone | Corrected


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
    if isinstance(entry.event, Undone | Corrected) and not 1 <= entry.event.of < entry.number:
        raise ValueError(f"it names entry {entry.event.of}, which does not come before it")
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
    rubbed = bool(line.get("rubbed", False))
    made = Made(_length(line, "start_from_tip_m"), end, _length(line, "chip_m"), rubbed)
    return Stroked(StageName(line["stage"]), End(line["end"]), made, _whole(line, "count"))


def _laid(line: Mapping[str, Any]) -> Laid:
    zones = tuple(Zone(*(_length(z, f"{key}_m") for key in ("from", "to", "shim"))) for z in line["zones"])
    gap = None if line["gap_m"] is None else _length(line, "gap_m")
    at = None if line["gap_at_m"] is None else _length(line, "gap_at_m")
    lay = Lay(_lengths(line["touches_m"]), zones, _lengths(line["shims_m"]), gap, at)
    stick = StickReading(StageName(line["stage"]), End(line["end"]), lay)
    return Laid(stick, State(line["state"]), str(line["reason"]))


def _lengths(values: Any) -> tuple[float, ...]:
    return tuple(_length({"each": one}, "each") for one in values)


def _corrected(line: Mapping[str, Any]) -> Corrected:
    reading = _laid(line) if line["what_kind"] == Laid.kind else _taken(line)
    return Corrected(_whole(line, "of"), reading)


def _worked(line: Mapping[str, Any]) -> Worked:
    return Worked(StageName(line["stage"]), str(line["step"]), str(line["face"]), str(line["end"]))


_EVENTS: dict[str, Callable[[Mapping[str, Any]], Event]] = {
    "reading": _taken,
    "strokes": _stroked,
    "stick": _laid,
    "done": _worked,
    "correction": _corrected,
    "time": lambda line: Timed(StageName(line["stage"]), _minutes(line)),
    "note": lambda line: Noted(str(line["text"])),
    "undo": lambda line: Undone(_whole(line, "of")),
}


def counting(entries: Sequence[Entry]) -> tuple[Entry, ...]:
    """Return the entries that count: those that no later entry, itself counting, has undone or corrected.

    What replaces a reading stands in its place.
    """
    undone: set[int] = set()
    instead: dict[int, Event] = {}
    kept = []
    for entry in reversed(entries):
        if entry.number in undone:
            continue
        if isinstance(entry.event, Undone):
            undone.add(entry.event.of)
        elif isinstance(entry.event, Corrected):
            instead[entry.event.of] = instead.pop(entry.number, entry.event.reading)
        else:
            event = instead.pop(entry.number, entry.event)
            kept.append(Entry(entry.number, entry.at, event))
    return tuple(reversed(kept))
