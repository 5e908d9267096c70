"""Sections of a board: rails as Lamé curves, bottom contours, one height for every share of the half-width.

At a station the section is described by a few numbers (`SectionNumbers`, arrays over stations); heights
are above the level line. `share` is the distance from the stringer as a share of the half-width.

- The contour bottom is ``low + contour(share)``: a concave dishes up to its depth at the stringer and is
  back at ``low`` where its scoop ends; vee and roll rise from the stringer to the edge.
- From the end of the scoop (0 where there is none) to the edge the lower Lamé curve lifts the bottom to
  the rail's apex; the upper one carries the deck from the apex to the stringer.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.board.numbers import BoardNumbers, BottomMark, BottomShape
from foamwright.shape.curves import Floats
from foamwright.shape.lame import lame_height
from foamwright.shape.monotone import Monotone

SCOOP_SHARE = 0.8
"""A concave runs over this share of the half-width. Common practice, no source."""


@dataclass(frozen=True, eq=False)
class SectionNumbers:
    """The section at stations, arrays (N, 1): heights `low`, `apex`, `top`, depths of contours; metres."""

    low: Floats
    apex: Floats
    top: Floats
    lower: Floats
    upper: Floats
    concave: Floats
    double: Floats
    vee: Floats
    rolled: Floats
    scoop: Floats


@dataclass(frozen=True, eq=False)
class Sections:
    """How the section varies along a board."""

    apex: Monotone
    lower: Monotone
    upper: Monotone
    concave: Monotone
    double: Monotone
    vee: Monotone
    rolled: Monotone
    scoop: Monotone

    def at(self, x: Floats, rocker: Floats, thickness: Floats) -> SectionNumbers:
        """Return the section's numbers at `x` (N,) with the finished stringer line there (N,)."""
        concave, vee, rolled = self.concave(x), self.vee(x), self.rolled(x)
        low = rocker - concave
        edge = low + vee + rolled
        top = rocker + thickness
        apex = edge + self.apex(x) * (top - edge)
        columns = (low, apex, top, self.lower(x), self.upper(x), concave, self.double(x), vee, rolled)
        return SectionNumbers(*(c[:, None] for c in (*columns, self.scoop(x))))


def contour(numbers: SectionNumbers, share: Floats) -> Floats:
    """Return the contour bottom's height above `low` at shares of the half-width."""
    span = np.maximum(numbers.scoop, 1e-9)
    across = np.minimum(share / span, 1.0)
    dish = numbers.concave * (1.0 - across**2) ** 2
    twin = numbers.double * 16.0 * across**2 * (1.0 - across) ** 2
    return np.asarray(dish + twin + numbers.vee * share + numbers.rolled * share**2)


def lowest_contour(numbers: SectionNumbers) -> Floats:
    """Return the least height of the contour bottom above `low` (N,), exact to rounding."""
    grid = np.linspace(0.0, 1.0, 33)
    heights = contour(numbers, grid * np.maximum(numbers.scoop, 1e-9))
    across = grid[np.argmin(heights, axis=1)][:, None]
    for _ in range(4):
        slope, bend = _contour_slope(numbers, across)
        step = np.divide(slope, bend, out=np.zeros_like(slope), where=bend > 1e-9)
        across = np.clip(across - np.clip(step, -grid[1], grid[1]), 0.0, 1.0)
    settled = contour(numbers, across * np.maximum(numbers.scoop, 1e-9))
    return np.asarray(np.minimum(settled[:, 0], np.min(heights, axis=1)))


def _contour_slope(numbers: SectionNumbers, across: Floats) -> tuple[Floats, Floats]:
    """First and second derivative of the contour over the share of the scoop (N, 1)."""
    span = np.maximum(numbers.scoop, 1e-9)
    dish = -4.0 * numbers.concave * across * (1.0 - across**2)
    twin = 32.0 * numbers.double * across * (1.0 - across) * (1.0 - 2.0 * across)
    rise = numbers.vee * span + 2.0 * numbers.rolled * span**2 * across
    bend = 4.0 * numbers.concave * (3.0 * across**2 - 1.0)
    bend = bend + 32.0 * numbers.double * (1.0 - 6.0 * across * (1.0 - across))
    return dish + twin + rise, bend + 2.0 * numbers.rolled * span**2


def bottom_height(numbers: SectionNumbers, share: Floats) -> Floats:
    """Return the finished bottom (N, K) at shares (N, K) or (K,) of the half-width."""
    flat = numbers.low + contour(numbers, share)
    outward = np.clip((share - numbers.scoop) / (1.0 - numbers.scoop), 0.0, 1.0)
    return np.asarray(flat + (numbers.apex - flat) * (1.0 - lame_height(outward, numbers.lower)))


def deck_height(numbers: SectionNumbers, share: Floats) -> Floats:
    """Return the finished deck (N, K) at shares (N, K) or (K,) of the half-width."""
    return np.asarray(numbers.apex + (numbers.top - numbers.apex) * lame_height(share, numbers.upper))


def sections_of(board: BoardNumbers) -> Sections:
    """Return how a board's rails and contours vary along it."""
    x = np.array([m.x for m in board.rails])
    rails = [
        Monotone(x, np.array(values))
        for values in (
            [m.apex for m in board.rails],
            [1.0 / m.lower for m in board.rails],
            [1.0 / m.upper for m in board.rails],
        )
    ]
    shapes = (BottomShape.CONCAVE, BottomShape.DOUBLE_CONCAVE, BottomShape.VEE, BottomShape.ROLLED)
    depths = [*(_depths(board.bottom, shape) for shape in shapes), _scoop(board.bottom)]
    return Sections(*rails, *depths)


def _depths(marks: tuple[BottomMark, ...], shape: BottomShape) -> Monotone:
    return Monotone(np.array([m.x for m in marks]), np.array([m.depth * (m.shape is shape) for m in marks]))


def _scoop(marks: tuple[BottomMark, ...]) -> Monotone:
    dished = (BottomShape.CONCAVE, BottomShape.DOUBLE_CONCAVE)
    return Monotone(
        np.array([m.x for m in marks]), np.array([SCOOP_SHARE * (m.shape in dished) for m in marks])
    )
