"""The straight line that passes above one set of points and below another, exactly and in one sweep.

A line ``z = lift + tilt * x`` is above every lower point iff it is above their upper convex hull, and
below every upper point iff it is below the lower convex hull of those. For a given tilt the lowest
line that will do has the lift ``a(t) = max(lower - t x)``, the highest ``b(t) = min(upper - t x)``;
``gap(t) = b(t) - a(t)`` is concave and piecewise linear, its corners are the slopes of the hull edges.
One walk through those slopes in rising order (the hulls hand them over sorted) meets the first tilt
at which a line fits, the tilt with the widest gap, and the last tilt at which one fits.

Points are sorted by `x`, strictly rising. ``-inf`` in `lower` and ``inf`` in `upper` mean "no limit here".
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Floats = NDArray[np.float64]

FITS = 0
NONE_FITS = 1
UNBOUNDED = 2

SLACK = 1e-12
"""Metres: a gap that is short by no more than this is rounding, and counts as a fit."""


class Line(NamedTuple):
    """The best line, as a kernel returns it.

    Attributes
    ----------
    status
        `FITS`; `NONE_FITS` (the line is then the one that misses both sets by the least); `UNBOUNDED`.
    lift, tilt
        The line, metres and metres per metre.
    gap
        Widest vertical gap between the two sets over all tilts, metres. Negative where none fits: the
        least amount by which the upper set would have to be higher.
    """

    status: int
    lift: float
    tilt: float
    gap: float


class Corners(NamedTuple):
    """Corners of the lower set's upper hull and of the upper set's lower hull, from left to right.

    Slopes are those of the edge that leaves a corner to the right (the last one has none).
    """

    low_x: Floats
    low_z: Floats
    low_slope: Floats
    high_x: Floats
    high_z: Floats
    high_slope: Floats


class Opened(NamedTuple):
    """First half of the sweep: pair of corners at the widest gap, its tilt, and the first tilt that fits."""

    i: int
    j: int
    first: float
    widest: float
    gap: float


@compiled
def hull(x: Floats, z: Floats, sign: float, kept: Floats) -> int:
    """Return how many points make the upper (`sign` 1) or lower (`sign` -1) hull.

    `kept` (3, N) gets their x, their z, and the slope from each to the next.
    """
    count = 0
    for i in range(x.size):
        if not np.isfinite(z[i]):
            continue
        slope = 0.0
        while count > 0:
            slope = (z[i] - kept[1, count - 1]) / (x[i] - kept[0, count - 1])
            if count == 1 or sign * (slope - kept[2, count - 2]) < 0.0:
                break
            count -= 1
        if count > 0:
            kept[2, count - 1] = slope
        kept[0, count], kept[1, count] = x[i], z[i]
        count += 1
    return count


@compiled
def nearest_zero(first: float, last: float) -> float:
    """Return the number of least size between `first` and `last`."""
    return min(max(0.0, first), last)


@compiled
def next_turn(c: Corners, i: int, j: int) -> tuple[float, int, int]:
    """Return the tilt at which the pair of touching corners changes, and the pair after it."""
    low = c.low_slope[i - 1] if i > 0 else np.inf
    high = c.high_slope[j] if j < c.high_x.size - 1 else np.inf
    if low <= high:
        return low, i - 1, j
    return high, i, j + 1


@compiled
def reach_and_growth(c: Corners, i: int, j: int) -> tuple[float, float]:
    """Return the gap of a pair of corners at tilt 0, and how fast it grows with the tilt."""
    return c.high_z[j] - c.low_z[i], c.low_x[i] - c.high_x[j]


@compiled
def open_gap(c: Corners) -> Opened:
    """Turn the line up from steeply falling until the gap stops growing."""
    i, j = c.low_x.size - 1, 0
    first, widest, gap = -np.inf, -np.inf, -np.inf
    reach, growth = reach_and_growth(c, i, j)
    if growth < 0.0:
        return Opened(i, j, first, widest, np.inf)
    while growth > 0.0:
        widest, next_i, next_j = next_turn(c, i, j)
        gap = reach + widest * growth
        if gap >= 0.0 and first == -np.inf:
            first = -reach / growth
        if widest == np.inf:
            return Opened(i, j, first, widest, np.inf)
        i, j = next_i, next_j
        reach, growth = reach_and_growth(c, i, j)
    if growth == 0.0:
        # Both corners stand at one place: every tilt until the next turn is equally good.
        if first == -np.inf:
            first = widest
        widest, gap = nearest_zero(widest, next_turn(c, i, j)[0]), reach
    return Opened(i, j, first, widest, gap)


@compiled
def close_gap(c: Corners, i: int, j: int) -> float:
    """Turn on from the widest gap and return the last tilt that fits."""
    turn = -np.inf
    while turn < np.inf:
        turn, next_i, next_j = next_turn(c, i, j)
        reach, growth = reach_and_growth(c, i, j)
        if growth < 0.0 and reach + turn * growth < 0.0:
            return -reach / growth
        i, j = next_i, next_j
    return np.inf


@compiled
def lowest_lift(c: Corners, tilt: float) -> float:
    """Return the lift of the lowest line of this tilt above the lower set."""
    lift = -np.inf
    for i in range(c.low_x.size):
        here = c.low_z[i] - tilt * c.low_x[i]
        if here > lift:
            lift = here
    return lift


@compiled
def highest_lift(c: Corners, tilt: float) -> float:
    """Return the lift of the highest line of this tilt below the upper set."""
    lift = np.inf
    for j in range(c.high_x.size):
        here = c.high_z[j] - tilt * c.high_x[j]
        if here < lift:
            lift = here
    return lift


@compiled
def resting_tilts(c: Corners, lift: float, tilt: float) -> tuple[float, float]:
    """Return the tilts that make ``lift * lowest_lift(t) + tilt * t`` least (`lift` > 0).

    The derivative by the tilt is ``tilt - lift * x`` of the corner in touch, and falls along the hull; it
    changes sign at the wanted corner. A derivative of exactly zero leaves a range of equally good tilts.
    """
    corner, end = 0, c.low_x.size - 1
    while corner <= end and tilt - lift * c.low_x[corner] >= 0.0:
        corner += 1
    if corner == 0:
        return np.inf, np.inf
    corner -= 1
    best = c.low_slope[corner] if corner < end else -np.inf
    if tilt - lift * c.low_x[corner] > 0.0:
        return best, best
    return best, c.low_slope[corner - 1] if corner > 0 else np.inf


@compiled
def hanging_tilts(c: Corners, lift: float, tilt: float) -> tuple[float, float]:
    """Return the tilts that make ``lift * highest_lift(t) + tilt * t`` least (`lift` < 0)."""
    corner, end = 0, c.high_x.size - 1
    while corner <= end and tilt - lift * c.high_x[corner] < 0.0:
        corner += 1
    if corner > end:
        return np.inf, np.inf
    best = c.high_slope[corner - 1] if corner > 0 else -np.inf
    if tilt - lift * c.high_x[corner] > 0.0:
        return best, best
    return best, c.high_slope[corner] if corner < end else np.inf


@compiled
def wished_tilts(c: Corners, toward: Floats, widest: float) -> tuple[float, float]:
    """Return the range of tilts that the objective likes best, whether a line of that tilt fits or not."""
    if toward[0] > 0.0:
        return resting_tilts(c, toward[0], toward[1])
    if toward[0] < 0.0:
        return hanging_tilts(c, toward[0], toward[1])
    if toward[1] != 0.0:
        return -np.inf * toward[1], -np.inf * toward[1]
    return widest, widest


@compiled
def tilt_within(wished: tuple[float, float], first: float, last: float) -> float:
    """Return the tilt in ``first..last`` nearest the wished ones; of equals, the one of least size."""
    if wished[0] > last:
        return last
    if wished[1] < first:
        return first
    return nearest_zero(max(wished[0], first), min(wished[1], last))


@compiled
def lift_at(c: Corners, toward: Floats, tilt: float) -> float:
    """Return the best lift of a line of this tilt: resting, hanging, or halfway where it does not matter."""
    if toward[0] > 0.0:
        return lowest_lift(c, tilt)
    if toward[0] < 0.0:
        return highest_lift(c, tilt)
    return 0.5 * (lowest_lift(c, tilt) + highest_lift(c, tilt))


@compiled
def corners_of(x: Floats, lower: Floats, upper: Floats, room: Floats) -> Corners:
    """Return the corners of both hulls, kept in `room`."""
    low = room[0, :, : hull(x, lower, 1.0, room[0])]
    high = room[1, :, : hull(x, upper, -1.0, room[1])]
    return Corners(low[0], low[1], low[2], high[0], high[1], high[2])


@compiled
def swept_line(c: Corners, toward: Floats) -> Line:
    """Return the best line, or the nearest miss, after the sweep through all tilts."""
    if c.low_x.size == 0 or c.high_x.size == 0:
        return Line(UNBOUNDED, 0.0, 0.0, np.inf)
    opened = open_gap(c)
    tilt = opened.widest
    if opened.gap < 0.0:
        lift = 0.5 * (lowest_lift(c, tilt) + highest_lift(c, tilt))
        return Line(FITS if opened.gap >= -SLACK else NONE_FITS, lift, tilt, opened.gap)
    last = close_gap(c, opened.i, opened.j)
    tilt = tilt_within(wished_tilts(c, toward, tilt), opened.first, last)
    if not np.isfinite(tilt):
        return Line(UNBOUNDED, 0.0, 0.0, opened.gap)
    return Line(FITS, lift_at(c, toward, tilt), tilt, opened.gap)


@compiled
def line_between(x: Floats, lower: Floats, upper: Floats, toward: Floats, room: Floats) -> Line:
    """Return the line above `lower` and below `upper` with the least ``toward[0]*lift + toward[1]*tilt``.

    Parameters
    ----------
    x
        (N,) metres, strictly rising.
    lower, upper
        (N,) metres; limits of the line at `x`.
    toward
        (2,) weights of lift and tilt. Both zero: the line with the widest gap, halfway.
    room
        (2, 3, N) working space, so that a sweep over many lays allocates nothing.

    Returns
    -------
    Line
        Exact to rounding. Ties go to the tilt of least size.
    """
    return swept_line(corners_of(x, lower, upper, room), toward)


@compiled
def quick_line(x: Floats, lower: Floats, upper: Floats, toward: Floats, room: Floats) -> Line:
    """Return the same line as `line_between`, but where one fits its gap may be left out (NaN).

    The tilt the objective would like best of all is tried first; mostly it fits, and no sweep is needed.
    """
    c = corners_of(x, lower, upper, room)
    if c.low_x.size > 0 and c.high_x.size > 0 and (toward[0] != 0.0 or toward[1] != 0.0):
        wished = wished_tilts(c, toward, 0.0)
        tilt = nearest_zero(wished[0], wished[1])
        if np.isfinite(tilt) and highest_lift(c, tilt) >= lowest_lift(c, tilt):
            return Line(FITS, lift_at(c, toward, tilt), tilt, np.nan)
    return swept_line(c, toward)
