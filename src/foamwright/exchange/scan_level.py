"""Which way the level line runs: the slope of a bottom at one station, from the bottom all around it.

A tilt of a thousandth moves the tips by a millimetre, so the slope is taken from thousands of points: a low
polynomial along the board, and others for what the contour does beside the stringer. The
smoothed line of `scan_lines` follows the noise too closely to be differentiated.
"""

from __future__ import annotations

import numpy as np

from foamwright.exchange.scan_lines import STRIP, Lines
from foamwright.shape.curves import Floats

REACH = 0.35
"""Share of the length to either side that is looked at."""

DEGREE, BESIDE = 5, 5
"""Degree along the board of the stringer's line, and of what the contour adds beside it."""

POWERS = (1, 2, 3)
NEAR = 0.006
"""Metres; a point twice as far from the smoothed line (contours are shallower) is of something else."""

ROUNDS, MOST = 5, 60_000


def slope_at(points: Floats, lines: Lines, x: float, length: float) -> float:
    """Return the slope of the bottom at a station.

    Parameters
    ----------
    points
        (N, 3) the scan in its frame, sorted along it.
    lines
        Its stringer lines.
    x
        The station, metres.
    length
        About how long the board is, metres.
    """
    along, height, share = _strip(points, lines, x, REACH * length)
    place = (along - x) / (REACH * length)
    beside = np.vander(place, BESIDE + 1, increasing=True)
    line = np.vander(place, DEGREE + 1, increasing=True)
    matrix = np.hstack([line, *((share**power)[:, None] * beside for power in POWERS)])
    return float(_least(matrix, height)[1]) / (REACH * length)


def _strip(points: Floats, lines: Lines, x: float, reach: float) -> tuple[Floats, Floats, Floats]:
    """Stations, heights and shares of the strip of the points of the bottom beside the stringer."""
    first, last = np.searchsorted(points[:, 0], [x - reach, x + reach])
    near = points[first:last]
    share = np.abs(near[:, 1]) / np.maximum(STRIP * lines.half_width(near[:, 0]), 1e-3)
    lower = near[:, 2] < (lines.bottom(near[:, 0]) + lines.deck(near[:, 0])) / 2.0
    mine = lower & (share < 1.0) & (np.abs(near[:, 2] - lines.bottom(near[:, 0])) < 2.0 * NEAR)
    thin = slice(None, None, max(1, int(np.count_nonzero(mine)) // MOST))
    return near[mine, 0][thin], near[mine, 2][thin], share[mine][thin]


def _least(matrix: Floats, values: Floats) -> Floats:
    """Least squares that stray values do not pull (Huber's weights)."""
    weight = np.ones(values.size)
    found: Floats = np.zeros(matrix.shape[1])
    for _ in range(ROUNDS):
        weighted = matrix * weight[:, None]
        found = np.asarray(np.linalg.lstsq(weighted.T @ matrix, weighted.T @ values, rcond=None)[0], float)
        off = np.abs(values - matrix @ found)
        weight = np.minimum(1.0, 1.5 * 1.4826 * float(np.median(off)) / np.maximum(off, 1e-9))
    return np.asarray(found)
