"""Solids whose hydrostatics are known in closed form, as the program's own `Solid`s."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import Floats


@dataclass(frozen=True)
class ClosedForm:
    """A solid of `length`, `beam` and `depth` with its keel (or lowest line) at z = 0."""

    length: float
    beam: float
    depth: float

    @property
    def panels(self) -> tuple[float, ...]:
        return (0.0, self.length)

    def half_width(self, x: Floats) -> Floats:
        return np.full(x.shape, self.beam / 2.0)

    def inner(self, x: Floats) -> Floats:
        return np.zeros_like(x)

    def kinks(self, x: Floats) -> Floats:
        return np.tile([0.0, 1.0], (x.size, 1))

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        return np.zeros(np.broadcast_shapes((x.size, 1), share.shape))

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        return np.full(np.broadcast_shapes((x.size, 1), share.shape), self.depth)


class Box(ClosedForm):
    """A box barge."""


class Cylinder(ClosedForm):
    """A cylinder lying along x: beam and depth are its diameter."""

    def _rise(self, x: Floats, share: Floats) -> Floats:
        wide = np.broadcast_to(share, np.broadcast_shapes((x.size, 1), share.shape))
        return np.asarray(self.beam / 2.0 * np.sqrt(np.maximum(1.0 - wide**2, 0.0)))

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        return self.beam / 2.0 - self._rise(x, share)

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        return self.beam / 2.0 + self._rise(x, share)


class Ellipsoid(ClosedForm):
    """An ellipsoid; with three equal axes a sphere."""

    def _round(self, x: Floats) -> Floats:
        middle = self.length / 2.0
        return np.sqrt(np.maximum(1.0 - ((x - middle) / middle) ** 2, 0.0))

    def half_width(self, x: Floats) -> Floats:
        return self.beam / 2.0 * self._round(x)

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        rise = self._round(x)[:, None] * np.sqrt(np.maximum(1.0 - share**2, 0.0))
        return self.depth / 2.0 * (1.0 - rise)

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        rise = self._round(x)[:, None] * np.sqrt(np.maximum(1.0 - share**2, 0.0))
        return self.depth / 2.0 * (1.0 + rise)


@dataclass(frozen=True)
class Wigley(ClosedForm):
    """The parabolic hull ``y = B/2 (1-(2x/L)^2)(1-(z/T)^2)`` of draught T, with upright sides above it."""

    freeboard: float = 0.0

    def half_width(self, x: Floats) -> Floats:
        middle = self.length / 2.0
        return self.beam / 2.0 * (1.0 - ((x - middle) / middle) ** 2)

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        wide = np.broadcast_to(share, np.broadcast_shapes((x.size, 1), share.shape))
        return self.depth * (1.0 - np.sqrt(np.maximum(1.0 - wide, 0.0)))

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        return np.full(np.broadcast_shapes((x.size, 1), share.shape), self.depth + self.freeboard)
