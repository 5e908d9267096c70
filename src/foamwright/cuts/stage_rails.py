"""Rail bands of a job: flats at the stations that a tape finds, from the squared edge to the rail."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.board.board import Board
from foamwright.board.section import contour
from foamwright.cuts.bands import Bands, RailSection, plan_bands
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
    share = 1.0 - (1.0 - np.linspace(0.0, 1.0, POINTS)) ** 3
    low = board.bottom_at(at, share)[0] - chain.finish
    high = board.deck_at(at, share)[0] + chain.finish
    y = share * side
    finished = np.concatenate([np.stack([y, low], axis=1), np.stack([y, high], axis=1)[::-1]])
    return RailSection(finished, _before(board, chain, x, side))


def _before(board: Board, chain: Chain, x: float, side: float) -> Floats:
    """Return the corners of the foam before the bands: a line under the contours, the side, the deck."""
    edge, rise = _bottom_line(board, x)
    bottom = [(0.0, edge - rise - chain.finish), (side, edge - chain.finish)]
    share = np.linspace(1.0, 0.0, ACROSS)
    deck = float(board.deck_line(x)) + chain.finish - _dome_drop(chain, x)[::-1]
    # Between the stages' stations the dome is interpolated; the finished deck is exact and must stay inside.
    deck = np.maximum(deck, board.deck_at(np.array([x]), share)[0] + chain.finish)
    if np.ptp(deck) < 1e-9:
        share, deck = share[[0, -1]], deck[[0, -1]]
    return np.array(bottom + [(s * side, z) for s, z in zip(share, deck, strict=True)])


def _bottom_line(board: Board, x: float) -> tuple[float, float]:
    """Return a straight bottom under the contours: its height at the edge, and its rise from the stringer."""
    numbers = board.section_numbers(np.array([x]))
    share = np.linspace(0.0, 1.0, 65)[:-1]
    edge = float((numbers.low + contour(numbers, np.array([1.0])))[0, 0])
    inner = (numbers.low + contour(numbers, share))[0]
    if edge <= inner.min():
        return edge, 0.0
    return edge, max(0.0, float(np.max((edge - inner) / (1.0 - share))))


def _dome_drop(chain: Chain, x: float) -> Floats:
    """Return how far the deck lies below the stringer's at even shares across at `x`, (K,) metres."""
    foil = chain.stage(StageName.FOIL)
    drop = foil.deck[:, None] - foil.deck_across
    return np.array([np.interp(x, foil.x, column) for column in drop.T])
