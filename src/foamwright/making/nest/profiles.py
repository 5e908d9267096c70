"""Profiles of blanks as tables that know how near they may lie to each other.

Two profiles may lie so near that the kerf and the margin stay between them. Each is therefore grown by half
that distance all around; grown profiles may touch. How far one must stand above another is then the largest
gap between the upper curve of the one below and the lower curve of the one above, over every slide.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.curves import Floats

Whole = NDArray[np.int64]

STEP = 0.005
"""Metres between the rows of a grown table."""

FINE = 10
"""Rows of the fine table, from which the grown one is made, in one of its steps."""

SPARE = 5e-5
"""Metres that the rows of a grown curve may miss at its round ends, added to all of it."""

WAYS = 48
"""Half the directions in which a point is grown."""


@dataclass(frozen=True, eq=False)
class Profile:
    """The side view of a piece: bottom and top over stations, metres, lowest point of the bottom at 0.

    Attributes
    ----------
    stations, low, high
        (N,) from the tail tip at 0 to the nose tip.
    """

    stations: Floats
    low: Floats
    high: Floats

    @property
    def length(self) -> float:
        """Tail to nose."""
        return float(self.stations[-1])

    @cached_property
    def tall(self) -> float:
        """Its highest point."""
        return float(np.max(self.high))

    @cached_property
    def thickest(self) -> float:
        """The most between bottom and top."""
        return float(np.max(self.high - self.low))

    @cached_property
    def area(self) -> float:
        """Foam in its side view, m2."""
        return float(np.trapezoid(self.high - self.low, self.stations))

    @cached_property
    def key(self) -> bytes:
        """The same for profiles that are the same, to a hundredth of a millimetre."""
        rows = np.round(np.concatenate([self.stations, self.low, self.high]) * 1e5)
        return rows.astype(np.int64).tobytes()


@dataclass(frozen=True, eq=False)
class Grown:
    """A profile grown all around: rows at whole steps from its tail tip, the first at `begin` (below 0).

    Between two rows its curves run straight, on the safe side by what the true ones bend there.
    """

    begin: int
    low: Floats
    high: Floats

    @property
    def end(self) -> int:
        """Step of the last row."""
        return self.begin + self.low.size - 1


def grown(profile: Profile, reach: float) -> Grown:
    """Return a profile grown by `reach` metres all around."""
    begin = -int(np.ceil(reach / STEP - 1e-9))
    end = int(np.ceil((profile.length + reach) / STEP - 1e-9))
    rows: Floats = np.arange(begin * FINE, end * FINE + 1, dtype=float) * (STEP / FINE)
    high = _raised(profile.stations, profile.high, rows, reach)
    low = -_raised(profile.stations, -profile.low, rows, reach)
    spare = SPARE if reach > 0.0 else 0.0
    return Grown(begin, -_thinned(-low) - spare, _thinned(high) + spare)


def _raised(stations: Floats, heights: Floats, rows: Floats, reach: float) -> Floats:
    """Upper edge of all discs about the curve; past its reach the edge of the nearest row within."""
    away = reach * np.sin(np.linspace(-0.5 * np.pi, 0.5 * np.pi, 2 * WAYS + 1))
    lift = np.sqrt(np.maximum(reach**2 - away**2, 0.0))
    inside = np.clip(rows, -reach, stations[-1] + reach)
    at = inside[:, None] + away[None, :]
    on = (at >= -1e-12) & (at <= stations[-1] + 1e-12)
    over = np.interp(at, stations, heights) + lift[None, :]
    return np.asarray(np.max(np.where(on, over, -np.inf), axis=1))


def _thinned(high: Floats) -> Floats:
    """Every tenth row, lifted so that the straight lines between them stay above all rows."""
    rows = high[::FINE].copy()
    line = np.interp(np.arange(high.size), np.arange(0, high.size, FINE), rows)
    over = np.maximum(high - line, 0.0)
    worst = np.maximum.reduceat(over[:-1], np.arange(0, high.size - 1, FINE))
    rows += np.maximum(np.append(worst, 0.0), np.append(0.0, worst))
    return rows


def rises(below: Grown, above: Grown, shifts: Whole) -> Floats:
    """Return how far `above` must stand above `below` for each shift of it along the block, metres.

    Parameters
    ----------
    below, above
        Grown profiles.
    shifts
        (M,) whole steps from the tail of `below` to the tail of `above`.

    Returns
    -------
    numpy.ndarray
        (M,) the largest gap where both are; ``-inf`` where they pass each other.
    """
    return np.array([_rise(below, above, int(shift)) for shift in shifts])


def _rise(below: Grown, above: Grown, shift: int) -> float:
    start = max(below.begin, above.begin + shift)
    stop = min(below.end, above.end + shift) + 1
    if start >= stop:
        return -np.inf
    upper = below.high[start - below.begin : stop - below.begin]
    lower = above.low[start - shift - above.begin : stop - shift - above.begin]
    return float(np.max(upper - lower))
