"""A superellipsoid as a `Solid`, with its closed forms: what every quadrature is held to."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, cos, gamma, pi, sin, sqrt

import numpy as np
from scipy.special import ellipeinc, ellipkinc

from foamwright.shape.curves import Floats


@dataclass(frozen=True)
class Superellipsoid:
    """``|x/a|^n + |y/b|^n + |z/c|^n = 1`` moved to ``x = 0..2a`` and up by `lift`."""

    a: float
    b: float
    c: float
    exponent: float = 2.0
    lift: float = 0.0

    @property
    def panels(self) -> tuple[float, ...]:
        return (0.0, self.a, 2.0 * self.a)

    def _round(self, x: Floats) -> Floats:
        n = self.exponent
        return np.asarray(np.maximum(1.0 - np.abs(x / self.a - 1.0) ** n, 0.0) ** (1.0 / n))

    def half_width(self, x: Floats) -> Floats:
        return self.b * self._round(x)

    def inner(self, x: Floats) -> Floats:
        return np.zeros_like(x)

    def kinks(self, x: Floats) -> Floats:
        return np.tile([0.0, 1.0], (x.size, 1))

    def _rise(self, x: Floats, share: Floats) -> Floats:
        n = self.exponent
        edge = np.maximum(1.0 - share**n, 0.0) ** (1.0 / n)
        return np.asarray(self.c * self._round(x)[:, None] * edge)

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        return self.lift - self._rise(x, share)

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        return self.lift + self._rise(x, share)

    @property
    def volume(self) -> float:
        """Source: 8 a b c Gamma(1+1/n)^3 / Gamma(1+3/n)."""
        n = self.exponent
        return 8.0 * self.a * self.b * self.c * gamma(1.0 + 1.0 / n) ** 3 / gamma(1.0 + 3.0 / n)


def ellipsoid_area(a: float, b: float, c: float) -> float:
    """Return the surface of an ellipsoid with a > b > c.

    Source: 2 pi c^2 + 2 pi a b / sin(phi) (E(phi, m) sin^2(phi) + F(phi, m) cos^2(phi)) with cos(phi) = c/a
    and m = a^2 (b^2 - c^2) / (b^2 (a^2 - c^2)) (Legendre).
    """
    phi = acos(c / a)
    m = a**2 * (b**2 - c**2) / (b**2 * (a**2 - c**2))
    bow = ellipeinc(phi, m) * sin(phi) ** 2 + ellipkinc(phi, m) * cos(phi) ** 2
    return float(2.0 * pi * c**2 + 2.0 * pi * a * b / sin(phi) * bow)


def prolate_area(a: float, b: float) -> float:
    """Return the surface of an ellipsoid of revolution about its long half-axis a > b."""
    eccentricity = sqrt(1.0 - (b / a) ** 2)
    return 2.0 * pi * b**2 * (1.0 + a / (b * eccentricity) * np.arcsin(eccentricity))
