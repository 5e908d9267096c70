"""The supporting line over a sliding window: the upper convex hull of a profile, evaluated inside it.

The profile is a polyline on a uniform grid; positions are counted in grid steps. A window reaches
`behind` steps back and `ahead` steps forward of a point and is clipped to the profile. Where a reach
is not a whole number, the window ends inside a segment and its end is interpolated, so the hull is
exact for the polyline.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@compiled
def chain_ahead(heights: Array, begin: int, successor: Index) -> None:
    """Write for every point from `begin` on the next vertex of the upper hull of what lies ahead of it.

    O(n) in all. The last point has itself as successor.
    """
    last = heights.shape[0] - 1
    successor[last] = last
    for i in range(last - 1, begin - 1, -1):
        j = i + 1
        while j < last:
            k = successor[j]
            if (heights[k] - heights[i]) * (j - i) < (heights[j] - heights[i]) * (k - i):
                break
            j = k
        successor[i] = j


@compiled
def chain_behind(heights: Array, begin: int, predecessor: Index) -> None:
    """Write for every point from `begin` on the vertex before it on the upper hull of `begin` to itself."""
    predecessor[begin] = begin
    for i in range(begin + 1, heights.shape[0]):
        j = i - 1
        while j > begin:
            k = predecessor[j]
            if (heights[k] - heights[i]) * (i - j) < (heights[j] - heights[i]) * (i - k):
                break
            j = k
        predecessor[i] = j


@compiled
def height_at(heights: Array, position: float) -> float:
    """Return the polyline's height at a position in grid steps, inside the profile."""
    i = min(int(position), heights.shape[0] - 2)
    part = position - i
    return heights[i] + part * (heights[i + 1] - heights[i])  # type: ignore[no-any-return]


@compiled
def farthest_up_ahead(heights: Array, origin: float, level: float, point: int, end: float) -> float:
    """Return the position in (`point`, `end`] steepest up as seen from (`origin`, `level`)."""
    best = end
    slope = (height_at(heights, end) - level) / (end - origin)
    for j in range(point + 1, int(end) + 1):
        rise = heights[j] - level
        if rise > slope * (j - origin):
            slope = rise / (j - origin)
            best = float(j)
    return best


@compiled
def farthest_up_behind(heights: Array, origin: float, level: float, point: int, begin: float) -> float:
    """Return the position in [`begin`, `point`) steepest up, looking back from (`origin`, `level`)."""
    best = begin
    slope = (height_at(heights, begin) - level) / (origin - begin)
    first = int(begin)
    if first < begin:
        first += 1
    for j in range(point - 1, first - 1, -1):
        rise = heights[j] - level
        if rise > slope * (origin - j):
            slope = rise / (origin - j)
            best = float(j)
    return best


@compiled
def bridge_over(heights: Array, point: int, begin: float, end: float) -> tuple[float, float]:
    """Return the ends of the hull's edge over [`begin`, `end`] above `point`, which lies below the hull.

    Tangents are drawn in turn from each side to the other; the line only ever rises over `point`, so
    it ends on the edge.
    """
    left = farthest_up_behind(heights, float(point), heights[point], point, begin)
    level = heights[point]
    while True:
        right = farthest_up_ahead(heights, left, height_at(heights, left), point, end)
        top = height_at(heights, right)
        better = farthest_up_behind(heights, right, top, point, begin)
        foot = height_at(heights, better)
        line = foot + (top - foot) * (point - better) / (right - better)
        if better == left or line <= level:
            return left, right
        left = better
        level = line


@compiled
def carries(
    heights: Array, point: int, begin: float, end: float, successor: Index, predecessor: Index
) -> bool:
    """Return whether `point` is itself on the upper hull over [`begin`, `end`].

    `successor` and `predecessor` are what `chain_ahead` and `chain_behind` wrote for a range that holds
    the window: where the hull vertices next to the point fall inside the window, as on every bulging
    face, one comparison settles it.
    """
    level = heights[point]
    after = float(successor[point])
    if after > end:
        after = farthest_up_ahead(heights, float(point), level, point, end)
    before = float(predecessor[point])
    if before < begin:
        before = farthest_up_behind(heights, float(point), level, point, begin)
    rise_after = height_at(heights, after) - level
    rise_before = height_at(heights, before) - level
    return rise_after * (point - before) + rise_before * (after - point) <= 0.0  # type: ignore[no-any-return]


@compiled
def line_between(heights: Array, left: float, right: float, position: float) -> float:
    """Return the chord from `left` to `right`, evaluated at `position`."""
    foot = height_at(heights, left)
    return foot + (height_at(heights, right) - foot) * (position - left) / (right - left)


@compiled
def still_spans(heights: Array, point: int, begin: float, end: float, left: float, right: float) -> bool:
    """Return whether the hull's edge found one step back is an edge of the hull at `point` too.

    The window has moved on by one step: only what came in at its end could stand above the line.
    """
    if left < begin or right <= point:
        return False
    newest = int(end)
    if newest > right and heights[newest] > line_between(heights, left, right, float(newest)):
        return False
    return end <= right or height_at(heights, end) <= line_between(heights, left, right, end)


@compiled
def support_into(
    heights: Array, first: int, behind: float, ahead: float, support: Array, chains: Index
) -> None:
    """Write the upper hull over the window around each point from `first` on, evaluated at that point.

    Parameters
    ----------
    heights
        Shape (n,), n >= 2, on a uniform grid.
    first
        First point wanted, 0..n.
    behind, ahead
        Reach of the window in grid steps, >= 0.
    support
        Shape (n,), written from `first` on.
    chains
        Workspace, shape (2, n).
    """
    last = heights.shape[0] - 1
    start = max(0, first - int(behind) - 2)
    chain_ahead(heights, start, chains[0])
    chain_behind(heights, start, chains[1])
    left, right = -1.0, -1.0
    for i in range(first, last + 1):
        begin = max(i - behind, 0.0)
        end = min(i + ahead, float(last))
        support[i] = heights[i]
        if begin >= i or end <= i:
            continue
        if not still_spans(heights, i, begin, end, left, right):
            right = -1.0
            if not carries(heights, i, begin, end, chains[0], chains[1]):
                left, right = bridge_over(heights, i, begin, end)
        if right > i:
            support[i] = max(heights[i], line_between(heights, left, right, float(i)))
