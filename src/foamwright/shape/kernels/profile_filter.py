"""A profile worn by strokes of unknown depth and read now and then: a linearised Gaussian filter.

The state is the profile's height above its target at `n` grid points, and last the chip's common factor
`f` (a chip set to `c` takes ``f c`` and a little more or less each time). A stroke moves the mean as the
stroke kernel would, and the covariance by the stroke's own derivative: a point that the iron reaches
takes the height of the supporting line there, so it forgets its own error and inherits that of the two
points that carry the sole. Readings are taken in one at a time (Kalman 1960, sequential form); with no
strokes between them this is Gaussian process regression with the prior's covariance.

The linearisation does not see that a sole rides on bumps that the mean is too smooth to show. What it
misses is added to the covariance with every stroke, as a share of the depth taken (`Known.noise`, third
entry), found by simulation. It misses less where the sole bridges a hollow: there the derivative already
knows the two points that carry it, and bumps between them do not count.
"""

from __future__ import annotations

from math import erf, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.hull_window import bridge_over, carries, chain_ahead, chain_behind, height_at

Array = NDArray[np.float64]
Index = NDArray[np.int64]

LEAST_FACTOR = 0.05
"""A chip's factor is taken to be at least this."""

BUMP = 3.0
"""Grid steps over which what the linearisation misses fades."""

BRIDGED = 0.3
"""What the linearisation misses where the sole bridges, as a share of what it misses where it rides."""

ROOM = 11
"""Rows of workspace beyond the number of grid points."""


class Known(NamedTuple):
    """What is known of one profile, with room to work.

    Attributes
    ----------
    mean
        (n+1,) heights above the target, then the chip's factor.
    cov
        (n+1, n+1) covariance.
    target
        (n,) target heights outward from the foam; the sole rides on ``target + mean``.
    noise
        (start_error, each, missed): standard error of a stroke's ends in grid steps, of each chip as a
        share of it, and of what the linearisation misses as a share of the depth taken.
    reach
        (behind, ahead): reach of the sole from the iron in grid steps.
    step
        Grid step, metres.
    work
        (n + ROOM, n+1) workspace.
    chains
        (2, n) workspace.
    """

    mean: Array
    cov: Array
    target: Array
    noise: Array
    reach: Array
    step: float
    work: Array
    chains: Index


@compiled
def normal_below(z: float) -> float:
    """Return the probability that a standard normal number lies below `z`."""
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


@compiled
def factor_of(known: Known) -> float:
    """Return the chip's expected factor, at least `LEAST_FACTOR`."""
    return max(float(known.mean[known.target.shape[0]]), LEAST_FACTOR)


@compiled
def edges_into(surface: Array, first: int, reach: Array, edges: Array, chains: Index) -> None:
    """Write for each point from `first` on the positions (grid steps) of the two points that carry the sole.

    Both equal the point itself where it carries the sole alone. `reach` is (behind, ahead) in grid steps;
    `edges` has shape (2, n).
    """
    last = surface.shape[0] - 1
    start = max(0, first - int(reach[0]) - 2)
    chain_ahead(surface, start, chains[0])
    chain_behind(surface, start, chains[1])
    for i in range(first, last + 1):
        edges[0, i] = edges[1, i] = float(i)
        begin = max(i - reach[0], 0.0)
        end = min(i + reach[1], float(last))
        if begin < i < end and not carries(surface, i, begin, end, chains[0], chains[1]):
            left, right = bridge_over(surface, i, begin, end)
            edges[0, i], edges[1, i] = left, right


@compiled
def weights_at(edges: Array, i: int, nodes: Index, weights: Array) -> None:
    """Write the four grid points, and their weights, whose heights make the supporting line at point `i`."""
    left, right = edges[0, i], edges[1, i]
    share = 0.0 if right <= left else (i - left) / (right - left)
    for side in range(2):
        place = left if side == 0 else right
        part = (1.0 - share) if side == 0 else share
        node = int(place)
        nodes[2 * side] = node
        weights[2 * side] = part * (1.0 - (place - node))
        beyond = place - node
        nodes[2 * side + 1] = node + 1 if beyond > 0.0 else node
        weights[2 * side + 1] = part * beyond


@compiled
def stroke_filter(known: Known, start: float, end: float, chip: float) -> None:
    """Move mean and covariance by one stroke; both are overwritten.

    Parameters
    ----------
    known
        Before; `mean` and `cov` hold what is known after.
    start
        First point under the iron, grid steps, may be fractional.
    end
        Where the plane is lifted, grid steps (n or more: it runs off the end).
    chip
        Chip set, metres.
    """
    n = known.target.shape[0]
    first = max(0, int(start - 3.0 * max(known.noise[0], 1e-9)))
    if first >= n:
        return
    if depths_into(known, first, start, end, chip):
        spread_covariance(known, first, chip)
        spread_noise(known, first, chip * factor_of(known))


@compiled
def depths_into(known: Known, first: int, start: float, end: float, chip: float) -> bool:
    """Write edges, depths and chances of being reached into the workspace; tell if anything is cut."""
    n = known.target.shape[0]
    work, spread = known.work, max(known.noise[0], 1e-9)
    surface, edges, depth = work[n + 1, :n], work[n + 2 : n + 4, :n], work[n + 5]
    for i in range(n):
        surface[i] = known.target[i] + known.mean[i]
    edges_into(surface, first, known.reach, edges, known.chains)
    taken = chip * factor_of(known)
    moved = False
    for i in range(first, n):
        line = height_at(surface, edges[0, i])
        if edges[1, i] > edges[0, i]:
            foot, top = edges[0, i], edges[1, i]
            line += (height_at(surface, top) - line) * (i - foot) / (top - foot)
        depth[i] = max(surface[i] - (line - taken), 0.0)
        work[n + 4, i] = normal_below((i - start + 1e-6) / spread)
        work[n + 6, i] = 1.0 if end >= n else normal_below((end - i) / spread)
        work[n, i] = work[n + 4, i] * work[n + 6, i]
        moved = moved or depth[i] > 0.0
    return moved


@compiled
def bumps_felt(edges: Array, i: int) -> float:
    """Return what share of the linearisation's miss counts at point `i`: less where the sole bridges."""
    return BRIDGED if edges[1, i] > edges[0, i] else 1.0


@compiled
def spread_noise(known: Known, first: int, taken: float) -> None:
    """Lower the mean and add what one stroke's own chances add to the covariance; `taken` is its chip."""
    n = known.target.shape[0]
    mean, cov, work = known.mean, known.cov, known.work
    cover, depth, lifted, reached = work[n + 4], work[n + 5], work[n + 6], work[n]
    each = (known.noise[1] * taken) ** 2
    missed = known.noise[2] ** 2
    edges = work[n + 2 : n + 4, :n]
    for i in range(first, n):
        if depth[i] <= 0.0:
            continue
        mean[i] -= reached[i] * depth[i]
        for j in range(first, n):
            if depth[j] > 0.0:
                both = min(cover[i], cover[j]) * min(lifted[i], lifted[j])
                mixed = depth[i] * depth[j]
                cov[i, j] += each * both + mixed * (both - reached[i] * reached[j])
                near = 1.0 - abs(i - j) / BUMP
                if near > 0.0:
                    near *= bumps_felt(edges, i) * bumps_felt(edges, j)
                    cov[i, j] += missed * mixed * reached[i] * reached[j] * near


@compiled
def spread_covariance(known: Known, first: int, chip: float) -> None:
    """Carry the covariance through the derivative of one stroke: ``J cov J'``."""
    size = known.mean.shape[0]
    # Twice the same, turned over in between: J C is turned into C J', and that into J C J'.
    for _ in range(2):
        rows_into(known, first, chip)
        for i in range(size):
            for j in range(i):
                known.cov[i, j], known.cov[j, i] = known.cov[j, i], known.cov[i, j]


@compiled
def rows_into(known: Known, first: int, chip: float) -> None:
    """Overwrite the covariance with ``J cov``: a point that is cut takes the rows of those that carry."""
    n = known.target.shape[0]
    cov, work = known.cov, known.work
    nodes, weights = np.empty(4, dtype=np.int64), np.empty(4)
    for i in range(first, n):
        row, part = work[i], work[n, i]
        row[:] = cov[i]
        if work[n + 5, i] > 0.0:
            weights_at(work[n + 2 : n + 4, :n], i, nodes, weights)
            for j in range(n + 1):
                new = -chip * cov[n, j]
                for k in range(4):
                    new += weights[k] * cov[nodes[k], j]
                row[j] += part * (new - row[j])
    cov[first:n] = work[first:n]


@compiled
def take_reading(known: Known, place: float, value: float, variance: float) -> None:
    """Take one reading into mean and covariance.

    Parameters
    ----------
    known
        Overwritten.
    place
        Grid steps, may be fractional.
    value
        Height above the target, metres.
    variance
        Of the reading, square metres.
    """
    mean, cov = known.mean, known.cov
    size = mean.shape[0]
    gain = known.work[size - 1]
    node, part = foot_of(place, size)
    for j in range(size):
        gain[j] = (1.0 - part) * cov[node, j] + part * cov[node + 1, j]
    spread = (1.0 - part) * gain[node] + part * gain[node + 1] + variance
    missed = value - ((1.0 - part) * mean[node] + part * mean[node + 1])
    for i in range(size):
        mean[i] += gain[i] / spread * missed
        for j in range(size):
            cov[i, j] -= gain[i] * gain[j] / spread


@compiled
def expected_at(known: Known, place: float) -> tuple[float, float]:
    """Return the mean and the variance of the height above the target at a place in grid steps."""
    mean, cov = known.mean, known.cov
    node, part = foot_of(place, mean.shape[0])
    variance = (1.0 - part) ** 2 * cov[node, node] + part**2 * cov[node + 1, node + 1]
    variance += 2.0 * part * (1.0 - part) * cov[node, node + 1]
    return (1.0 - part) * mean[node] + part * mean[node + 1], max(variance, 0.0)


@compiled
def foot_of(place: float, size: int) -> tuple[int, float]:
    """Return the grid point below a place and the part of a step beyond it; `size` counts the factor too."""
    node = min(max(int(place), 0), size - 3)
    return node, place - node
