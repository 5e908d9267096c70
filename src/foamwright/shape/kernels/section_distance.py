"""Distances of points from half a section: a base, a parabola up to an apex, a parabola on to a crown.

The section is drawn as short chords, and a point's distance is that to the nearest of them. Its half-width
and height may change along it, so that points of a thin slab count as they lie.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Floats = NDArray[np.float64]

HALF, SLOPE, APEX, TUCK, STEEP, CROWN, ROLL = range(7)
"""Numbers of a section: half-width and its slope, apex as a share of the height outside the base, length of
the lower curve, share of its rise that its first tangent takes, fall of the crown, length of the upper
curve."""

COUNT = 7
NONE, DISH, TWIN, WEDGE, BOWL = range(5)
"""Shapes of the base, heights over its middle for a depth of 1."""

FLAT_CHORDS, CURVE_CHORDS = 12, 16
"""Chords of each flat and each curve: a curve of 15 mm is drawn to a hundredth of one."""

POINTS = 2 * (FLAT_CHORDS + CURVE_CHORDS) + 1


class Slab(NamedTuple):
    """Points of a slice: (N,) metres along, from the middle, over the base's middle, and its height there.

    `shape` and `depth` (metres) are the base's.
    """

    along: Floats
    away: Floats
    height: Floats
    thick: Floats
    shape: int
    depth: float


@compiled
def base(shape: int, depth: float, y: float, edge: float) -> float:
    """Return the height of the base over its middle at a distance from it; `edge` is where it ends."""
    share = y / max(edge, 1e-4)
    if shape == DISH:
        return -depth * min(share, 1.0) ** 2
    if shape == TWIN:
        return 4.0 * depth * share * (1.0 - share) if share < 1.0 else 0.0
    if shape == WEDGE:
        return depth * share
    return depth * share * share if shape == BOWL else 0.0


@compiled
def drawn(slab: Slab, numbers: Floats, thick: float, y: Floats, z: Floats) -> None:
    """Set `y` and `z` (POINTS,) to the section from the bottom's middle round the edge to the deck's."""
    half, edge = numbers[HALF], numbers[HALF] - numbers[TUCK]
    begins = max(half - numbers[ROLL], 1e-4)
    rim = base(slab.shape, slab.depth, half, edge)
    rail = thick - numbers[CROWN] - base(slab.shape, slab.depth, edge, edge)
    rise = numbers[APEX] * rail
    top = thick - numbers[CROWN] - rim - rise
    fall = min(2.0 * numbers[CROWN] / begins * numbers[ROLL], max(top, 0.0))
    for n in range(FLAT_CHORDS):
        y[n] = edge * n / FLAT_CHORDS
        z[n] = base(slab.shape, slab.depth, y[n], edge)
        k = POINTS - 1 - n
        y[k] = begins * n / FLAT_CHORDS
        z[k] = thick - numbers[CROWN] * (n / FLAT_CHORDS) ** 2
    for n in range(CURVE_CHORDS + 1):
        q = n / CURVE_CHORDS
        k = FLAT_CHORDS + n
        y[k] = half - numbers[TUCK] * (1.0 - q) ** 2
        lift = rise * (2.0 * q * (1.0 - q) * numbers[STEEP] + q * q)
        z[k] = base(slab.shape, slab.depth, y[k], edge) + lift
        k = POINTS - 1 - FLAT_CHORDS - n
        y[k] = half - numbers[ROLL] * (1.0 - q) ** 2
        z[k] = thick - numbers[CROWN] - 2.0 * q * (1.0 - q) * fall - q * q * top


@compiled
def nearest(y: float, z: float, section: tuple[Floats, Floats]) -> float:
    """Return the signed distance of a point from the chords, outwards positive."""
    ys, zs = section
    best, sign = 1e30, 1.0
    for n in range(POINTS - 1):
        dy, dz = ys[n + 1] - ys[n], zs[n + 1] - zs[n]
        square = dy * dy + dz * dz
        if square < 1e-16:
            continue
        ey, ez = y - ys[n], z - zs[n]
        share = min(max((ey * dy + ez * dz) / square, 0.0), 1.0)
        off = (ey - share * dy) ** 2 + (ez - share * dz) ** 2
        if off < best:
            best, sign = off, (1.0 if ey * dz - ez * dy >= 0.0 else -1.0)
    return float(sign * np.sqrt(best))


@compiled
def distances_into(slab: Slab, numbers: Floats, out: Floats) -> None:
    """Set `out` (N,) to the signed distances of the points from the slice."""
    ys, zs = np.empty(POINTS), np.empty(POINTS)
    middle = float(np.mean(slab.thick))
    drawn(slab, numbers, middle, ys, zs)
    for i in range(out.size):
        grown = slab.thick[i] - middle if slab.height[i] > 0.5 * slab.thick[i] else 0.0
        out[i] = nearest(slab.away[i] - numbers[SLOPE] * slab.along[i], slab.height[i] - grown, (ys, zs))


@compiled
def cost_of(slab: Slab, numbers: Floats, scale: float) -> float:
    """Return the sum of the distances' costs, ``2 scale^2 (sqrt(1 + (d / scale)^2) - 1)`` each, m2.

    Near distances cost their square, far ones (over `scale`, metres) as much as they are far.
    """
    off = np.empty(slab.away.size)
    distances_into(slab, numbers, off)
    total = 0.0
    for i in range(off.size):
        total += np.sqrt(1.0 + (off[i] / scale) ** 2) - 1.0
    return float(2.0 * scale * scale * total)


@compiled
def normal_into(slab: Slab, numbers: Floats, steps: Floats, scale: float, gram: Floats, pull: Floats) -> None:
    """Set `gram` (7, 7) and `pull` (7,) to the normal equations of the least cost, each point by its weight.

    Slopes are differences over `steps` (7,).
    """
    gram[:], pull[:] = 0.0, 0.0
    here, moved = np.empty(slab.away.size), np.empty((steps.size, slab.away.size))
    distances_into(slab, numbers, here)
    for j in range(steps.size):
        other = numbers.copy()
        other[j] += steps[j]
        distances_into(slab, other, moved[j])
    slope = np.empty(steps.size)
    for i in range(here.size):
        weight = 1.0 / np.sqrt(1.0 + (here[i] / scale) ** 2)
        for j in range(steps.size):
            slope[j] = (moved[j, i] - here[i]) / steps[j]
        for j in range(steps.size):
            pull[j] -= weight * slope[j] * here[i]
            for k in range(steps.size):
                gram[j, k] += weight * slope[j] * slope[k]
