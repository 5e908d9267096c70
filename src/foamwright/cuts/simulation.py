"""Strokes simulated on a run's grid: the compiled kernel with its workspace, in the shaper's terms."""

from __future__ import annotations

from dataclasses import replace
from enum import Enum
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.cuts.runs import Strokes
from foamwright.cuts.sole import turned
from foamwright.shape.kernels.strokes import guarded_strokes_into, stroke_into

Array = NDArray[np.float64]

SNAP = 1e-7
"""Part of a grid step: a start or a sole's end this close to a grid point lies on it."""


class Edge(Enum):
    """Whether a grid point exactly under the sole's end carries it.

    ``CARRIES`` is the meaning; ``SLIPS`` is the cautious reading, which can only cut deeper, so that a
    plan made with it holds for anyone who rounds the other way.
    """

    CARRIES = 1.0
    SLIPS = -1.0


class Workpiece:
    """A face on its grid with room to simulate strokes on it; the heights themselves are the caller's.

    A stroke lowers a point to the supporting line of the surface as it was under the sole, less the chip,
    if that is lower than the point: the upper convex hull of the grid points from heel to toe, clipped to
    the work. The result never rises, and a higher face or a longer sole never leaves a lower result.
    """

    def __init__(self, x: Array, plane: Plane, edge: Edge = Edge.CARRIES) -> None:
        self.x = x
        self.step = float(x[-1] / (x.size - 1))
        self.length = float(x[-1])
        self._snap = SNAP * edge.value
        self._plane = plane
        self._chains = np.zeros((2, x.size), dtype=np.int64)
        self._windows: dict[tuple[float, float], Array] = {}

    def first_point(self, start_from_tip: float) -> int:
        """Return the first grid point under an iron that starts `start_from_tip` metres before the tip."""
        return max(0, ceil((self.length - start_from_tip) / self.step - SNAP))

    def window(self, chip: float, skew_deg: float) -> Array:
        """Return reach behind and ahead in whole grid steps, and the chip, as the kernel takes them."""
        key = (chip, skew_deg)
        if key not in self._windows:
            sole = turned(self._plane, skew_deg)
            behind = max(0, floor(sole.behind / self.step + self._snap))
            ahead = max(0, floor(sole.ahead / self.step + self._snap))
            self._windows[key] = np.array([behind, ahead, chip], dtype=np.float64)
        return self._windows[key]

    def after_stroke(self, heights: Array, stroke: Strokes) -> Array:
        """Return the heights after one stroke (its count is not used)."""
        result = np.empty_like(heights)
        first = self.first_point(stroke.start_from_tip)
        stroke_into(heights, first, self.window(stroke.chip, stroke.skew_deg), result, self._chains)
        return result

    def after(self, heights: Array, strokes: list[Strokes] | tuple[Strokes, ...]) -> Array:
        """Return the heights after all strokes, in order."""
        for group in strokes:
            for _ in range(group.count):
                heights = self.after_stroke(heights, group)
        return heights

    def guarded(self, heights: Array, strokes: list[Strokes], floor: Array) -> tuple[list[Strokes], Array]:
        """Return single strokes that were made, and the heights after them.

        A stroke that would go below `floor` anywhere, or that would cut nothing, is left out.
        """
        single = [one for one in strokes for _ in range(one.count)]
        result = heights.copy()
        if not single:
            return [], result
        firsts = np.array([self.first_point(one.start_from_tip) for one in single], dtype=np.int64)
        windows = np.array([self.window(one.chip, one.skew_deg) for one in single])
        made = np.zeros(len(single), dtype=np.int64)
        guarded_strokes_into(result, firsts, windows, floor, made, np.empty_like(result), self._chains)
        return [replace(one, count=1) for one, kept in zip(single, made, strict=True) if kept], result

    def gap(self, heights: Array, skew_deg: float) -> Array:
        """Return the gap between foam and iron line at every point: 0 where the face carries the sole."""
        return np.maximum(self.support(heights, skew_deg) - heights, 0.0)

    def support(self, heights: Array, skew_deg: float) -> Array:
        """Return the supporting line of the sole at every point, metres."""
        # Any chip deeper than every gap makes the stroke follow the line itself.
        deep = 1.0
        result = np.empty_like(heights)
        stroke_into(heights, 0, self.window(deep, skew_deg), result, self._chains)
        return result + deep
