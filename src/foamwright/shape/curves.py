"""Spline curves along a board: value, slopes, curvature, inflections, fairness."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamwright.shape.splines import Floats, Spline

__all__ = ["FairCurve", "Floats", "Spline", "dense", "gauss_on"]


@dataclass(frozen=True, eq=False)
class FairCurve:
    """A spline ``y = f(x)`` on ``[start, stop]``; outside it continues as its end tangent.

    Attributes
    ----------
    spline
        The B-spline itself, metres over metres or whatever the caller put in.
    """

    spline: Spline

    @property
    def start(self) -> float:
        """Left end of the domain."""
        return float(self.spline.knots[0])

    @property
    def stop(self) -> float:
        """Right end of the domain."""
        return float(self.spline.knots[-1])

    @property
    def knots(self) -> Floats:
        """Distinct knots, ends included."""
        return self.spline.breaks

    def __call__(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the curve, or a derivative of it, at `x` (any shape)."""
        at = np.asarray(x, dtype=float)
        inside = np.clip(at, self.start, self.stop)
        values = self.spline(inside, derivative)
        beyond = at - inside
        if not np.any(beyond):
            return values
        if derivative == 0:
            return np.asarray(values + beyond * self.spline(inside, 1))
        return values if derivative == 1 else np.where(beyond == 0.0, values, 0.0)

    def curvature(self, x: ArrayLike) -> Floats:
        """Return the signed curvature ``f''/(1+f'^2)^1.5`` at `x`, per metre."""
        return np.asarray(self(x, 2) / (1.0 + self(x, 1) ** 2) ** 1.5)

    def inflections(self, floor: float = 1e-6) -> Floats:
        """Return where the second derivative changes sign.

        Parameters
        ----------
        floor
            Share of the greatest second derivative below which it counts as none (a straight part).
        """
        x = dense(self.knots, 24)
        bend = self(x, 2)
        strong = np.flatnonzero(np.abs(bend) > floor * np.max(np.abs(bend)))
        turns = np.flatnonzero(np.diff(np.sign(bend[strong])) != 0)
        return np.asarray((x[strong[turns]] + x[strong[turns + 1]]) / 2.0)

    def curvature_extrema(self) -> Floats:
        """Return where the curvature has a local extremum inside the domain."""
        x = dense(self.knots, 24)
        steps = np.diff(self.curvature(x))
        return np.asarray(x[1:-1][np.sign(steps[:-1]) * np.sign(steps[1:]) < 0])

    def fairness(self) -> float:
        """Return the scale-free bending variation ``span^5 * integral(f'''^2) / greatest |f|^2``.

        The norm is stated because fairness figures mean nothing without one: lengths are divided by
        the curve's span and heights by its greatest height, so a scaled board has the same figure.
        """
        span = self.stop - self.start
        nodes, weights = gauss_on(self.knots, 4)
        greatest = float(np.max(np.abs(self(dense(self.knots, 8)))))
        if greatest == 0.0:
            return 0.0
        return float(span**5 * np.sum(weights * self(nodes, 3) ** 2) / greatest**2)


def dense(knots: Floats, per_interval: int) -> Floats:
    """Return points evenly spread within each knot interval, all knots included."""
    steps = np.arange(per_interval) / per_interval
    inner = knots[:-1, None] + np.diff(knots)[:, None] * steps[None, :]
    return np.append(inner.ravel(), knots[-1])


def gauss_on(breaks: Floats, count: int) -> tuple[Floats, Floats]:
    """Return Gauss-Legendre nodes and weights, `count` per interval of `breaks`, flattened."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    half = np.diff(breaks)[:, None] / 2.0
    middle = (breaks[:-1] + breaks[1:])[:, None] / 2.0
    return (middle + half * nodes).ravel(), (half * weights).ravel()
