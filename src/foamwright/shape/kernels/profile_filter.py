"""A profile worn by strokes of unknown depth and read now and then: a linearised Gaussian filter.

The state is the profile's height above its target at `n` grid points, and last the chip's common factor
`f` (a chip set to `c` takes ``f c`` and a little more or less each time). A stroke moves the mean as the
stroke kernel would, and the covariance by the stroke's own derivative: a point that the iron reaches
takes the height of the supporting line there, so it forgets its own error and inherits that of the two
points that carry the sole. Readings are taken in one at a time (Kalman 1960, sequential form); with no
strokes between them this is Gaussian process regression with the prior's covariance.
"""

from __future__ import annotations

from math import erf, sqrt

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.hull_window import bridge_over, carries, chain_ahead, chain_behind, height_at

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@compiled
def normal_below(z: float) -> float:
    """Return the probability that a standard normal number lies below `z`."""
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


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
def stroke_filter(
    mean: Array, cov: Array, target: Array, stroke: Array, noise: Array, work: Array, chains: Index
) -> None:
    """Move mean and covariance by one stroke; both are overwritten.

    Parameters
    ----------
    mean
        (n+1,) heights above the target, then the chip's factor.
    cov
        (n+1, n+1) covariance.
    target
        (n,) target heights outward from the foam; the sole rides on ``target + mean``.
    stroke
        (start, behind, ahead, chip, end): first point under the iron (grid steps, may be fractional), reach
        of the sole in grid steps, chip set, and where the plane is lifted (beyond n: it runs off the tip).
    noise
        (start_error, each): standard error of the start in grid steps, and of each chip as a share.
    work
        (n+7, n+1) workspace.
    chains
        (2, n) workspace.
    """
    n = mean.shape[0] - 1
    surface, edges, cover = work[n + 1, :n], work[n + 2 : n + 4, :n], work[n + 4]
    depth, fresh, lifted = work[n + 5], work[n], work[n + 6]
    for i in range(n):
        surface[i] = target[i] + mean[i]
    spread = max(noise[0], 1e-9)
    first = max(0, int(stroke[0] - 3.0 * spread))
    if first >= n:
        return
    edges_into(surface, first, stroke[1:3], edges, chains)
    chip = stroke[3] * max(mean[n], 0.05)
    moved = False
    for i in range(first, n):
        line = height_at(surface, edges[0, i])
        if edges[1, i] > edges[0, i]:
            foot, top = edges[0, i], edges[1, i]
            line += (height_at(surface, top) - line) * (i - foot) / (top - foot)
        cut = line - chip
        depth[i] = max(surface[i] - cut, 0.0)
        cover[i] = normal_below((i - stroke[0] + 1e-6) / spread)
        lifted[i] = 1.0 if stroke[4] >= n else normal_below((stroke[4] - i) / spread)
        moved = moved or depth[i] > 0.0
    if not moved:
        return
    for i in range(first, n):
        fresh[i] = cover[i] * lifted[i]
    spread_covariance(cov, stroke[3], (first, n), edges, fresh, depth, work)
    each = noise[1] * chip
    for i in range(first, n):
        if depth[i] > 0.0:
            mean[i] -= cover[i] * lifted[i] * depth[i]
            for j in range(first, n):
                if depth[j] > 0.0:
                    both = min(cover[i], cover[j]) * min(lifted[i], lifted[j])
                    apart = cover[i] * lifted[i] * cover[j] * lifted[j]
                    cov[i, j] += each * each * both + depth[i] * depth[j] * (both - apart)


@compiled
def spread_covariance(
    cov: Array,
    chip: float,
    span: tuple[int, int],
    edges: Array,
    cover: Array,
    depth: Array,
    work: Array,
) -> None:
    """Carry a covariance through the derivative of one stroke: ``J cov J'``."""
    first, n = span
    nodes = np.empty(4, dtype=np.int64)
    weights = np.empty(4)
    size = n + 1
    for i in range(first, n):
        for j in range(size):
            work[i, j] = cov[i, j]
        if depth[i] > 0.0:
            weights_at(edges, i, nodes, weights)
            for j in range(size):
                carried = -chip * cov[n, j]
                for k in range(4):
                    carried += weights[k] * cov[nodes[k], j]
                work[i, j] += cover[i] * (carried - cov[i, j])
    for i in range(first, n):
        for j in range(size):
            cov[i, j] = work[i, j]
    for i in range(first, n):
        if depth[i] > 0.0:
            weights_at(edges, i, nodes, weights)
            for j in range(size):
                carried = -chip * cov[j, n]
                for k in range(4):
                    carried += weights[k] * cov[j, nodes[k]]
                work[i, j] = cov[j, i] + cover[i] * (carried - cov[j, i])
        else:
            for j in range(size):
                work[i, j] = cov[j, i]
    for i in range(first, n):
        for j in range(size):
            cov[j, i] = work[i, j]


@compiled
def take_reading(mean: Array, cov: Array, reading: Array, gain: Array) -> float:
    """Take one reading into mean and covariance; return its innovation in standard deviations.

    Parameters
    ----------
    mean, cov
        As in `stroke_filter`, overwritten.
    reading
        (position, value, variance): grid steps (may be fractional), height above the target, variance.
    gain
        (n+1,) workspace.
    """
    size = mean.shape[0]
    node = min(int(reading[0]), size - 3)
    part = reading[0] - node
    for j in range(size):
        gain[j] = (1.0 - part) * cov[node, j] + part * cov[node + 1, j]
    spread = (1.0 - part) * gain[node] + part * gain[node + 1] + reading[2]
    missed = reading[1] - ((1.0 - part) * mean[node] + part * mean[node + 1])
    for i in range(size):
        mean[i] += gain[i] / spread * missed
        for j in range(size):
            cov[i, j] -= gain[i] * gain[j] / spread
    return missed / sqrt(spread)
