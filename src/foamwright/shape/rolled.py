"""A fair curve whose end is rolled down to a tip: upright at the tip, no corner where the roll begins."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamwright.shape.curves import FairCurve
from foamwright.shape.splines import Floats

UPRIGHT = 1e-6
"""Least of ``1 - v^n``: at the tip itself slopes are large, not infinite."""


@dataclass(frozen=True, eq=False)
class RolledCurve(FairCurve):
    """A fair curve that runs on as its end tangent for `length`, rolled down to `tip` by a superellipse.

    With ``u`` back from the new end, ``T(u) = tip + (tangent - tip) (1 - (1 - u/length)^power)^(1/power)``.

    Attributes
    ----------
    length
        How far the roll goes beyond the fair curve's own end.
    tip
        Height at the new end.
    power
        Exponent, above 1: greater is blunter.
    """

    length: float
    tip: float
    power: float

    @property
    def fair(self) -> FairCurve:
        """The curve without its roll; beyond its end it continues as its tangent."""
        return FairCurve(self.spline)

    def __call__(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the curve, or its first or second derivative, at `x` (any shape)."""
        at, fair = np.asarray(x, dtype=float), self.fair
        values = fair(at, derivative)
        v = (at - fair.stop) / self.length
        rolled = v > 0.0
        if not np.any(rolled) or derivative > 2:
            return values
        v = np.clip(v, 0.0, 1.0)
        return np.where(rolled, self._rolled(at, v, derivative), values)

    def _rolled(self, at: Floats, v: Floats, derivative: int) -> Floats:
        n, over = self.power, self.fair(at) - self.tip
        if derivative == 0:
            return np.asarray(self.tip + over * (1.0 - v**n) ** (1.0 / n))
        rest, lean = np.maximum(1.0 - v**n, UPRIGHT), self.fair(at, 1)
        slope = -(rest ** (1.0 / n - 1.0)) * v ** (n - 1.0) / self.length
        if derivative == 1:
            return np.asarray(lean * rest ** (1.0 / n) + over * slope)
        v = np.maximum(v, UPRIGHT)
        bend = -(n - 1.0) * v ** (n - 2.0) * rest ** (1.0 / n - 2.0) / self.length**2
        return np.asarray(2.0 * lean * slope + over * bend)
