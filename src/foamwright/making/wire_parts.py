"""The parts that a wire cuts from a block for one close-cut blank: its profile, and the outline of a half.

Block frame: `x` from the block's tail end, up from the bed it lies on. The profile is cut with the wire
across the block; the outline as a second set-up with the half standing on its stringer face, so that the
wire runs from bottom to deck and "up" is the distance from the stringer.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from foamwright.making.closecut import CloseCut
from foamwright.making.wire_offset import Edge
from foamwright.making.wire_path import Part
from foamwright.shape.curves import Floats

POINTS = 1025
"""Points of a long edge."""

MIDDLE = 32
"""Half the places across at which a finished deck is looked at."""

LEAST_EDGE = 0.5
"""Least thickness of the far edge of a tapered half, as a share of that at the stringer. Our own choice: the
ends of the wire then never differ by more than 2 to 1 in speed, nor their kerfs by much."""


class Taper(StrEnum):
    """Whether the deck is cut level across, or falls from the stringer to the rail."""

    LEVEL = "level"
    FALLING = "falling"


@dataclass(frozen=True, eq=False)
class Profile:
    """Stations of a profile with its bottom and deck, (N,) each, metres in the blank's frame."""

    x: Floats
    low: Floats
    high: Floats

    def edges(self, at: tuple[float, float]) -> tuple[Edge, ...]:
        """Return the four edges, deck first, walked with the offcut on the left, moved by `at`."""
        x, low, high = self.x + at[0], self.low + at[1], self.high + at[1]
        deck, bottom = np.stack([x, high], axis=1), np.stack([x, low], axis=1)[::-1]
        return (
            Edge("deck", deck),
            Edge("nose end", _straight(deck[-1], bottom[0])),
            Edge("bottom", bottom),
            Edge("tail end", _straight(bottom[-1], deck[0])),
        )


def profile_part(cut: CloseCut, depth: float, at: tuple[float, float], taper: Taper = Taper.LEVEL) -> Part:
    """Return the profile of a blank or of one of its halves as a part.

    Parameters
    ----------
    cut
        The blank.
    depth
        Metres of foam along the wire: the blank's width without its stringer, or half of it.
    at
        Where the blank's tail and level line lie in the block, metres.
    taper
        A falling deck makes the near face the stringer's and the far face the rail's.
    """
    x = stations(cut.length)
    near = Profile(x, cut.bottom(x), cut.deck(x))
    if taper is Taper.LEVEL:
        edges = near.edges(at)
        return Part("profile", edges, edges, True, depth)
    near, far = falling(cut, x, depth)
    return Part("profile", near.edges(at), far.edges(at), True, depth)


def outline_part(cut: CloseCut) -> Part:
    """Return the outline of one half, standing on its stringer face with its tail at the start.

    The half's ends were cut with the profile; the wire only follows the rail, from end to end.
    """
    x = stations(cut.length)
    half = np.interp(x, cut.stations, cut.half) - cut.stringer.width / 2.0
    edge = Edge("outline", _evenly(np.stack([x, half], axis=1)))
    depth = float(np.max(cut.high) - np.min(cut.low))
    return Part("outline", (edge,), (edge,), False, depth)


def stations(length: float) -> Floats:
    """Return stations over a blank that crowd at its tips."""
    x = 0.5 * length * (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS)))
    x[-1] = length
    return x


def falling(cut: CloseCut, x: Floats, depth: float) -> tuple[Profile, Profile]:
    """Return the profiles of a half at the stringer and at its far face, deck falling towards the rail.

    At each station the deck of the half is the straight line over the finished deck and its allowance that
    touches it halfway to the rail: the least foam of all straight lines. It falls no more than leaves
    the far face half its thickness.
    """
    low, level = cut.bottom(x), cut.deck(x)
    across, deck = _deck_across(cut, x, level)
    # The slope of the finished deck halfway to the rail.
    fall = (deck[:, MIDDLE - 1] - deck[:, MIDDLE + 1]) / (across[:, MIDDLE + 1] - across[:, MIDDLE - 1])
    slope = _smoothed(np.clip(fall, 0.0, (1.0 - LEAST_EDGE) * (level - low) / depth))
    high = np.max(deck + slope[:, None] * across, axis=1)
    return Profile(x, low, high), Profile(x, low, high - slope * depth)


def _deck_across(cut: CloseCut, x: Floats, level: Floats) -> tuple[Floats, Floats]:
    """Distances from the stringer (N, K) and the finished deck there, lifted by what is left on it."""
    inside = np.clip(x - cut.allowances.tips, 0.0, cut.board.length)
    shares = np.linspace(0.0, 1.0, 2 * MIDDLE + 1)
    finished = cut.board.deck_at(inside, shares)
    half = np.maximum(cut.board.half_width(inside), 1e-4)
    lifted = finished + (level - np.max(finished, axis=1))[:, None]
    return half[:, None] * shares[None, :], lifted


def _smoothed(values: Floats) -> Floats:
    """Even out the corners where a limit begins to bind: a running mean over 1/50 of the rows, twice.

    The mean of a step is a ramp, whose two ends are corners again: the speeds of the wire's ends, and with
    them its kerf, would jump there. The mean of the ramp has none.
    """
    reach = values.size // 100
    for _ in range(2):
        padded = np.concatenate([np.full(reach, values[0]), values, np.full(reach, values[-1])])
        values = np.convolve(padded, np.full(2 * reach + 1, 1.0 / (2 * reach + 1)), mode="valid")
    return values


def _straight(start: Floats, stop: Floats) -> Floats:
    return np.asarray(np.linspace(start, stop, 33))


def _evenly(points: Floats) -> Floats:
    """The same line with points evenly spread along it, and its corners kept."""
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    even = np.linspace(0.0, along[-1], 2 * POINTS)
    return np.stack([np.interp(even, along, points[:, 0]), np.interp(even, along, points[:, 1])], axis=1)
