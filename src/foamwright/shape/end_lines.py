"""Lines that close an outline across its end: level, bowed, slanted, hollow, scalloped.

A line is ``x = e(y)``, ``y`` from the middle outwards and ``x`` from the end inwards. The material lies on
the side of greater `x`. Where such a line is met from `x` it is crossed once or twice.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from foamwright.shape.curves import Floats


class EndLine(Protocol):
    """What a line across an end must say of itself; lengths in metres."""

    def at(self, y: float) -> float:
        """Return `x` of the line at `y`."""

    def slope(self, y: float) -> float:
        """Return dx/dy at `y`."""

    @property
    def deepest(self) -> float:
        """Greatest `x` of the line."""

    def inverse(self, x: Floats) -> Floats:
        """Return the outermost `y` at which the line is crossed at `x`."""


@dataclass(frozen=True, slots=True)
class Level:
    """A straight line square to the middle line, at ``x = 0``."""

    @property
    def deepest(self) -> float:
        """Greatest `x` of the line: 0."""
        return 0.0

    def at(self, y: float) -> float:
        """Return 0."""
        return 0.0

    def slope(self, y: float) -> float:
        """Return 0."""
        return 0.0

    def inverse(self, x: Floats) -> Floats:
        """Return 0: the line is only met at ``x = 0``."""
        return np.zeros_like(x)


@dataclass(frozen=True, slots=True)
class Bowed:
    """A circular arc over a `half` chord, its middle at ``x = 0`` and its ends at ``x = bow``."""

    half: float
    bow: float

    @property
    def radius(self) -> float:
        """Radius of the arc."""
        return (self.half**2 + self.bow**2) / (2.0 * self.bow)

    @property
    def deepest(self) -> float:
        """Greatest `x` of the line: the bow."""
        return self.bow

    def at(self, y: float) -> float:
        """Return `x` of the line at `y`."""
        return self.radius - float(np.sqrt(self.radius**2 - y**2))

    def slope(self, y: float) -> float:
        """Return dx/dy at `y`."""
        return y / float(np.sqrt(self.radius**2 - y**2))

    def inverse(self, x: Floats) -> Floats:
        """Return `y` at which the line is crossed at `x`."""
        return np.sqrt(np.maximum(2.0 * self.radius * x - x**2, 0.0))


@dataclass(frozen=True, slots=True)
class Slanted:
    """A straight line from the middle at ``x = 0`` to `half` at ``x = depth``."""

    half: float
    depth: float

    @property
    def deepest(self) -> float:
        """Greatest `x` of the line."""
        return self.depth

    def at(self, y: float) -> float:
        """Return `x` of the line at `y`."""
        return self.depth * y / self.half

    def slope(self, y: float) -> float:
        """Return dx/dy."""
        return self.depth / self.half

    def inverse(self, x: Floats) -> Floats:
        """Return `y` at which the line is crossed at `x`."""
        return np.asarray(x * self.half / self.depth)


@dataclass(frozen=True, slots=True)
class Scalloped:
    """Circular arcs hollowed out of the end, `depth` over the chord from `low` to `high`.

    The chord runs from ``x = lean`` at `low` to ``x = 0`` at `high`: two scallops beside the middle have
    their common point at `lean`. With `low` = -`high` it is one hollow across the whole end.
    """

    low: float
    high: float
    depth: float
    lean: float = 0.0

    @property
    def middle(self) -> float:
        """Middle of the chord."""
        return (self.low + self.high) / 2.0

    @property
    def radius(self) -> float:
        """Radius of the arc, before it leans."""
        half = (self.high - self.low) / 2.0
        return (half**2 + self.depth**2) / (2.0 * self.depth)

    @property
    def tilt(self) -> float:
        """What the chord falls for each metre outwards."""
        return self.lean / (self.high - self.low)

    @property
    def deepest(self) -> float:
        """Greatest `x` of the line."""
        return self.at(self.middle - self.radius * self.tilt / float(np.sqrt(1.0 + self.tilt**2)))

    def at(self, y: float) -> float:
        """Return `x` of the line at `y`."""
        arc = float(np.sqrt(self.radius**2 - (y - self.middle) ** 2)) - (self.radius - self.depth)
        return arc + self.tilt * (self.high - y)

    def slope(self, y: float) -> float:
        """Return dx/dy at `y`."""
        across = y - self.middle
        return -across / float(np.sqrt(self.radius**2 - across**2)) - self.tilt

    def crossings(self, x: Floats) -> tuple[Floats, Floats]:
        """Return the inner and the outer `y` at which the line is crossed at `x`; equal at its deepest."""
        square = 1.0 + self.tilt**2
        rest = x - self.tilt * self.high + self.radius - self.depth
        half = self.middle - self.tilt * rest
        root = np.sqrt(np.maximum(half**2 - square * (rest**2 + self.middle**2 - self.radius**2), 0.0))
        return (half - root) / square, (half + root) / square

    def inverse(self, x: Floats) -> Floats:
        """Return the outer `y` at which the line is crossed at `x`."""
        return self.crossings(x)[1]


@dataclass(frozen=True, slots=True)
class Crack:
    """A notch that narrows from `mouth` at ``x = 0`` to nothing at `depth`; its half-width is ``f(x)``.

    `bow` bulges its sides outwards, by so much half way.
    """

    mouth: float
    depth: float
    bow: float = 0.0

    def at(self, x: Floats) -> Floats:
        """Return the half-width at `x`."""
        share = np.asarray(x) / self.depth
        return np.asarray((self.mouth + 4.0 * self.bow * share) * (1.0 - share))

    def slope(self, x: float) -> float:
        """Return the change of the half-width with `x`."""
        return (-self.mouth + 4.0 * self.bow * (1.0 - 2.0 * x / self.depth)) / self.depth
