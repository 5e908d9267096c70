"""Where the pencil lines of rail bands lie on a section: the foam cut flat by flat."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from foamwright.cuts.bands import Band, Where
from foamwright.cuts.stage_rails import StationBands
from foamwright.papers.drawing_box import Points, points_of


@dataclass(frozen=True, slots=True, eq=False)
class Flat:
    """A flat on a section: its band and its two pencil lines as points (y, z), metres, outer one first."""

    band: Band
    outer: tuple[float, float]
    inner: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class SectionCut:
    """A section with the flats of one side.

    Attributes
    ----------
    before
        Corners of the foam before these flats, (n, 2), metres.
    after
        Corners after them.
    flats
        In the order they are cut.
    """

    before: Points
    after: Points
    flats: tuple[Flat, ...]

    @property
    def side(self) -> float:
        """Distance of the rail's side from the stringer, metres."""
        return float(self.before[:, 0].max())

    @property
    def inward(self) -> float:
        """How far in from the side the innermost pencil line stands, metres."""
        return self.side - min(min(flat.outer[0], flat.inner[0]) for flat in self.flats)


def section_cut(station: StationBands, side: Where) -> SectionCut:
    """Return the flats of one side of a station's section; those from the deck are cut first."""
    corners = points_of(station.section.stage)
    if side is Where.BOTTOM:
        corners = _cut(corners, station, Where.DECK)[0]
    after, flats = _cut(corners, station, side)
    return SectionCut(corners, after, tuple(flats))


def _cut(corners: Points, station: StationBands, side: Where) -> tuple[Points, list[Flat]]:
    flats = []
    for band in station.bands.bands:
        if band.side is not side:
            continue
        normal, reach = _plane(station, band)
        corners, ends = _clipped(corners, normal, reach)
        lower, upper = sorted(ends, key=lambda place: place[1])
        outer_low = side is Where.DECK
        flats.append(Flat(band, *((lower, upper) if outer_low else (upper, lower))))
    return corners, flats


def _plane(station: StationBands, band: Band) -> tuple[Points, float]:
    """Outward normal of a band's flat and its reach: it touches the finished section."""
    sign = 1.0 if band.side is Where.DECK else -1.0
    normal = np.array([math.sin(band.slope), sign * math.cos(band.slope)])
    return normal, float((station.section.finished @ normal).max())


def _clipped(corners: Points, normal: Points, reach: float) -> tuple[Points, list[tuple[float, float]]]:
    """Keep what lies within `reach` along `normal`; also where the cut enters and leaves."""
    over = corners @ normal - reach
    kept: list[Points] = []
    ends: list[tuple[float, float]] = []
    for here, after, d0, d1 in zip(corners, np.roll(corners, -1, 0), over, np.roll(over, -1), strict=True):
        if d0 <= 0.0:
            kept.append(here)
        if (d0 > 0.0) != (d1 > 0.0):
            place = here + d0 / (d0 - d1) * (after - here)
            kept.append(place)
            ends.append((float(place[0]), float(place[1])))
    return points_of(np.array(kept)), ends
