"""B-splines in plain arrays: basis, derivatives, integrals, fast evaluation.

Why not scipy's: importing ``scipy.interpolate`` takes longer than the rest of a planning job's start,
and all that is needed of it stands on this page. The tests hold every function here to scipy's answer.

Source: de Boor, A Practical Guide to Splines, 1978, chapters IX and X (recurrence, derivative and
integral of B-splines).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from math import factorial, perm

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Places = NDArray[np.intp]


def clamped(breaks: Floats, degree: int) -> Floats:
    """Return the knot vector on `breaks` (increasing) with both ends repeated `degree` more times."""
    return np.concatenate([np.full(degree, breaks[0]), breaks, np.full(degree, breaks[-1])])


def basis(x: Floats, knots: Floats, degree: int) -> tuple[Places, Floats]:
    """Return which basis functions live at `x` and their values.

    Parameters
    ----------
    x
        (N,) places inside the domain; the last knot belongs to the last interval.
    knots
        Clamped knot vector.
    degree
        Degree of the spline, 0 or more.

    Returns
    -------
    first
        (N,) index of the first of the ``degree + 1`` functions that are not zero there.
    values
        (N, degree + 1) their values; each row sums to 1.
    """
    last = knots.size - degree - 2
    interval = np.clip(np.searchsorted(knots, x, side="right") - 1, degree, last)
    values = np.zeros((x.size, degree + 1))
    values[:, 0] = 1.0
    near = knots[interval[:, None] + np.arange(1 - degree, degree + 1)]
    for order in range(1, degree + 1):
        left, right = near[:, degree - order : degree], near[:, degree : degree + order]
        part = values[:, :order] / (right - left)
        values[:, :order] = (right - x[:, None]) * part
        values[:, 1 : order + 1] += (x[:, None] - left) * part
    return interval - degree, values


def design(x: Floats, knots: Floats, degree: int) -> Floats:
    """Return the matrix (N, coefficients) that turns coefficients into values at `x`."""
    first, values = basis(x, knots, degree)
    matrix = np.zeros((x.size, knots.size - degree - 1))
    np.put_along_axis(matrix, first[:, None] + np.arange(degree + 1), values, axis=1)
    return matrix


def derived(coefficients: Floats, knots: Floats, degree: int) -> Floats:
    """Return the coefficients of the derivative (degree lower by one, outer knots dropped).

    `coefficients` may be (M,) or (M, K): K splines at once.
    """
    gaps = (knots[degree + 1 : -1] - knots[1 : -degree - 1]) / degree
    return np.asarray(np.diff(coefficients, axis=0) / _column(gaps, coefficients))


def integrated(coefficients: Floats, knots: Floats, degree: int) -> Floats:
    """Return the coefficients of the integral from the start (degree higher by one, outer knots repeated).

    `coefficients` may be (M,) or (M, K): K splines at once.
    """
    gaps = (knots[degree + 1 :] - knots[: -degree - 1]) / (degree + 1)
    sums = np.cumsum(coefficients * _column(gaps, coefficients), axis=0)
    return np.concatenate([np.zeros((1, *coefficients.shape[1:])), sums])


def _column(values: Floats, like: Floats) -> Floats:
    return values.reshape(-1, *(1,) * (like.ndim - 1))


@dataclass(frozen=True, eq=False)
class Spline:
    """A B-spline on its own domain.

    Attributes
    ----------
    knots
        Clamped knot vector, ``degree + 1`` equal knots at both ends.
    coefficients
        (M,) control values.
    degree
        Degree, 1 or more.
    """

    knots: Floats
    coefficients: Floats
    degree: int

    @cached_property
    def breaks(self) -> Floats:
        """Distinct knots, ends included."""
        return np.unique(self.knots)

    @cached_property
    def powers(self) -> Floats:
        """Taylor coefficients (degree + 1, intervals) in the share of each interval, from its left end."""
        widths = np.diff(self.breaks)
        rows = []
        coefficients, knots = self.coefficients, self.knots
        for order in range(self.degree + 1):
            degree = self.degree - order
            heights = design(self.breaks[:-1], knots, degree) @ coefficients
            rows.append(heights * widths**order / factorial(order))
            if degree:
                coefficients, knots = derived(coefficients, knots, degree), knots[1:-1]
        return np.array(rows)

    def __call__(self, x: Floats, derivative: int = 0) -> Floats:
        """Return the spline, or a derivative of it (right-hand at knots), at `x` inside its domain."""
        at = np.asarray(x, dtype=float)
        place = np.clip(np.searchsorted(self.breaks, at, side="right") - 1, 0, self.breaks.size - 2)
        width = self.breaks[place + 1] - self.breaks[place]
        share = (at - self.breaks[place]) / width
        total = np.zeros(at.shape)
        for order in range(self.degree, derivative - 1, -1):
            total = total * share + perm(order, derivative) * self.powers[order][place]
        return np.asarray(total / width**derivative if derivative else total)
