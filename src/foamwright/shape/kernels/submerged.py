"""What lies between a height field and a plane above it: volumes and moments, column by column.

A field is given panel by panel along x and part by part across, as polynomials: along in the unit
variable ``u`` of ``x = start + (stop-start)(1-cos(pi u))/2``, across in ``t`` of ``share = near +
(far-near)(1-(1-t)^4)``. In both, round ends are smooth. Where the plane cuts a section, the section is
split at the cuts; where the cuts appear or vanish along x, the panel is split, and each piece has its
nodes drawn towards its ends, where the volume goes with a half-integer power. So the sums converge as
fast as for a solid that the plane does not cut at all.
"""

from __future__ import annotations

import math

import numpy as np

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.submerged_section import (
    Array,
    Field,
    Section,
    add_part,
    blend,
    heights_at,
    part_is_flat,
    series_at,
    wet_code,
)

SUMS = 10
"""``V, x, y, z`` of the volume, then ``1, x, y, xx, xy, yy`` of the wet area seen from above."""

BISECTIONS = 30
MOST_PIECES = 96


@compiled
def add_station(field: Field, section: Section, x: float, weight: float, plane: Array, total: Array) -> None:
    """Add a station with its `weight` along: both sides, all parts."""
    level = plane[0] + plane[1] * x
    sums = np.zeros(6)
    for side in range(1 if plane[2] == 0.0 else 2):
        sign = 1.0 - 2.0 * side
        sums[:] = 0.0
        for part in range(section.heights.shape[0]):
            if not part_is_flat(section, part):
                add_part(field, section, part, (level, plane[2] * sign), sums)
        share = weight if plane[2] != 0.0 else 2.0 * weight
        odd = share * sign if plane[2] != 0.0 else 0.0
        total[0] += share * sums[0]
        total[1] += share * sums[0] * x
        total[2] += odd * sums[1]
        total[3] += share * sums[2]
        total[4] += share * sums[3]
        total[5] += share * sums[3] * x
        total[6] += odd * sums[4]
        total[7] += share * sums[3] * x * x
        total[8] += odd * sums[4] * x
        total[9] += share * sums[5]


@compiled
def station_of(field: Field, panel: int, u: float) -> float:
    """Return x at `u` of a panel."""
    start, stop = field.ends[panel, 0], field.ends[panel, 1]
    return start + (stop - start) * 0.5 * (1.0 - math.cos(math.pi * u))  # type: ignore[no-any-return]


@compiled
def code_at(field: Field, panel: int, u: float, plane: Array, work: tuple[Array, Section]) -> int:
    """Return how the plane cuts the section at `u` of a panel."""
    blend(field, u, work[0])
    heights_at(field, panel, work[0], work[1])
    level = plane[0] + plane[1] * station_of(field, panel, u)
    return wet_code(field, work[1], level, plane[2])


@compiled
def add_cuts(field: Field, panel: int, span: tuple[float, float], plane: Array, cuts: Array) -> None:
    """Append to `cuts` (its length in the first place) where the code changes within a span of `u`."""
    work = empty_work(field)
    low, high = span
    last = code_at(field, panel, high, plane, work)
    code = code_at(field, panel, low, plane, work)
    while code != last and cuts[0] < MOST_PIECES:
        near, far = low, high
        for _ in range(BISECTIONS):
            middle = 0.5 * (near + far)
            if code_at(field, panel, middle, plane, work) == code:
                near = middle
            else:
                far = middle
        cuts[0] += 1.0
        cuts[int(cuts[0])] = far
        low = far
        code = code_at(field, panel, low, plane, work)
        if far >= high:
            return


@compiled
def empty_work(field: Field) -> tuple[Array, Section]:
    """Return room for one section of a field and the weights that make it."""
    parts, steps = field.heights.shape[1], field.heights.shape[3]
    section = Section(np.zeros(parts + 1), np.zeros((parts, steps)), np.zeros((parts, steps)), np.zeros(1))
    return np.zeros(field.nodes.shape[0]), section


@compiled
def panel_cuts(field: Field, panel: int, plane: Array) -> Array:
    """Return the places in `u` between which the plane cuts a panel's sections alike, ends included."""
    cuts = np.zeros(MOST_PIECES + 3)
    cuts[0] = 1.0
    work = empty_work(field)
    before = code_at(field, panel, 0.0, plane, work)
    for i in range(1, field.nodes.shape[0]):
        code = code_at(field, panel, field.nodes[i], plane, work)
        if code != before:
            add_cuts(field, panel, (field.nodes[i - 1], field.nodes[i]), plane, cuts)
        before = code
    last = int(cuts[0]) + 1
    cuts[last] = 1.0
    return cuts[1 : last + 1]


@compiled
def add_piece(field: Field, panel: int, span: tuple[float, float], plane: Array, total: Array) -> None:
    """Add a piece of a panel over which the plane cuts every section alike."""
    work = empty_work(field)
    low, high = span
    if high - low < 1e-9 or code_at(field, panel, 0.5 * (low + high), plane, work) == 0:
        return
    reach = field.ends[panel, 1] - field.ends[panel, 0]
    for m in range(field.along.shape[1]):
        v = field.along[0, m]
        u = low + (high - low) * 0.5 * (1.0 - math.cos(math.pi * v))
        stretch = (high - low) * 0.5 * math.pi * math.sin(math.pi * v)
        weight = field.along[1, m] * stretch * reach * 0.5 * math.pi * math.sin(math.pi * u)
        blend(field, u, work[0])
        heights_at(field, panel, work[0], work[1])
        series_at(field, panel, work[0], work[1])
        add_station(field, work[1], station_of(field, panel, u), weight, plane, total)


@compiled
def wet_sums(field: Field, plane: Array) -> Array:
    """Return the sums (see `SUMS`) of what lies above the field and below ``z = plane . (1, x, y)``."""
    total = np.zeros(SUMS)
    for panel in range(field.ends.shape[0]):
        cuts = panel_cuts(field, panel, plane)
        for i in range(cuts.shape[0] - 1):
            add_piece(field, panel, (cuts[i], cuts[i + 1]), plane, total)
    return total
