"""One stroke of a flat sole along a profile, and many of them, without allocating anything."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.hull_window import support_into

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@compiled
def stroke_into(old: Array, first: int, window: Array, result: Array, chains: Index) -> None:
    """Write into `result` the profile after one stroke over every grid point from `first` to the end.

    ``result[i] = min(old[i], hull of old over the window at i - chip)``; points before `first` are copied.

    Parameters
    ----------
    old
        Heights on a uniform grid, outwards from the foam, shape (n,), n >= 2.
    first
        First grid point the iron touches, 0..n (n: nothing is cut).
    window
        ``(behind, ahead, chip)``: reach of the sole behind and ahead of the iron in grid steps, chip
        in the unit of the heights.
    result
        Shape (n,), written; must not be `old`.
    chains
        Workspace, shape (2, n).
    """
    for i in range(first):
        result[i] = old[i]
    support_into(old, first, window[0], window[1], result, chains)
    for i in range(first, old.shape[0]):
        result[i] = min(old[i], result[i] - window[2])


@compiled
def strokes_into(heights: Array, firsts: Index, windows: Array, spare: Array, chains: Index) -> None:
    """Make many strokes one after the other; `heights` is worn down in place.

    Parameters
    ----------
    heights
        Shape (n,), the profile before, overwritten with the profile after.
    firsts
        First grid point of each stroke, shape (k,).
    windows
        ``(behind, ahead, chip)`` of each stroke, shape (k, 3).
    spare, chains
        Workspace, shapes (n,) and (2, n).
    """
    for k in range(firsts.shape[0]):
        stroke_into(heights, firsts[k], windows[k], spare, chains)
        for i in range(firsts[k], heights.shape[0]):
            heights[i] = spare[i]


@compiled
def guarded_strokes_into(
    heights: Array, firsts: Index, windows: Array, floor: Array, made: Index, spare: Array, chains: Index
) -> int:
    """Make strokes one after the other, leaving out each that would go below `floor` or cut nothing.

    Parameters
    ----------
    heights
        Shape (n,), overwritten with the profile after.
    firsts, windows
        As in `strokes_into`, shapes (k,) and (k, 3).
    floor
        Heights that may not be passed, shape (n,).
    made
        Shape (k,), written: 1 where the stroke was made, 0 where it was left out.
    spare, chains
        Workspace, shapes (n,) and (2, n).

    Returns
    -------
    int
        Number of strokes made.
    """
    total = 0
    for k in range(firsts.shape[0]):
        stroke_into(heights, firsts[k], windows[k], spare, chains)
        made[k] = 0
        for i in range(firsts[k], heights.shape[0]):
            if spare[i] < floor[i]:
                made[k] = 0
                break
            if spare[i] < heights[i]:
                made[k] = 1
        if made[k] == 1:
            total += 1
            for i in range(firsts[k], heights.shape[0]):
                heights[i] = spare[i]
    return total
