"""Distances of points from a slice of two Lamé curves that meet at an apex, over a dished base.

The slice is symmetric; points are given by how far they lie from its middle and how high over its base. Its
half-width and height may change along it, so that points of a thin slab count as they lie.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Floats = NDArray[np.float64]

HALF, SLOPE, APEX, LOWER, UPPER, DISHED = range(6)
"""Numbers of a slice: half-width and its slope, apex as a share of the height at the edge, inverse exponents
below and above it, share of the half-width that is dished."""

NONE, DISH, TWIN, WEDGE, BOWL = range(5)
"""Shapes of the base, heights over its middle for a depth of 1."""

THINNEST, FLATTEST = 1e-4, 1e-5
"""Metres: least half-width, and least height of the lower curve."""


class Slab(NamedTuple):
    """Points of a slice: (N,) metres along, from the middle, over the base, and the slice's height there.

    `shape` and `depth` (metres) are the base's.
    """

    along: Floats
    away: Floats
    height: Floats
    thick: Floats
    shape: int
    depth: float


@compiled
def base(shape: int, depth: float, share: float, dished: float) -> float:
    """Return the height of the base over its middle at a share of the half-width."""
    across = min(share / max(dished, 1e-3), 1.0)
    if shape == DISH:
        return depth * ((1.0 - across * across) ** 2 - 1.0)
    if shape == TWIN:
        return depth * 16.0 * across * across * (1.0 - across) ** 2
    if shape == WEDGE:
        return depth * share
    return depth * share * share if shape == BOWL else 0.0


@compiled
def lame_distance(share: float, width: float, height: float, unit: float, inverse: float) -> float:
    """Return the distance from the curve ``share^n + height^n = 1``, n = 1/inverse, to first order.

    `width` and `unit` are the metres of a share and a height of 1. Source: value over slope of the implicit
    function (Taubin, IEEE PAMI 13, 1991, eq. 3.2), here the gauge, whose slope does not vanish.
    """
    large, small = max(share, height, 1e-9), min(share, height)
    ratio = small / large
    power = ratio ** (1.0 / inverse)
    fall = np.log1p(power)
    # The gauge's slope: 1 over its own part towards the larger, `ratio^(n-1)` of that towards the smaller.
    steep = np.exp((inverse - 1.0) * fall)
    mild = steep * power / ratio if ratio > 0.0 else 0.0
    by_width, by_height = (steep, mild) if share >= height else (mild, steep)
    return float((large * np.exp(inverse * fall) - 1.0) / np.hypot(by_width / width, by_height / unit))


@compiled
def distance(slab: Slab, i: int, numbers: Floats) -> float:
    """Return the signed distance of one point from the slice, metres, outwards positive."""
    dished, height, thick = numbers[DISHED], slab.height[i], slab.thick[i]
    edge = base(slab.shape, slab.depth, 1.0, dished)
    width = max(numbers[HALF] + numbers[SLOPE] * slab.along[i], THINNEST)
    share = slab.away[i] / width
    flat = base(slab.shape, slab.depth, min(share, 1.0), dished)
    level = edge + numbers[APEX] * (thick - edge)
    # Inboard the faces part halfway between them, at the edge at the apex.
    rim = min(share, 1.0) ** 8
    if height >= level * rim + (1.0 - rim) * (flat + thick) / 2.0:
        unit = thick - level
        return lame_distance(share, width, abs((height - level) / unit), abs(unit), numbers[UPPER])
    if share > dished:
        unit, rest = max(level - flat, FLATTEST), 1.0 - dished
        up = abs((level - height) / unit)
        return lame_distance((share - dished) / rest, width * rest, up, unit, numbers[LOWER])
    return float(flat - height)


@compiled
def distances_into(slab: Slab, numbers: Floats, out: Floats) -> None:
    """Set `out` (N,) to the signed distances of the points from the slice."""
    for i in range(out.size):
        out[i] = distance(slab, i, numbers)


@compiled
def cost_of(slab: Slab, numbers: Floats, scale: float) -> float:
    """Return the sum of the distances' costs, ``2 scale^2 (sqrt(1 + (d / scale)^2) - 1)`` each, m2.

    Near distances cost their square, far ones (over `scale`, metres) as much as they are far.
    """
    total = 0.0
    for i in range(slab.away.size):
        off = distance(slab, i, numbers) / scale
        total += np.sqrt(1.0 + off * off) - 1.0
    return 2.0 * scale * scale * total


@compiled
def normal_into(slab: Slab, numbers: Floats, steps: Floats, scale: float, gram: Floats, pull: Floats) -> None:
    """Set `gram` (6, 6) and `pull` (6,) to the normal equations of the least cost, each point by its weight.

    Slopes are differences over `steps` (6,).
    """
    gram[:], pull[:] = 0.0, 0.0
    moved = np.empty((steps.size, steps.size))
    for j in range(steps.size):
        moved[j] = numbers
        moved[j, j] += steps[j]
    slope = np.empty(steps.size)
    for i in range(slab.away.size):
        here = distance(slab, i, numbers)
        weight = 1.0 / np.sqrt(1.0 + (here / scale) ** 2)
        for j in range(steps.size):
            if j == SLOPE:
                slope[j] = slab.along[i] * slope[HALF]
            else:
                slope[j] = (distance(slab, i, moved[j]) - here) / steps[j]
        for j in range(steps.size):
            pull[j] -= weight * slope[j] * here
            for k in range(steps.size):
                gram[j, k] += weight * slope[j] * slope[k]
