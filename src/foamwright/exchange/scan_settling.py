"""The bottom's stringer line and the level line once more, now that rails and contours are known.

Beside the stringer every board does something: a vee rises, a concave dishes, a soft rail lifts the bottom
from far in. Where all that is unknown it has to be fitted beside the line, and takes most of what the points
say about the line with it. Here the sections' own rails and contours are taken off the points first; what is
left is the stringer's line and little more, and a line is a fair curve from tip to tip.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from foamwright.board.sections import Sections, sections_of
from foamwright.exchange.scan_lines import Along
from foamwright.exchange.scan_measure import Measured
from foamwright.exchange.scan_numbers import Tape, drafted
from foamwright.exchange.scan_tips import End
from foamwright.shape.curves import Floats
from foamwright.units import Unit

WIDE = 0.25
"""Share of the half-width whose points count."""

PIECES, DEGREE, RESISTED = 15, 5, 3
"""Pieces of a line, its degree, and which derivative is small: lines are fair curves."""

FAIR = 1.0
"""Metres: usual third derivative of a bottom's line over the board's length."""

BESIDE_PIECES, POWERS = 9, (1, 2)
LEFT, TURNS = 0.002, 10.0
"""Metres at the half-width by which contours are off, and how much their second derivative is more."""

NOISE = 5e-4
"""Metres: usual noise of a triangle."""

STRAY = 0.01
"""Metres from where a point should be; a point that is farther off belongs to something else."""

ENDS = 0.005
"""Metres at each tip that may belong to the end's own face."""

ROUNDS = 4


@dataclass(frozen=True, eq=False)
class _Points:
    """Points of the bottom: places and shares, heights less what rail and contour add, and their trust."""

    x: Floats
    share: Floats
    height: Floats
    trust: Floats


def settled(measured: Measured) -> Measured:
    """Return a measured board with a new line of its bottom, level where its level line touches.

    A notched tail has no stringer at its end to begin with; such a board is returned as it is.
    """
    if measured.tail.kind is End.NOTCH:
        return measured
    numbers = drafted(measured, "", Tape(Unit.MM, measured.length))
    sections = sections_of(numbers, _half_width(measured), np.zeros_like, measured.thickness)
    bottom = _line(_points(measured, sections), measured.length)
    return _levelled(replace(measured, lines=replace(measured.lines, bottom=bottom)))


def _levelled(measured: Measured) -> Measured:
    apex = np.array(measured.apex)
    slope = float(measured.lines.bottom(apex, 1))
    return measured.tilted(float(measured.lines.bottom(apex)) - slope * measured.apex, slope)


def _points(measured: Measured, sections: Sections) -> _Points:
    """The points of the bottom near the stringer, heights as if the section were level across."""
    x, height = measured.points[:, 0], measured.points[:, 2]
    share = np.abs(measured.points[:, 1]) / np.maximum(measured.half_width(x), 1e-3)
    inside = (x > ENDS) & (x < measured.length - ENDS) & (share < WIDE)
    x, height, share = x[inside], height[inside], share[inside]
    off = height - _height(measured, sections, (x, share))
    near = np.abs(off) < STRAY
    level = measured.lines.bottom(x) + off
    return _Points(x[near], share[near], level[near], measured.trust[inside][near])


def _half_width(measured: Measured) -> Callable[[Floats], Floats]:
    return lambda x: np.maximum(measured.half_width(x), 1e-4)


def _height(measured: Measured, sections: Sections, at: tuple[Floats, Floats]) -> Floats:
    x, share = at
    numbers = sections.at(x, measured.lines.bottom(x), measured.thickness(x))
    return np.asarray(numbers.bottom(share[:, None])[:, 0])


def _line(points: _Points, length: float) -> Along:
    """The fairest line through the points, with a little left beside it."""
    from scipy.interpolate import BSpline

    unit = np.clip(points.x / length, 0.0, 1.0)
    knots, stiff = _penalty(PIECES, DEGREE, RESISTED)
    beside, even = _penalty(BESIDE_PIECES, 3, 2)
    along = BSpline.design_matrix(unit, knots, DEGREE).toarray()
    across = BSpline.design_matrix(unit, beside, 3).toarray()
    matrix = np.hstack([along, *(across * points.share[:, None] ** power for power in POWERS)])
    penalty = np.zeros((matrix.shape[1], matrix.shape[1]))
    count, each = along.shape[1], across.shape[1]
    penalty[:count, :count] = stiff / FAIR**2
    for i in range(len(POWERS)):
        part = slice(count + i * each, count + (i + 1) * each)
        penalty[part, part] = np.eye(each) / LEFT**2 + even / (LEFT * TURNS) ** 2
    found = _least(matrix, points, NOISE**2 * penalty)
    return Along(BSpline(knots * length, found[:count], DEGREE), 0.0, length)


def _least(matrix: Floats, points: _Points, penalty: Floats) -> Floats:
    """Least squares that strays do not pull (Huber's weights)."""
    weight: Floats = points.trust
    found: Floats = np.zeros(matrix.shape[1])
    for _ in range(ROUNDS):
        weighted = matrix * weight[:, None]
        found = np.asarray(
            np.linalg.solve(weighted.T @ matrix + penalty, weighted.T @ points.height), dtype=np.float64
        )
        off = np.abs(points.height - matrix @ found)
        scale = 1.4826 * float(np.median(off)) + 1e-7
        weight = points.trust * np.minimum(1.0, 1.5 * scale / np.maximum(off, 1e-12))
    return np.asarray(found)


@lru_cache(maxsize=4)
def _penalty(pieces: int, degree: int, order: int) -> tuple[Floats, Floats]:
    """Clamped knots over 0 to 1, and the integral of a derivative's square as a matrix."""
    from scipy.interpolate import BSpline

    breaks = np.linspace(0.0, 1.0, pieces + 1)
    knots = np.concatenate([np.zeros(degree), breaks, np.ones(degree)])
    nodes, weights = np.polynomial.legendre.leggauss(degree)
    places = (breaks[:-1, None] + (nodes + 1.0) / (2.0 * pieces)).ravel()
    rows = np.asarray(BSpline(knots, np.eye(knots.size - degree - 1), degree)(places, order))
    return knots, rows.T @ (np.tile(weights / (2.0 * pieces), pieces)[:, None] * rows)
