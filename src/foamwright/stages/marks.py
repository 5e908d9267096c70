"""Marks: what a tape, a straight edge and calipers should show after each stage, at findable stations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.board.board import Board
from foamwright.shape.curves import Floats
from foamwright.stages.solids import Chain, Placed, Stage, StageName
from foamwright.units import INCH, System


@dataclass(frozen=True, slots=True)
class RackStation:
    """A station as a person finds it: distance and name."""

    x: float
    name: str


@dataclass(frozen=True, slots=True)
class StageMark:
    """What to mark and what to read at one station of one stage; metres.

    Attributes
    ----------
    stage, station
        Which stage, where.
    face
        Face that this stage cuts (``None`` where it cuts the edge).
    take_off
        Depth that leaves the face in this stage at the stringer.
    from_blank_level
        Height of the new face above the blank's own level line: what to mark before cutting.
    from_new_level
        Height of the new bottom above a straight edge laid on it afterwards: what to check.
    thickness
        By calipers at the stringer afterwards.
    width
        Full width afterwards.
    """

    stage: StageName
    station: RackStation
    face: Face | None
    take_off: float
    from_blank_level: float
    from_new_level: float
    thickness: float
    width: float

    def as_json(self) -> dict[str, object]:
        """Return the mark as plain values."""
        return {
            "stage": self.stage.value,
            "station": self.station.name,
            "x_m": self.station.x,
            "face": None if self.face is None else self.face.value,
            "take_off_m": self.take_off,
            "from_blank_level_m": self.from_blank_level,
            "from_new_level_m": self.from_new_level,
            "thickness_m": self.thickness,
            "width_m": self.width,
        }


def rack_stations(length: float, system: System = System.INCH) -> tuple[RackStation, ...]:
    """Return the stations a person marks on the blank: tips, even steps from each tip, centre.

    Steps are 6 in (or 150 mm) for two feet from each tip, then a foot; the middle is measured too.
    """
    unit, steps, word = (
        (INCH, (6, 12, 18, 24, 36, 48), "")
        if system is System.INCH
        else (0.001, (150, 300, 450, 600, 900, 1200), " mm")
    )
    half = length / 2.0
    inner = [s for s in steps if s * unit < half - 2.9 * INCH]
    aft = [RackStation(s * unit, f"{s}{word} from tail") for s in inner]
    fore = [RackStation(length - s * unit, f"{s}{word} from nose") for s in reversed(inner)]
    return (
        RackStation(0.0, "tail"),
        *aft,
        RackStation(half, "centre"),
        *fore,
        RackStation(length, "nose"),
    )


CUTS: tuple[tuple[StageName, tuple[Face | None, ...]], ...] = (
    (StageName.OUTLINE, (None,)),
    (StageName.THICKNESS, (Face.BOTTOM, Face.DECK)),
    (StageName.ROCKER, (Face.BOTTOM,)),
    (StageName.FOIL, (Face.DECK,)),
    (StageName.CONTOURS, (Face.BOTTOM,)),
    (StageName.FINISHED, (Face.BOTTOM, Face.DECK)),
)


def marks_of(
    chain: Chain, board: Board, lay: Placed, stations: tuple[RackStation, ...]
) -> tuple[StageMark, ...]:
    """Return the marks of every stage at the given stations, in the order of the work."""
    marks: list[StageMark] = []
    names = list(StageName)
    for name, faces in CUTS:
        before, after = chain.stage(names[names.index(name) - 1]), chain.stage(name)
        for face in faces:
            marks.extend(_marks_of_stage(before, after, face, lay, stations))
    return tuple(marks)


def _marks_of_stage(
    before: Stage, after: Stage, face: Face | None, lay: Placed, stations: tuple[RackStation, ...]
) -> list[StageMark]:
    def at(values: Floats, x: float) -> float:
        return float(np.interp(x, after.x, values))

    level = float(np.min(after.bottom))
    marks = []
    for station in stations:
        x = station.x
        surface = after.deck if face is Face.DECK else after.bottom
        marks.append(
            StageMark(
                stage=after.name,
                station=station,
                face=face,
                take_off=_take_off(at, before, after, face, x),
                from_blank_level=at(surface, x) + lay.lift + lay.tilt * x,
                from_new_level=at(after.bottom, x) - level,
                thickness=at(after.thickness, x),
                width=2.0 * at(after.half_width, x),
            )
        )
    return marks


def _take_off(at: object, before: Stage, after: Stage, face: Face | None, x: float) -> float:
    look = at
    if face is Face.DECK:
        return float(look(before.deck, x) - look(after.deck, x))  # type: ignore[operator]
    if face is Face.BOTTOM:
        return float(look(after.bottom, x) - look(before.bottom, x))  # type: ignore[operator]
    return float(look(before.half_width, x) - look(after.half_width, x))  # type: ignore[operator]
