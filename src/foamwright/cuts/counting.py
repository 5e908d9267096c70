"""Strokes by counting: no stroke takes more than its chip, so as many may cross a place as chips fit there.

Rule the depth that is to come off in chips: every ruled line that the curve crosses is one stroke, started
where it is crossed (and lifted where it is crossed again). With ``floor(depth / chip)`` strokes over each
place nothing can go below the target, whatever the sole, the load or the pressure (docs/planing.md).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import BETWEEN_READINGS
from foamwright.cuts.run import Lifted, Stroke
from foamwright.units import INCH, System

Array = NDArray[np.float64]
Counts = NDArray[np.int64]

SNAP = 1e-9
"""Part of a chip by which a depth may be short of a whole number of chips by arithmetic alone."""


@dataclass(frozen=True, slots=True)
class Marks:
    """Where things are marked and computed along the stringer; metres.

    Attributes
    ----------
    grid
        Spacing of the points of a run, counted from its tip: a whole number of marks.
    fine
        Finest mark of the tape; starts stand on one.
    shortest
        Least length of a stroke that is lifted. Common practice, no source.
    read
        Distances from the tip at which a stop measures.
    strip
        Width of the strip that comes down on each side of the stringer. Common practice, no source.
    """

    grid: float
    fine: float
    shortest: float
    read: tuple[float, ...]
    strip: float


MARKS = {
    System.INCH: Marks(
        INCH / 8, INCH / 16, 3 * INCH, (0.0, BETWEEN_READINGS, 2 * BETWEEN_READINGS), 3 * INCH
    ),
    System.MM: Marks(0.003, 0.001, 0.075, (0.0, 0.2, 0.4), 0.075),
}
"""Inches: a tape's sixteenths. Millimetres: a tape's own."""


def counted(depth: Array, chip: float) -> Counts:
    """Return how many strokes of `chip` may cross each place of a depth, metres."""
    return np.asarray(np.floor(np.maximum(depth, 0.0) / chip + SNAP), dtype=np.int64)


def least_to_tip(depth: Array) -> Array:
    """Return at each place the least depth from there to the tip (the last point): what run-offs may take."""
    return np.minimum.accumulate(depth[::-1])[::-1]


def walk(depth: Array, grid: float, chip: float, marks: Marks) -> tuple[Stroke, ...]:
    """Return the walk for a depth: one stroke from each mark, from the tip inboard.

    Parameters
    ----------
    depth
        What is to come off, metres, on points `grid` apart, the tip last, shape (n,).
    grid
        Spacing of the points, metres.
    chip
        Of every stroke, metres.
    marks
        A start stands on the last mark of the tape, going inboard, at which the stroke may still cut. The
        walk begins at the very tip: a wedge left there would lift the toe of every stroke (docs/planing.md).
    """
    allowed = least_to_tip(depth)
    counts = counted(allowed, chip)
    strokes = []
    for k in range(int(counts[-1]), 0, -1):
        first = int(np.searchsorted(counts, k))
        start = (depth.size - 1 - first) * grid
        if first > 0:
            part = (allowed[first] - k * chip) / (allowed[first] - allowed[first - 1])
            start += floor(part * grid / marks.fine + 1e-6) * marks.fine
        if start >= marks.fine - 1e-9:
            strokes.append(Stroke(start, chip))
    return tuple(strokes)


def stretches(counts: Counts) -> Iterator[tuple[int, int]]:
    """Give first and last point of each stretch that strokes cross, one stroke at a time.

    Where n strokes may cross a place, n of the stretches hold it.
    """
    for k in range(1, int(counts.max(initial=0)) + 1):
        inside = np.concatenate([[0], counts >= k, [0]]).astype(np.int8)
        edges = np.flatnonzero(np.diff(inside))
        for first, after in zip(edges[::2], edges[1::2], strict=True):
            yield int(first), int(after) - 1


def lifted(left: Array, grid: float, chip: float, marks: Marks) -> tuple[Lifted, ...]:
    """Return strokes from mark to mark for what is left after a walk, once it was read.

    Only stretches that do not reach the tip: the tip itself has had its strokes.

    Parameters
    ----------
    left
        What stands above the target, metres, on points `grid` apart, the tip last.
    grid, chip, marks
        As in `walk`; nothing shorter than ``marks.shortest``.
    """
    strokes = []
    last = left.size - 1
    for first, end in stretches(counted(left, chip)):
        if end == last:
            continue
        begin = floor((last - first) * grid / marks.fine + 1e-6) * marks.fine
        until = ceil((last - end) * grid / marks.fine - 1e-6) * marks.fine
        if begin - until >= marks.shortest - 1e-9:
            strokes.append(Lifted(begin, until, chip))
    return tuple(strokes)
