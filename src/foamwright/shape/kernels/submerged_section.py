"""One section between a height field and a plane above it: where they meet, and what lies between them.

A section is a few parts across, each a polynomial in ``t`` of ``share = near + (far-near)(1-(1-t)^4)``, in
which round edges are smooth; where the plane cuts a part, the part is split at the cuts.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Array = NDArray[np.float64]


class Field(NamedTuple):
    """A height field as polynomials, and the rules of summation.

    Attributes
    ----------
    ends
        (P, 2) start and stop of each panel.
    nodes, weights
        (N,) nodes along, in `u`, with their barycentric weights.
    half
        (P, N) half-widths at the nodes.
    kinks
        (P, N, Q+1) shares of the half-width between which the parts lie.
    steps
        (K,) nodes across, in `t`.
    heights, series
        (P, Q, N, K) heights at the nodes, and their Chebyshev coefficients in `t`.
    along, across
        (2, M) Gauss nodes and weights on [0, 1].
    """

    ends: Array
    nodes: Array
    weights: Array
    half: Array
    kinks: Array
    steps: Array
    heights: Array
    series: Array
    along: Array
    across: Array


class Section(NamedTuple):
    """One section of a field at a station: the same arrays without their dimension along."""

    kinks: Array
    heights: Array
    series: Array
    width: Array


@compiled
def blend(field: Field, u: float, share: Array) -> None:
    """Write the weight of each node along in the value at `u` (barycentric interpolation)."""
    total = 0.0
    for i in range(share.shape[0]):
        gap = u - field.nodes[i]
        if gap == 0.0:
            share[:] = 0.0
            share[i] = 1.0
            return
        share[i] = field.weights[i] / gap
        total += share[i]
    for i in range(share.shape[0]):
        share[i] /= total


@compiled
def heights_at(field: Field, panel: int, share: Array, section: Section) -> None:
    """Write the width, the kinks and the heights that the weights `share` of the nodes along make."""
    section.width[0] = 0.0
    section.kinks[:] = 0.0
    section.heights[:] = 0.0
    for i in range(share.shape[0]):
        if share[i] == 0.0:
            continue
        section.width[0] += share[i] * field.half[panel, i]
        for q in range(section.kinks.shape[0]):
            section.kinks[q] += share[i] * field.kinks[panel, i, q]
        for q in range(section.heights.shape[0]):
            for k in range(section.heights.shape[1]):
                section.heights[q, k] += share[i] * field.heights[panel, q, i, k]


@compiled
def series_at(field: Field, panel: int, share: Array, section: Section) -> None:
    """Write the series across that the weights `share` of the nodes along make."""
    section.series[:] = 0.0
    for i in range(share.shape[0]):
        for q in range(section.series.shape[0]):
            for k in range(section.series.shape[1]):
                section.series[q, k] += share[i] * field.series[panel, q, i, k]


@compiled
def chebyshev(series: Array, t: float) -> float:
    """Return the sum of a Chebyshev series on [0, 1] at `t` (Clenshaw)."""
    twice = 2.0 * (2.0 * t - 1.0)
    one, two = 0.0, 0.0
    for k in range(series.shape[0] - 1, 0, -1):
        one, two = twice * one - two + series[k], one
    return 0.5 * twice * one - two + series[0]  # type: ignore[no-any-return]


@compiled
def offset(section: Section, part: int, t: float) -> float:
    """Return the distance from the middle at `t` of a part."""
    near, far = section.kinks[part], section.kinks[part + 1]
    return section.width[0] * (near + (far - near) * (1.0 - (1.0 - t) ** 4))  # type: ignore[no-any-return]


@compiled
def part_is_flat(section: Section, part: int) -> bool:
    """Tell whether a part has no width, so that nothing lies in it."""
    return section.width[0] * (section.kinks[part + 1] - section.kinks[part]) <= 1e-12  # type: ignore[no-any-return]


@compiled
def wet_code(field: Field, section: Section, level: float, roll: float) -> int:
    """Return a number that tells how the plane cuts the section; 0 where it lies below it everywhere."""
    code = 0
    for side in range(1 if roll == 0.0 else 2):
        slope = roll * (1 - 2 * side)
        for part in range(section.heights.shape[0]):
            changes, first = 0, False
            if not part_is_flat(section, part):
                wet = level > section.heights[part, 0] - slope * offset(section, part, 0.0)
                first = wet
                for k in range(1, field.steps.shape[0]):
                    y = offset(section, part, field.steps[k])
                    now = level > section.heights[part, k] - slope * y
                    changes += now != wet
                    wet = now
            code = 64 * code + 2 * min(changes, 31) + first
    return code


@compiled
def crossing(section: Section, part: int, line: tuple[float, float], between: tuple[float, float]) -> float:
    """Return where the line ``level + slope*y`` meets a part between two `t` (bisection, then secant)."""
    low, high = between
    at_low = line[0] + line[1] * offset(section, part, low) - chebyshev(section.series[part], low)
    at_high = line[0] + line[1] * offset(section, part, high) - chebyshev(section.series[part], high)
    middle = 0.5 * (low + high)
    for turn in range(60):
        middle = 0.5 * (low + high)
        if turn % 3 != 2 and at_low != at_high:
            middle = min(max(low - at_low * (high - low) / (at_high - at_low), low), high)
        value = line[0] + line[1] * offset(section, part, middle) - chebyshev(section.series[part], middle)
        if value == 0.0 or high - low < 1e-15:
            return middle
        if (value > 0.0) == (at_low > 0.0):
            step, low, at_low = middle - low, middle, value
        else:
            step, high, at_high = high - middle, middle, value
        if step < 1e-15:
            return middle
    return middle


@compiled
def add_run(
    field: Field,
    section: Section,
    part: int,
    line: tuple[float, float],
    run: tuple[float, float],
    sums: Array,
) -> None:
    """Add what lies between a part and the line above it over a run of `t`, where it is wet throughout."""
    begin, end = run
    reach = section.width[0] * (section.kinks[part + 1] - section.kinks[part])
    for m in range(field.across.shape[1]):
        t = begin + (end - begin) * field.across[0, m]
        y = offset(section, part, t)
        weight = field.across[1, m] * (end - begin) * reach * 4.0 * (1.0 - t) ** 3
        surface = line[0] + line[1] * y
        height = chebyshev(section.series[part], t)
        depth = weight * (surface - height)
        sums[0] += depth
        sums[1] += depth * y
        sums[2] += depth * 0.5 * (surface + height)
        sums[3] += weight
        sums[4] += weight * y
        sums[5] += weight * y * y


@compiled
def add_part(field: Field, section: Section, part: int, line: tuple[float, float], sums: Array) -> None:
    """Add what lies between a part and the line above it, split where they meet."""
    begin = 0.0
    wet = line[0] + line[1] * offset(section, part, 0.0) > section.heights[part, 0]
    for k in range(1, field.steps.shape[0]):
        t = field.steps[k]
        now = line[0] + line[1] * offset(section, part, t) > section.heights[part, k]
        if now != wet:
            cut = crossing(section, part, line, (field.steps[k - 1], t))
            if wet:
                add_run(field, section, part, line, (begin, cut), sums)
            begin, wet = cut, now
    if wet:
        add_run(field, section, part, line, (begin, 1.0), sums)
