"""Direction of planing along the stringer: with the fibres, and where they turn.

An iron that travels so that the surface falls relative to the fibres leaves them lying; the other way it
gets under them and lifts them out. A straight-grained stringer sawn from a straight board has fibres
parallel to its chord (or at a known slope to it), while its edge is curved: so there is one place on each
face where the edge runs along the fibres, and the direction turns there. Common practice, no source; the
slope of grain that is usual in sawn wood is published (tests/published/data/planes.toml).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees, radians
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.blank.numbers import Face
from foamwright.cuts.run import End
from foamwright.cuts.run_findings import FACES, stretch_words
from foamwright.findings import Finding, Severity, said
from foamwright.units import INCH, System

Array = NDArray[np.float64]

SHORTEST = INCH
"""Metres; nobody minds the fibres of less."""

ALONG = radians(0.5)
"""Angle between surface and fibres below which either direction will do."""


@dataclass(frozen=True, slots=True)
class PlaningRange:
    """A stretch of a face (metres from the tail) and the way to plane it; ``None`` where either will do.

    `steepest` is the largest angle between surface and fibres there, radians.
    """

    begin: float
    end: float
    towards: End | None
    steepest: float

    def as_json(self) -> dict[str, Any]:
        """Return the stretch as plain values."""
        return {
            "from_x_m": self.begin,
            "to_x_m": self.end,
            "towards": None if self.towards is None else self.towards.value,
            "steepest_rad": self.steepest,
        }


@dataclass(frozen=True, slots=True, eq=False)
class PlaningDirections:
    """Which way to plane one face.

    Attributes
    ----------
    face
        The face.
    ranges
        From tail to nose.
    turns
        Stations where the grain turns, metres from the tail.
    x, angle
        Stations and the angle between surface and fibres there, radians.
    """

    face: Face
    ranges: tuple[PlaningRange, ...]
    turns: tuple[float, ...]
    x: Array
    angle: Array

    def as_json(self) -> dict[str, Any]:
        """Return the directions as plain values."""
        return {
            "face": self.face.value,
            "ranges": [one.as_json() for one in self.ranges],
            "turns_m": list(self.turns),
        }

    def against(self, end: End, begin: float) -> tuple[PlaningRange, ...]:
        """Return the parts of run-offs towards `end`, from station `begin` on, that go against the fibres."""
        low, high = (begin, np.inf) if end is End.NOSE else (-np.inf, begin)
        parts = []
        for one in self.ranges:
            inner = max(one.begin, low), min(one.end, high)
            if one.towards not in (None, end) and inner[1] - inner[0] >= SHORTEST:
                parts.append(PlaningRange(inner[0], inner[1], one.towards, self._steepest(*inner)))
        return tuple(parts)

    def _steepest(self, begin: float, end: float) -> float:
        """Return the largest angle between surface and fibres from `begin` to `end`, radians."""
        inside = self.angle[(self.x > begin) & (self.x < end)]
        ends = np.interp([begin, end], self.x, self.angle)
        return float(np.abs(np.concatenate([inside, ends])).max())


def plan_directions(face: Face, x: Array, height: Array, fibre_slope: float = 0.0) -> PlaningDirections:
    """Return which way to plane a face along the stringer so that the fibres lie down.

    Parameters
    ----------
    face
        Bottom or deck.
    x, height
        Stations from the tail and heights of the face (up), metres, shape (n,), n >= 3.
    fibre_slope
        Rise of the fibres per metre towards the nose, relative to x (0: parallel to the chord).

    Returns
    -------
    PlaningDirections
        ``towards nose`` where the face, seen from outside, falls towards the nose relative to the fibres.
    """
    outward = 1.0 if face is Face.DECK else -1.0
    slope = outward * (np.gradient(height, x, edge_order=2) - fibre_slope)
    angle = np.arctan(slope)
    sense = np.where(angle < -ALONG, 1, np.where(angle > ALONG, -1, 0))
    parts = np.split(np.arange(x.size), np.flatnonzero(np.diff(sense)) + 1)
    bounds = [float(x[0]), *(float(0.5 * (x[p[-1]] + x[p[-1] + 1])) for p in parts[:-1]), float(x[-1])]
    ranges = tuple(
        PlaningRange(bounds[i], bounds[i + 1], _TOWARDS[int(sense[p[0]])], float(np.abs(angle[p]).max()))
        for i, p in enumerate(parts)
    )
    return PlaningDirections(face, ranges, _crossings(x, slope), x, angle)


_TOWARDS = {1: End.NOSE, -1: End.TAIL, 0: None}


def _crossings(x: Array, slope: Array) -> tuple[float, ...]:
    """Return where the slope changes its sign, by straight lines between stations."""
    here = np.flatnonzero(slope[:-1] * slope[1:] < 0.0)
    turns = x[here] - slope[here] * (x[here + 1] - x[here]) / (slope[here + 1] - slope[here])
    exact = x[1:-1][(slope[1:-1] == 0.0) & (slope[:-2] * slope[2:] < 0.0)]
    return tuple(float(turn) for turn in np.sort(np.concatenate([turns, exact])))


AGAINST = {
    End.NOSE: (
        "grain-against.nose",
        "Run-offs towards the nose go up to {degrees} against the fibres of a straight-grained stringer "
        "here.",
    ),
    End.TAIL: (
        "grain-against.tail",
        "Run-offs towards the tail go up to {degrees} against the fibres of a straight-grained stringer "
        "here.",
    ),
}
AGAINST_REMEDY = {
    End.NOSE: (
        "grain-against.nose.remedy",
        "Set a fine chip, or take this stretch towards the tail; note where the grain really turns.",
    ),
    End.TAIL: (
        "grain-against.tail.remedy",
        "Set a fine chip, or take this stretch towards the nose; note where the grain really turns.",
    ),
}


def find_against_grain(
    directions: PlaningDirections, end: End, begin: float, system: System = System.INCH
) -> tuple[Finding, ...]:
    """Return a finding for each part of run-offs towards `end` that goes against the fibres."""
    return tuple(
        Finding(
            "grain-against",
            Severity.NOTE,
            said(
                "where.grain",
                "{face}, {stretch} from the tail",
                face=said(*FACES[directions.face]),
                stretch=stretch_words(part.begin, part.end, system, 1),
            ),
            part.steepest,
            ALONG,
            "rad",
            said(*AGAINST[end], degrees=_degrees(part.steepest)),
            said(*AGAINST_REMEDY[end]),
        )
        for part in directions.against(end, begin)
    )


def _degrees(radians: float) -> str:
    whole = round(degrees(radians))
    return said("degree", "a degree") if whole <= 1 else said("degrees", "{n} degrees", n=f"{whole}")
