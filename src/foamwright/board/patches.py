"""A board's surface as patches in which its rails are smooth, hard edges included.

Along the share of the half-width a rail stands upright at its edge; along the direction from the rail's own
middle it never does, and a hard edge is just the limit. Each rail is split at its sharpest place (the
diagonal of its Lamé curve), towards which the patches are graded.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foamwright.board.section import SectionNumbers, contour
from foamwright.shape.curves import Floats
from foamwright.shape.lame import lame_angle, lame_point
from foamwright.shape.quadrature import Solid, low_share

DIAGONAL = np.pi / 4.0

GRADE = 3
"""Power by which nodes crowd towards the diagonal, where a hard rail has its corner."""

Numbers = Callable[[Floats], SectionNumbers]


@dataclass(frozen=True, eq=False)
class Scoop:
    """The dished part of the bottom, from the stringer (or the notch) to where the rail begins."""

    solid: Solid
    numbers: Numbers

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return shares and heights (N, K)."""
        numbers, low = self.numbers(x), low_share(self.solid, x)[:, None]
        share = low + np.maximum(numbers.scoop - low, 0.0) * t
        return share, numbers.low + contour(numbers, share)


@dataclass(frozen=True, eq=False)
class _Rail:
    """One half of a rail's Lamé curve; `outer` runs from the edge to the diagonal, else from the middle."""

    solid: Solid
    numbers: Numbers
    outer: bool

    def points(self, base: Floats, inverse: Floats, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return shares of the half-width and Lamé heights for a rail that begins at the share `base`."""
        low = low_share(self.solid, x)[:, None]
        top = lame_angle(np.clip((low - base) / (1.0 - base), 0.0, 1.0), inverse)
        middle = np.minimum(top, DIAGONAL)
        end = np.zeros_like(top) if self.outer else top
        across, height = lame_point(end + (middle - end) * (1.0 - (1.0 - t) ** GRADE), inverse)
        return base + (1.0 - base) * across, height


class LowerRail(_Rail):
    """Half of the rail below the apex."""

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return shares and heights (N, K)."""
        numbers = self.numbers(x)
        share, height = self.points(numbers.scoop, numbers.lower, x, t)
        flat = numbers.low + contour(numbers, share)
        return share, flat + (numbers.apex - flat) * (1.0 - height)


class UpperRail(_Rail):
    """Half of the rail above the apex, and the deck."""

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return shares and heights (N, K)."""
        numbers = self.numbers(x)
        share, height = self.points(np.zeros_like(numbers.scoop), numbers.upper, x, t)
        return share, numbers.apex + (numbers.top - numbers.apex) * height
