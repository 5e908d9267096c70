"""The scoop: depth marks for concave, double concave, vee and roll, and what a straight edge shows then."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.cuts.run import frozen
from foamwright.errors import FaultError
from foamwright.units import INCH

Array = NDArray[np.float64]

LEAST_DEPTH = INCH / 64
"""A station whose deepest mark is less than this needs no scoop."""


@dataclass(frozen=True, slots=True, eq=False)
class Scoop:
    """Depth marks on a grid of stations and shares of the half-width, both sides of the stringer alike.

    Attributes
    ----------
    x
        Stations, metres, shape (n,).
    shares
        Shares of the half-width, from the stringer outwards, shape (k,).
    y
        Distances from the stringer, metres, shape (n, k).
    exact
        Depth under the flat, metres, shape (n, k).
    marks
        The same rounded to what a tape shows, never deeper, shape (n, k).
    edge_gap
        Gap at a straight edge laid level across from rail to rail once the scoop is cut, metres, (n, k).
    rocks
        Whether the straight edge rests on the stringer alone (vee, roll) and must be held level, n times.
    stations
        Order of the stations: deepest first, then outwards both ways.
    """

    x: Array
    shares: Array
    y: Array
    exact: Array
    marks: Array
    edge_gap: Array
    rocks: tuple[bool, ...]
    stations: tuple[int, ...]

    @property
    def needed(self) -> bool:
        """Whether there is anything to scoop."""
        return bool(self.exact.max() >= LEAST_DEPTH)

    def as_json(self) -> dict[str, Any]:
        """Return the scoop as plain values."""
        return {
            "x_m": self.x.tolist(),
            "shares": self.shares.tolist(),
            "y_m": self.y.tolist(),
            "depth_m": self.exact.tolist(),
            "mark_m": self.marks.tolist(),
            "straight_edge_gap_m": self.edge_gap.tolist(),
            "straight_edge_rocks": list(self.rocks),
            "order": list(self.stations),
            "needed": self.needed,
        }


@dataclass(frozen=True, slots=True, eq=False)
class BottomGrid:
    """Where the bottom is measured, and how high it stands.

    Attributes
    ----------
    x, shares, half_width
        Stations (n,), shares of the half-width rising from 0 (k,), half-widths (n,), metres.
    flat
        Height of the bottom before its contours, metres, shape (n,).
    finished
        Height of the bottom as the scoop shall leave it, metres up, shape (n, k), nowhere below `flat`.
    """

    x: Array
    shares: Array
    half_width: Array
    flat: Array
    finished: Array

    def __post_init__(self) -> None:
        for name in ("x", "shares", "half_width", "flat", "finished"):
            object.__setattr__(self, name, frozen(getattr(self, name)))
        size = (self.x.size, self.shares.size)
        if self.finished.shape != size or not self.flat.shape == self.half_width.shape == self.x.shape:
            raise FaultError("The bottom needs one height for every station and share.")
        if self.shares[0] != 0.0 or (np.diff(self.shares) <= 0.0).any():
            raise FaultError("Shares of the half-width must rise from 0, the stringer.")
        if (self.finished - self.flat[:, None]).min() < -1e-9:
            raise FaultError("The finished bottom stands below the flat it is cut from: it would add foam.")


def plan_scoop(bottom: BottomGrid, step: float = INCH / 32) -> Scoop:
    """Return the depth marks that lead from the flat bottom to the contours.

    Work from the middle outwards: the stations in the given order, and at each from the stringer to the
    rail, so that the straight edge always finds its feet uncut. Common practice, no source.

    Parameters
    ----------
    bottom
        The flat and the finished bottom.
    step
        What the depth is rounded down to, metres (a depth gauge or tape reads 1/32 in).
    """
    exact = np.maximum(bottom.finished - bottom.flat[:, None], 0.0)
    y = bottom.shares * bottom.half_width[:, None]
    return Scoop(
        x=bottom.x,
        shares=bottom.shares,
        y=frozen(y),
        exact=frozen(exact),
        marks=frozen(np.floor(exact / step + 1e-9) * step),
        edge_gap=frozen(bottom.finished - bottom.finished.min(axis=1, keepdims=True)),
        rocks=tuple(bool(row[0] < row[1:].min() - 1e-9) for row in bottom.finished),
        stations=_outwards(exact.max(axis=1)),
    )


def _outwards(depth: Array) -> tuple[int, ...]:
    """Return places from the deepest outwards, nearer ones first, tailwards before nosewards."""
    deepest = int(np.argmax(depth))
    return tuple(sorted(range(depth.size), key=lambda i: (abs(i - deepest), i)))
