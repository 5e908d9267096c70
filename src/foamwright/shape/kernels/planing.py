"""One stroke of a flat sole along a profile: with the heel on the fresh cut, and with a full chip everywhere.

The profile is a polyline on a uniform grid, heights outwards from the foam; positions count in grid steps,
and the stroke goes towards the last point. Both kernels work in place: behind the iron the array holds what
is cut already, ahead of it what is not, and that is exactly what the sole rides on (docs/planing.md).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Array = NDArray[np.float64]


@compiled
def height_at(heights: Array, position: float) -> float:
    """Return the polyline's height at a position in grid steps, inside the profile."""
    i = min(int(position), heights.shape[0] - 2)
    return heights[i] + (position - i) * (heights[i + 1] - heights[i])  # type: ignore[no-any-return]


@compiled
def steepest(heights: Array, origin: float, level: float, near: int, far: float) -> float:
    """Return the position from `near` to `far` that is seen steepest up from (`origin`, `level`).

    `far` may lie between two grid points, on either side of the origin: there the sole ends.
    """
    sign = 1 if far > origin else -1
    best = far
    slope = (height_at(heights, far) - level) / abs(far - origin)
    for j in range(near, int(far) + (1 if sign > 0 else -1), sign):
        if sign < 0 and j < far:
            break
        rise = heights[j] - level
        if rise > slope * abs(j - origin):
            slope = rise / abs(j - origin)
            best = float(j)
    return best


@compiled
def chord_at(heights: Array, left: float, right: float, position: float) -> float:
    """Return the chord from `left` to `right`, evaluated at `position`."""
    foot = height_at(heights, left)
    return foot + (height_at(heights, right) - foot) * (position - left) / (right - left)


@compiled
def support_at(heights: Array, i: int, begin: float, end: float) -> float:
    """Return the upper hull over [`begin`, `end`] at point `i`, never below the point itself.

    Tangents are drawn in turn from each side to the other; the line only ever rises over `i`, so it ends on
    the hull's edge. On a bulging face the first two already show that the point carries the sole.
    """
    level = heights[i]
    left = steepest(heights, float(i), level, i - 1, begin)
    right = steepest(heights, float(i), level, i + 1, end)
    line = chord_at(heights, left, right, float(i))
    while line > level:
        level = line
        right = steepest(heights, left, height_at(heights, left), i + 1, end)
        left = steepest(heights, right, height_at(heights, right), i - 1, begin)
        line = chord_at(heights, left, right, float(i))
    return level  # type: ignore[no-any-return]


@compiled
def heel_stroke(heights: Array, first: int, last: int, sole: tuple[float, float], chip: float) -> None:
    """Make one stroke with the heel riding on what it has just cut; `heights` is worn down in place.

    ``new[i] = min(old[i], hull over (already cut behind, uncut ahead) at i - chip)``, ``first <= i < last``.

    Parameters
    ----------
    heights
        Shape (n,), n >= 2, outwards from the foam.
    first, last
        First grid point under the iron, and the one before which it is lifted (n: the stroke runs off).
    sole
        (behind, ahead): reach of the sole from the iron in grid steps, each 1 or more.
    chip
        What the iron stands out of the sole, in the unit of the heights.
    """
    tip = float(heights.shape[0] - 1)
    for i in range(max(first, 0), min(last, heights.shape[0])):
        line = heights[i]
        begin, end = max(i - sole[0], 0.0), min(i + sole[1], tip)
        if begin < i < end:
            line = support_at(heights, i, begin, end)
        heights[i] = min(heights[i], line - chip)


@compiled
def full_stroke(heights: Array, first: int, last: int, chip: float) -> None:
    """Make one stroke that takes its whole chip everywhere: the bound that no sole, load or hand passes.

    Parameters as in `heel_stroke`.
    """
    for i in range(max(first, 0), min(last, heights.shape[0])):
        heights[i] -= chip
