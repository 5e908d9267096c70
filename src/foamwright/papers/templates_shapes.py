"""What a full-size template is drawn from: plain arrays in metres, stations by name, and how lengths read."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.drawing_points import thinned_points
from foamwright.units import System, format_length, format_with_unit, settled

MM_PER_METRE = 1000.0


@dataclass(frozen=True, slots=True)
class StationName:
    """A station: metres from the tail tip, and its name as a tape finds it (``"12 from tail"``)."""

    x: float
    name: str


@dataclass(frozen=True, slots=True, eq=False)
class SectionShape:
    """A half section: the closed line from the bottom at the stringer round the rail to the deck.

    `points`, shape (n, 2), holds (y, z) in metres, z from the board's level line, y from 0 at the stringer;
    first and last point lie on the stringer.
    """

    station: StationName
    points: Points


@dataclass(frozen=True, slots=True, eq=False)
class TemplateShapes:
    """The shapes of a finished board that templates are cut to, SI, x from the tail tip.

    Attributes
    ----------
    board
        Name of the board.
    length
        Metres.
    outline
        Half outline (x, y), shape (n, 2), from the stringer at the tail (in the notch, if it has one)
        along the tail and the rail to the nose tip; y is not negative.
    bottom, deck
        Stringer profile (x, z), shape (n, 2), tail to nose, z from the level line.
    stations
        Where a tape finds and checks it.
    sections
        Half sections, tail to nose.
    """

    board: str
    length: float
    outline: Points
    bottom: Points
    deck: Points
    stations: tuple[StationName, ...]
    sections: tuple[SectionShape, ...] = ()


@dataclass(frozen=True, slots=True)
class Wording:
    """How lengths are written: in which system and to which fraction of an inch."""

    system: System = System.INCH
    fraction: int = 16

    def say(self, metres: float) -> str:
        """Return a length with its unit, to the nearest mark of the tape."""
        return format_with_unit(settled(metres, self.system, self.fraction), self.system, self.fraction)

    def figure(self, metres: float) -> str:
        """Return a length without its unit, to the nearest mark of the tape."""
        return format_length(settled(metres, self.system, self.fraction), self.system, self.fraction)


def in_millimetres(points: Points) -> Points:
    """Return `points`, metres, in millimetres with no more of them than the drawing needs."""
    return thinned_points(np.asarray(points) * MM_PER_METRE)


def height_at(points: Points, x: float) -> float:
    """Return the greatest y at which the line through `points` passes `x` (0 where it does not)."""
    heights = _heights_at(points, x)
    return float(heights.max()) if len(heights) else 0.0


def foot_at(points: Points, x: float) -> float:
    """Return the least y inside a half outline at `x`: above 0 only in the notch of the tail."""
    heights = _heights_at(points, x)
    return float(heights.min()) if len(heights) and x < points[0, 0] else 0.0


def _heights_at(points: Points, x: float) -> Points:
    """Every y at which the line through `points` passes `x`."""
    starts, ends = points[:-1], points[1:]
    low, high = np.minimum(starts[:, 0], ends[:, 0]), np.maximum(starts[:, 0], ends[:, 0])
    meets = (low <= x) & (x <= high)
    start, end = starts[meets], ends[meets]
    run = end[:, 0] - start[:, 0]
    upright = run == 0.0
    share = np.where(upright, 1.0, (x - start[:, 0]) / np.where(upright, 1.0, run))
    return np.concatenate((start[:, 1] + share * (end[:, 1] - start[:, 1]), start[upright, 1]))


def joined_points(first: Points, second: Points) -> Points:
    """Return the closed shape out along `first` and back along `second`."""
    return points_of(np.vstack((first, second[::-1])))
