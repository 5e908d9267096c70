"""Passes that need not run off a tip: whole-length passes to thickness, and local ones between two marks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.cuts.reach import SKEWS_DEG
from foamwright.cuts.runs import Passes, Strokes, frozen
from foamwright.cuts.simulation import Edge, Workpiece
from foamwright.errors import FaultError
from foamwright.units import INCH

Array = NDArray[np.float64]

MARK = INCH / 4
"""Step of the marks between which a local pass runs. Common practice, no source."""

SHORTEST = 1.0 * INCH
"""A touch of the iron shorter than this is no stroke of a plane."""

WILLING = 0.5
"""Greatest share of the coarsest chip that a hollow may take up before the plane is turned further."""

MOST_PASSES = 2000


@dataclass(frozen=True, slots=True, eq=False)
class PassPlan:
    """Passes that bring a face down to its target.

    Attributes
    ----------
    x, before, target
        As given.
    predicted
        Simulated heights afterwards, never below the target, metres.
    passes
        In order.
    tolerance
        Above the target, metres.
    """

    x: Array
    before: Array
    target: Array
    predicted: Array
    passes: tuple[Passes, ...]
    tolerance: float

    @property
    def left(self) -> Array:
        """What is left above the target at each point, metres."""
        return self.predicted - self.target

    @property
    def reached(self) -> bool:
        """Whether the passes end within the tolerance everywhere."""
        return bool(self.left.max() <= self.tolerance + 1e-9)

    @property
    def whole(self) -> int:
        """Number of passes over the whole length."""
        return sum(p.count for p in self.passes if p.begin <= self.x[0] + 1e-9 and p.end >= self.x[-1] - 1e-9)

    def as_json(self) -> dict[str, Any]:
        """Return the plan as plain values."""
        return {
            "x_m": self.x.tolist(),
            "before_m": self.before.tolist(),
            "target_m": self.target.tolist(),
            "predicted_m": self.predicted.tolist(),
            "passes": [one.as_json() for one in self.passes],
            "whole_length": self.whole,
            "tolerance_m": self.tolerance,
        }


def plan_passes(
    x: Array, before: Array, target: Array, plane: Plane, tolerance: float = INCH / 32
) -> PassPlan:
    """Return passes from one end towards the other that bring a face evenly down to its target.

    Parameters
    ----------
    x
        Uniform grid, metres, in the direction of planing, from 0, shape (n,).
    before, target
        Heights measured outwards from the foam, metres, ``before >= target``.
    plane
        The plane; its chips are used coarse first, turned as little as the hollows ask.
    tolerance
        How far above the target the passes may end, metres.

    Raises
    ------
    FaultError
        If the target stands above the face.
    """
    if (before - target).min() < -1e-9:
        raise FaultError("The passes' target stands above the face as it is: it would add foam.")
    work = Workpiece(x, plane, Edge.SLIPS)
    skew = _least_skew(work, (before, target), max(plane.chips))
    maker = PassMaker(work, target, tolerance)
    heights, passes = maker.down(before, sorted(plane.chips, reverse=True), skew)
    return PassPlan(frozen(x), frozen(before), frozen(target), frozen(heights), passes, tolerance)


def _least_skew(work: Workpiece, faces: tuple[Array, Array], chip: float) -> float:
    for skew in SKEWS_DEG:
        if max(work.gap(face, skew).max() for face in faces) <= WILLING * chip:
            return skew
    return SKEWS_DEG[-1]


class PassMaker:
    """Makes passes over the longest stretches that may be cut, until all is within tolerance.

    Marks are measured from `origin`, metres along x.
    """

    def __init__(self, work: Workpiece, target: Array, tolerance: float, origin: float = 0.0) -> None:
        self.work = work
        self._shift = origin % MARK
        self.floor = np.asarray(target - 1e-12, dtype=np.float64)
        self.limit = np.asarray(target + tolerance, dtype=np.float64)

    def down(
        self, heights: Array, chips: Sequence[float], skew_deg: float
    ) -> tuple[Array, tuple[Passes, ...]]:
        """Return the heights after the passes, and the passes, coarse chips first."""
        passes: list[Passes] = []
        for chip in chips:
            for _ in range(MOST_PASSES):
                step = self._next(heights, chip, skew_deg)
                if step is None:
                    break
                heights, made = step
                passes.append(made)
        return heights, _joined(passes)

    def _next(self, heights: Array, chip: float, skew_deg: float) -> tuple[Array, Passes] | None:
        """Return the pass that takes most where something stands too high, or nothing."""
        if not (heights > self.limit).any():
            return None
        stroke = Strokes(self.work.length, 1, chip, skew_deg)
        cut = self.work.after_stroke(heights, stroke)
        best: tuple[float, int, int] | None = None
        for first, last in _stretches(cut >= self.floor):
            span = self._marked(first, last)
            if span is None:
                continue
            part = slice(span[0], span[1] + 1)
            taken = heights[part] - cut[part]
            useful = float(taken[heights[part] > self.limit[part]].sum())
            if useful > 0.1 * chip and (best is None or useful > best[0]):
                best = (useful, *span)
        if best is None:
            return None
        after = heights.copy()
        after[best[1] : best[2] + 1] = cut[best[1] : best[2] + 1]
        begin, end = self._ends(best[1], best[2])
        return after, Passes(1, chip, begin, end, skew_deg)

    def _marked(self, first: int, last: int) -> tuple[int, int] | None:
        """Return the grid points from the first mark to the last one inside a stretch, or nothing."""
        begin, end = self._ends(first, last)
        if end - begin < SHORTEST:
            return None
        return ceil(begin / self.work.step - 1e-7), floor(end / self.work.step + 1e-7)

    def _ends(self, first: int, last: int) -> tuple[float, float]:
        """Return the outermost marks that keep a pass inside a stretch of grid points.

        A mark between the last point that may not be cut and the first one that may will do; the ends of
        the work count as marks.
        """
        step, shift = self.work.step, self._shift
        begin, end = 0.0, self.work.length
        if first > 0:
            begin = shift + (floor(((first - 1) * step - shift) / MARK + 1e-7) + 1) * MARK
        if last < self.work.x.size - 1:
            end = shift + (ceil(((last + 1) * step - shift) / MARK - 1e-7) - 1) * MARK
        return begin, end


def after_passes(work: Workpiece, heights: Array, passes: Sequence[Passes]) -> Array:
    """Return the heights (metres) after passes, in order."""
    for one in passes:
        inside = (work.x >= one.begin - 1e-9) & (work.x <= one.end + 1e-9)
        for _ in range(one.count):
            cut = work.after_stroke(heights, Strokes(work.length, 1, one.chip, one.skew_deg))
            heights = np.where(inside, cut, heights)
    return heights


def _stretches(allowed: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return first and last points of the stretches where cutting is allowed."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], allowed, [False]]).astype(np.int8)))
    return [(int(a), int(b) - 1) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _joined(passes: list[Passes]) -> tuple[Passes, ...]:
    joined: list[Passes] = []
    for one in passes:
        if joined and replace(joined[-1], count=1) == one:
            joined[-1] = replace(one, count=joined[-1].count + 1)
        else:
            joined.append(one)
    return tuple(joined)
