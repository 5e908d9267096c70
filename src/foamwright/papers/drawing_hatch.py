"""Hatching as lines: where parallel lines run inside closed rings."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np

from foamwright.papers.drawing import Hatch, Polyline
from foamwright.papers.drawing_box import Affine, Points, points_of, turn
from foamwright.papers.style import Pen


def hatch_lines(hatch: Hatch) -> tuple[Polyline, ...]:
    """Return the lines of `hatch`, each with two points, in a fixed order."""
    ruling = hatch.hatching.value
    return tuple(
        Polyline(segment, Pen.HATCH)
        for degrees in ruling.angles
        for segment in _segments(hatch, math.radians(degrees), ruling.spacing)
    )


def _segments(hatch: Hatch, angle: float, spacing: float) -> list[Points]:
    """Lines at `angle`: turn the rings so that the lines lie level, cut, and turn the pieces back."""
    back = turn(angle)
    level = turn(-angle)
    rings = [level(ring) for ring in hatch.rings]
    _, origin = level.at(hatch.origin)
    low = min(ring[:, 1].min() for ring in rings)
    high = max(ring[:, 1].max() for ring in rings)
    first, last = math.ceil((low - origin) / spacing), math.floor((high - origin) / spacing)
    heights = (origin + index * spacing for index in range(first, last + 1))
    return [piece for y in heights for piece in _pieces(rings, y, back)]


def _pieces(rings: list[Points], y: float, back: Affine) -> list[Points]:
    """Pieces of the level line at `y` inside the rings (even-odd)."""
    crossings = np.sort(np.concatenate([_crossings(ring, y) for ring in rings]))
    pairs = list(pairwise(crossings.tolist()))[::2]
    return [back(points_of([(start, y), (end, y)])) for start, end in pairs if end - start > 0.05]


def _crossings(ring: Points, y: float) -> Points:
    """Abscissae where the closed ring crosses height `y`; a vertex counts once (half-open edges)."""
    after = np.roll(ring, -1, axis=0)
    crosses = (ring[:, 1] <= y) != (after[:, 1] <= y)
    start, end = ring[crosses], after[crosses]
    share = (y - start[:, 1]) / (end[:, 1] - start[:, 1])
    return np.asarray(start[:, 0] + share * (end[:, 0] - start[:, 0]))
