"""A number between given ones: never beyond its neighbours, smooth in its slope.

Source: Fritsch and Butland, A method for constructing local monotone piecewise cubic interpolants, SIAM
Journal on Scientific and Statistical Computing 5, 1984 (weighted harmonic mean of slopes); ends by the
three-point formula kept within the data's own rise. The tests hold it to scipy's interpolator.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from foamwright.shape.splines import Floats


@dataclass(frozen=True, eq=False)
class Monotone:
    """A number given at places; monotone between them, constant beyond the outermost.

    Attributes
    ----------
    x
        (N,) increasing places, one or more.
    value
        (N,) the number there.
    """

    x: Floats
    value: Floats

    def __call__(self, at: ArrayLike) -> Floats:
        """Return the number at places `at` (any shape)."""
        if self.x.size == 1:
            return np.full(np.shape(at), self.value[0])
        place = np.clip(np.asarray(at, dtype=float), self.x[0], self.x[-1])
        left = np.clip(np.searchsorted(self.x, place, side="right") - 1, 0, self.x.size - 2)
        width = self.x[left + 1] - self.x[left]
        share = (place - self.x[left]) / width
        start, stop = self.slopes[left] * width, self.slopes[left + 1] * width
        rise = self.value[left + 1] - self.value[left]
        bow = share * (1.0 - share) * (start * (1.0 - share) - stop * share + rise * (2.0 * share - 1.0))
        return np.asarray(self.value[left] + rise * share + bow)

    @cached_property
    def slopes(self) -> Floats:
        """Slopes at the given places (N,)."""
        widths, rises = np.diff(self.x), np.diff(self.value) / np.diff(self.x)
        if rises.size == 1:
            return np.array([rises[0], rises[0]])
        ends = _end_slope(widths[:2], rises[:2]), _end_slope(widths[:-3:-1], rises[:-3:-1])
        return np.concatenate([[ends[0]], _inner_slopes(widths, rises), [ends[1]]])


def _inner_slopes(widths: Floats, rises: Floats) -> Floats:
    left, right = rises[:-1], rises[1:]
    near, far = 2.0 * widths[1:] + widths[:-1], widths[1:] + 2.0 * widths[:-1]
    same = left * right > 0.0
    safe_left, safe_right = np.where(same, left, 1.0), np.where(same, right, 1.0)
    return np.where(same, (near + far) / (near / safe_left + far / safe_right), 0.0)


def _end_slope(widths: Floats, rises: Floats) -> float:
    """Return the slope of the parabola through the end and its two neighbours, kept within the data."""
    total = widths[0] + widths[1]
    slope = ((widths[0] + total) * rises[0] - widths[0] * rises[1]) / total
    if slope * rises[0] <= 0.0:
        return 0.0
    if rises[0] * rises[1] <= 0.0 and abs(slope) > 3.0 * abs(rises[0]):
        return float(3.0 * rises[0])
    return float(slope)
