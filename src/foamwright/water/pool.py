"""Sums over what is under water: volume, moments, and the wet area that the surface cuts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from foamwright.shape.curves import Floats


@dataclass(frozen=True, slots=True)
class Surface:
    """The water's surface in the board's frame: ``z = height + along*x + across*y``.

    Attributes
    ----------
    height
        Metres above the level line at the tail tip.
    along, across
        Slopes; the nose rides up where `along` is negative, the left rail (+y) where `across` is.
    """

    height: float
    along: float = 0.0
    across: float = 0.0

    @property
    def numbers(self) -> Floats:
        """Height and slopes, (3,)."""
        return np.array([self.height, self.along, self.across])

    @property
    def up(self) -> Floats:
        """The unit vector that points up out of the water, (3,)."""
        normal = np.array([-self.along, -self.across, 1.0])
        return np.asarray(normal / np.linalg.norm(normal))

    def above(self, point: Floats) -> float:
        """Return how far a point (3,) is above the water, square to it, metres (negative below)."""
        return float(self.up @ point - self.height * self.up[2])


@dataclass(frozen=True, eq=False)
class Pool:
    """What of something is under water.

    Attributes
    ----------
    volume
        m3.
    moment
        (3,) integral of x, y, z over that volume, m4.
    area
        Area cut by the surface, seen along z, m2.
    first
        (2,) integral of x, y over that area, m3.
    second
        (2, 2) integral of xx, xy; yx, yy over that area, m4.
    """

    volume: float
    moment: Floats
    area: float
    first: Floats
    second: Floats

    def __add__(self, other: Pool) -> Pool:
        """Return both together."""
        return Pool(
            self.volume + other.volume,
            self.moment + other.moment,
            self.area + other.area,
            self.first + other.first,
            self.second + other.second,
        )

    @property
    def centre(self) -> Floats:
        """The centre of buoyancy, (3,); the origin where nothing is under water."""
        return self.moment / self.volume if self.volume > 0.0 else np.zeros(3)


DRY = Pool(0.0, np.zeros(3), 0.0, np.zeros(2), np.zeros((2, 2)))
"""Nothing under water."""


class Displacer(Protocol):
    """Something that displaces water."""

    @property
    def volume(self) -> float:
        """All of its volume, m3."""

    def pool(self, surface: Surface) -> Pool:
        """Return what of it is under water."""


@dataclass(frozen=True, eq=False)
class Together:
    """Several things as one rigid body."""

    parts: tuple[Displacer, ...]

    @property
    def volume(self) -> float:
        """All of their volume, m3."""
        return float(sum(part.volume for part in self.parts))

    def pool(self, surface: Surface) -> Pool:
        """Return what of all of them is under water."""
        return sum((part.pool(surface) for part in self.parts), DRY)
