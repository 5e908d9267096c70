"""Rail bands of a job: flats at the stations that a tape finds, from the squared edge to the rail."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.board.board import Board
from foamwright.cuts.bands import Bands, RailSection, plan_bands
from foamwright.cuts.polygons import hull
from foamwright.shape.curves import Floats
from foamwright.stages.marks import RackStation
from foamwright.stages.solids import ACROSS, Chain, StageName
from foamwright.units import INCH

NARROWEST = 1.0 * INCH
"""Half-width under which a rail is rounded by eye: there is no room for pencil lines."""

POINTS = 160
"""Points of the finished section on each face."""


@dataclass(frozen=True, eq=False)
class StationBands:
    """The bands at one station, with the section they were planned on."""

    station: RackStation
    section: RailSection
    bands: Bands

    def as_json(self) -> dict[str, Any]:
        """Return the bands as plain values."""
        return {"station": self.station.name, "x_m": self.station.x, **self.bands.as_json()}


def plan_rails(
    board: Board, chain: Chain, bay: Bay, stations: tuple[RackStation, ...]
) -> tuple[StationBands, ...]:
    """Return the bands at every station wide enough for them, tail to nose.

    The bands leave the finishing allowance all round; on the deck there are as many as the bay says, on
    the tuck one fewer, and none where the lower edge is hard.
    """
    wide = [s for s in stations if float(board.half_width(s.x)) > NARROWEST]
    planned = []
    for station in wide:
        section = rail_section(board, chain, station.x)
        bands = plan_bands(section, bay.rail_bands, max(1, bay.rail_bands - 1))
        planned.append(StationBands(station, section, bands))
    return tuple(planned)


def rail_section(board: Board, chain: Chain, x: float) -> RailSection:
    """Return half the section at `x` before the bands and as they must leave it (allowance left on)."""
    at = np.array([x])
    half = float(board.half_width(x))
    side = half + chain.finish
    share = _shares()
    low = board.bottom_at(at, share)[0] - chain.finish
    high = board.deck_at(at, share)[0] + chain.finish
    y = share * side
    finished = np.concatenate([np.stack([y, low], axis=1), np.stack([y, high], axis=1)[::-1]])
    return RailSection(finished, _before(board, chain, x, side))


def _before(board: Board, chain: Chain, x: float, side: float) -> Floats:
    """Return the corners of the foam before the bands: a line under the contours, the side, the deck."""
    edge, rise = _bottom_line(board, x)
    bottom = [(0.0, edge - rise - chain.finish), (side, edge - chain.finish)]
    return np.array(bottom + _deck_corners(board, chain, x, side))


def _deck_corners(board: Board, chain: Chain, x: float, side: float) -> list[tuple[float, float]]:
    """Return the deck before the bands, side to stringer: the least convex one over what must stay.

    Between the places across, the dome is interpolated while the finished deck is exact; the hull
    over both never cuts into it, and a sole rides on nothing lower anyway.
    """
    drop = _dome_drop(chain, x)
    top = float(board.deck_line(x)) + chain.finish
    if np.ptp(drop) < 1e-9:
        return [(side, top), (0.0, top)]
    even, close = np.linspace(0.0, 1.0, ACROSS), _shares()
    finished = board.deck_at(np.array([x]), close)[0] + chain.finish
    points = np.concatenate(
        [np.stack([even * side, top - drop], axis=1), np.stack([close * side, finished], axis=1)]
    )
    floor = np.array([(0.0, points[:, 1].min() - 1.0), (side, points[:, 1].min() - 1.0)])
    corners = hull(np.concatenate([points, floor]))
    upper = corners[corners[:, 1] > floor[0, 1] + 0.5]
    return [(float(y), float(z)) for y, z in upper[np.lexsort((upper[:, 1], -upper[:, 0]))]]


def _shares() -> Floats:
    """Return shares of the half-width for the finished section, close together towards the edge."""
    return np.asarray(1.0 - (1.0 - np.linspace(0.0, 1.0, POINTS)) ** 3)


def _bottom_line(board: Board, x: float) -> tuple[float, float]:
    """Return a straight bottom under the contours: its height at the edge, and its rise from the stringer."""
    at = np.array([x])
    # The finished section's own places, so that no point of it can stand outside the line.
    share = _shares()[:-1]
    edge = float(board.contour_at(at, np.array([1.0]))[0, 0])
    inner = board.contour_at(at, share)[0]
    if edge <= inner.min():
        return edge, 0.0
    return edge, max(0.0, float(np.max((edge - inner) / (1.0 - share))))


def _dome_drop(chain: Chain, x: float) -> Floats:
    """Return how far the deck lies below the stringer's at even shares across at `x`, (K,) metres."""
    foil = chain.stage(StageName.FOIL)
    drop = foil.deck[:, None] - foil.deck_across
    return np.array([np.interp(x, foil.x, column) for column in drop.T])
