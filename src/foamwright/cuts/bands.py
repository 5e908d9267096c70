"""Rail bands: flats on the rail between pencil lines, from the square edge down to the finished section."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.cuts.band_angles import Flat, best_angles
from foamwright.cuts.polygons import hull, outside, polygon_area, support
from foamwright.cuts.run import frozen
from foamwright.errors import FaultError
from foamwright.units import INCH

Array = NDArray[np.float64]

THINNEST = INCH / 64
"""A band that takes less than this off its corner is not worth two pencil lines."""


class Where(StrEnum):
    """A surface of the rail on which a pencil line is drawn, or the side of the rail that a band is on."""

    DECK = "deck"
    SIDE = "side"
    BOTTOM = "bottom"


@dataclass(frozen=True, slots=True, eq=False)
class RailSection:
    """Half a section before and after the bands; y outwards from the stringer, z up, metres.

    Attributes
    ----------
    finished
        (k, 2) points of what the bands must leave, from the bottom at the stringer round the rail to
        the deck at the stringer, close enough together to stand for the curve.
    stage
        (m, 2) corners of the foam before: bottom at the stringer, edge of the bottom, edge of the deck,
        and on along the deck to the stringer; convex.
    """

    finished: Array
    stage: Array

    def __post_init__(self) -> None:
        for name in ("finished", "stage"):
            object.__setattr__(self, name, frozen(getattr(self, name)))
        if self.stage.shape[0] < 4 or self.stage.shape[1:] != (2,) or self.finished.shape[1:] != (2,):
            raise FaultError("A rail section needs rows of (y, z), and at least four corners before.")
        ends = np.abs([self.stage[0, 0], self.stage[-1, 0], self.finished[0, 0], self.finished[-1, 0]])
        if ends.max() > 1e-9:
            raise FaultError("A rail section must begin and end at the stringer (y = 0).")
        if self.stands_out > 1e-9:
            raise FaultError(
                f"The finished rail stands {self.stands_out * 1000:.2f} mm outside the foam before its bands."
            )

    @property
    def stands_out(self) -> float:
        """Furthest that the finished section stands outside the foam before, metres (or <= 0)."""
        edges = np.diff(self.stage, axis=0)
        normals = np.stack([edges[:, 1], -edges[:, 0]], axis=1) / np.hypot(edges[:, 0], edges[:, 1])[:, None]
        reach = np.sum(normals * self.stage[:-1], axis=1)
        return float((self.finished @ normals.T - reach).max())


def square_edge(finished: Array, side: float, bottom: float, deck: float) -> RailSection:
    """Return a section whose foam before is a square edge: flat bottom and deck, upright side (metres)."""
    return RailSection(finished, np.array([(0.0, bottom), (side, bottom), (side, deck), (0.0, deck)]))


@dataclass(frozen=True, slots=True)
class PencilLine:
    """A line to draw along the rail.

    Attributes
    ----------
    on
        What it is drawn on: ``deck``, ``side``, ``bottom``, or ``deck band 1`` and so on.
    from_edge
        Distance from the edge that the band takes away, measured over that surface, metres.
    height
        Height above the bottom of the foam, metres.
    """

    on: str
    from_edge: float
    height: float

    def as_json(self) -> dict[str, Any]:
        """Return the line as plain values."""
        return {"on": self.on, "from_edge_m": self.from_edge, "height_m": self.height}


@dataclass(frozen=True, slots=True)
class Band:
    """One flat, in the order in which it is cut.

    Attributes
    ----------
    name
        ``deck band 1`` ...; ``bottom band 1`` for the tuck.
    side
        Face from which it is cut.
    slope
        Angle of the flat with the deck or the bottom it is cut from, radians, 0..pi/2.
    lines
        The two lines between which it lies: first the outer, then the inner one.
    takes
        Depth of foam that it takes off the edge, square to the flat, metres.
    """

    name: str
    side: Where
    slope: float
    lines: tuple[PencilLine, PencilLine]
    takes: float

    def as_json(self) -> dict[str, Any]:
        """Return the band as plain values."""
        return {
            "name": self.name,
            "side": self.side.value,
            "slope_rad": self.slope,
            "lines": [line.as_json() for line in self.lines],
            "takes_m": self.takes,
        }


@dataclass(frozen=True, slots=True, eq=False)
class Bands:
    """The bands of one station.

    Attributes
    ----------
    bands
        In the order they are cut, deck first.
    outline
        (n, 2) corners of the half-section after the bands, from the bottom's middle to the deck's, metres.
    left
        Foam between that and the finished section (its convex hull: a scoop is no work of bands), m2.
    """

    bands: tuple[Band, ...]
    outline: Array
    left: float

    def as_json(self) -> dict[str, Any]:
        """Return the bands as plain values."""
        return {
            "bands": [band.as_json() for band in self.bands],
            "outline_m": self.outline.tolist(),
            "left_m2": self.left,
        }


def plan_bands(section: RailSection, deck: int, tuck: int) -> Bands:
    """Return the flats that leave least foam on the rail and never enter the finished section.

    Parameters
    ----------
    section
        The half-section before and after.
    deck, tuck
        Most bands from the deck and from the bottom. Fewer are given where they would take next to
        nothing: none from the bottom where the lower edge is hard.

    Returns
    -------
    Bands
        Each with its two pencil lines: the first measured from the edge of the deck (or bottom) and of
        the side, later ones from the edge that an earlier band left.
    """
    rail = _Rail(section)
    stage = section.stage
    deck_angle, base_angle = _normal(stage[2], stage[3]), _normal(stage[0], stage[1])
    side = Flat(0.0, float(stage[:, 0].max()))
    top = Flat(deck_angle, float(support(stage, deck_angle)))
    base = Flat(base_angle, float(support(stage, base_angle)))
    over = _limit(section.finished, stage[-1], deck_angle)
    under = _limit(section.finished, stage[0], base_angle)
    rail.cut_all(Where.DECK, best_angles(section.finished, side, top, deck, (0.0, over)))
    rail.cut_all(Where.BOTTOM, best_angles(section.finished, base, side, tuck, (under, 0.0)))
    return Bands(tuple(rail.bands), frozen(rail.corners), rail.left())


def _normal(start: Array, end: Array) -> float:
    """Return the angle of the outward normal of the surface from one corner to the next, radians."""
    along, up = end - start
    return float(np.arctan2(-along, up))


def _limit(finished: Array, middle: Array, farthest: float) -> float:
    """Return the angle between 0 and `farthest` up to which a band leaves the foam at the stringer alone."""
    angles = np.linspace(0.0, farthest, 721)
    proud = np.cos(angles) * middle[0] + np.sin(angles) * middle[1] - support(finished, angles)
    crossing = np.flatnonzero(proud > 1e-12)
    return float(angles[max(crossing[0] - 1, 0)]) if crossing.size else farthest


class _Rail:
    """The half-section while bands are cut: corners, and the name of the surface after each."""

    def __init__(self, section: RailSection) -> None:
        self.section = section
        self.corners = np.array(section.stage)
        self.surfaces = [Where.BOTTOM.value, Where.SIDE.value] + [Where.DECK.value] * (len(self.corners) - 3)
        self.bands: list[Band] = []

    def cut_all(self, side: Where, angles: Array) -> None:
        """Cut bands, each time the one that takes most off the edges as they are then."""
        waiting = [
            Flat(float(angle), float(support(self.section.finished, float(angle)))) for angle in angles
        ]
        number = 1
        while waiting:
            deepest = max(waiting, key=self._takes)
            if self._takes(deepest) < THINNEST:
                break
            self._cut(deepest, side, number)
            waiting.remove(deepest)
            number += 1

    def _takes(self, flat: Flat) -> float:
        return float(outside(self.corners, flat.angle, flat.reach).max())

    def _cut(self, flat: Flat, side: Where, number: int) -> None:
        """Cut one band: replace the corners outside it by the two where it meets the surfaces."""
        proud = outside(self.corners, flat.angle, flat.reach)
        gone = np.flatnonzero(proud > 0.0)
        low, high = int(gone[0]), int(gone[-1])
        begin = self._meeting(proud, low - 1, low)
        end = self._meeting(proud, high + 1, high)
        edge = int(np.argmax(proud))
        lines = (
            self._line(self.surfaces[low - 1], begin, self.corners[low : edge + 1][::-1]),
            self._line(self.surfaces[high], end, self.corners[edge : high + 1]),
        )
        name = f"{side.value} band {number}"
        slope = np.pi / 2 - abs(flat.angle)
        outer_first = lines if side is Where.DECK else lines[::-1]
        self.bands.append(Band(name, side, float(slope), outer_first, float(proud[edge])))
        self.corners = np.concatenate([self.corners[:low], [begin, end], self.corners[high + 1 :]])
        self.surfaces = [*self.surfaces[:low], name, *self.surfaces[high:]]

    def _meeting(self, proud: Array, inside: int, beyond: int) -> Array:
        part = proud[inside] / (proud[inside] - proud[beyond])
        return np.asarray(self.corners[inside] + part * (self.corners[beyond] - self.corners[inside]))

    def _line(self, on: str, place: Array, way: Array) -> PencilLine:
        """Return a pencil line at `place`, measured from the edge along `way` (edge first)."""
        path = np.concatenate([way, [place]])
        length = float(np.hypot(*np.diff(path, axis=0).T).sum())
        return PencilLine(on, length, float(place[1] - self.section.stage[:, 1].min()))

    def left(self) -> float:
        """Return the foam left outside the finished section, m2."""
        return polygon_area(self.corners) - polygon_area(hull(self.section.finished))
