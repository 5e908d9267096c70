"""What is known of a face that is worked down by strokes: heights along it, the chip and the tools, jointly.

Distances count in grid steps from the tip (0) inboard. The state is normal: `size` heights left above the
target, then the chip's factor, the zero of the gauge, the bend of the straight edge, the bow of the stick,
and three chances of the stroke being made (its own chip, its start, its end). Derived in docs/bench.md.
"""

from __future__ import annotations

from math import erf, exp, floor, pi, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Array = NDArray[np.float64]

FACTOR, ZERO, BEND, BOW, EACH, START, LIFT, EXTRA = 0, 1, 2, 3, 4, 5, 6, 7
"""Places in the state behind the heights, and how many there are."""

STICK_EDGE = 0.6
"""Grid steps (1/2 in) by which the end of a zone is marked off: a shim is felt to bind over 1/4 to 1/2 in."""

REACH = 2.5
"""Standard errors of a start beyond which no stroke is counted with."""


class Face(NamedTuple):
    """A face as it is known.

    Attributes
    ----------
    mean
        (n + EXTRA,) what is left at each place, metres; then what `EXTRA` names.
    cov
        (n + EXTRA, n + EXTRA) its covariance.
    line
        (n,) height of the target, metres outwards from the foam.
    """

    mean: Array
    cov: Array
    line: Array


class Hands(NamedTuple):
    """How far strokes are trusted.

    Attributes
    ----------
    behind, ahead
        Reach of the sole from the iron to heel and toe, in whole grid steps.
    each
        Standard error of one stroke's chip as a share.
    start
        Standard error of where a stroke starts and is lifted, grid steps.
    rough
        Standard error of what the mechanics leave out, a share of what a stroke takes at a place.
    """

    behind: int
    ahead: int
    each: float
    start: float
    rough: float


@compiled
def normal_below(value: float) -> float:
    """Return the chance that a standard normal number lies below `value`."""
    return 0.5 * (1.0 + erf(value / sqrt(2.0)))


@compiled
def support(worn: Array, height: Array, k: int, hands: Hands, out: Array) -> None:
    """Write the sole's line over place `k` into `out`: its height, its two bearings, the inboard one's share.

    The line is the highest that any two bearings, one each side of the iron or at it, hold up. Behind the
    iron the sole rides on `worn`, under and ahead of it on `height`.
    """
    inboard, outboard = min(height.size - 1, k + hands.behind), max(0, k - hands.ahead)
    level = height[k]
    out[0], out[1], out[2], out[3] = level, k, k, 0.0
    if outboard == k:
        return
    over = 0.0
    for a in range(k + 1, inboard + 1):
        rise = (worn[a] - level) / (a - k)
        for b in range(outboard, k):
            # A chord passes over the place by a positive multiple of the sum of its two rises.
            fall = rise * (k - b) + (height[b] - level)
            if fall > 0.0 and fall * (a - k) > over * (a - b):
                over = fall * (a - k) / (a - b)
                out[1], out[2], out[3] = a, b, (k - b) / (a - b)
    out[0] = level + over


@compiled
def reached(k: int, start: float, end: float, error: float) -> float:
    """Return the chance that a stroke from `start` to `end` (less than 0: off the tip) cuts place `k`."""
    if error <= 0.0:
        return 1.0 if end <= k <= start else 0.0
    chance = normal_below((start - k) / error)
    if end > -1.0:
        chance *= normal_below((k - end) / error)
    return chance


@compiled
def stroke_known(face: Face, hands: Hands, start: float, end: float, chip: float) -> None:
    """Follow one stroke in mean and covariance, in place.

    Parameters
    ----------
    face, hands
        The face, and how strokes are trusted.
    start, end
        Where it starts and is lifted, grid steps from the tip; `end` of -1 or less: it runs off.
    chip
        As set, metres.
    """
    n = face.line.size
    mean, cov = face.mean, face.cov
    m = mean.size
    factor = n + FACTOR
    cov[n + EACH, n + EACH] = (hands.each * mean[factor]) ** 2
    cov[n + START, n + START] = 1.0
    cov[n + LIFT, n + LIFT] = 1.0
    height = face.line + mean[:n]
    out = np.zeros(4)
    first = min(n - 1, floor(start + REACH * hands.start))
    last = max(0, floor(end - REACH * hands.start) + 1) if end > -1.0 else 0
    row = np.zeros(m)
    for k in range(first, last - 1, -1):
        chance = reached(k, start, end, hands.start)
        support(height, height, k, hands, out)
        cut = height[k] - (out[0] - mean[factor] * chip)
        if cut <= 0.0 or chance < 1e-4:
            continue
        a, b, share = int(out[1]), int(out[2]), out[3]
        keep, in_a, in_b = 1.0 - chance, chance * share, chance * (1.0 - share)
        spread = cut * sqrt(chance * (1.0 - chance))
        late = spread if abs(k - start) <= abs(k - end) or end <= -1.0 else 0.0
        early = spread - late
        for j in range(m):
            row[j] = (
                keep * cov[k, j]
                + in_a * cov[a, j]
                + in_b * cov[b, j]
                - chance * chip * (cov[factor, j] + cov[n + EACH, j])
                + late * cov[n + START, j]
                + early * cov[n + LIFT, j]
            )
        own = (
            keep * row[k]
            + in_a * row[a]
            + in_b * row[b]
            - chance * chip * (row[factor] + row[n + EACH])
            + late * row[n + START]
            + early * row[n + LIFT]
        )
        for j in range(m):
            cov[k, j] = row[j]
            cov[j, k] = row[j]
        cov[k, k] = own + (hands.rough * chance * cut) ** 2
        mean[k] -= chance * cut
        height[k] -= chance * cut
    for one in (n + EACH, n + START, n + LIFT):
        for j in range(m):
            cov[one, j] = 0.0
            cov[j, one] = 0.0


@compiled
def take(face: Face, weights: Array, value: float, variance: float) -> None:
    """Take in a measurement: `weights` times the state should be `value`, with this variance."""
    m = face.mean.size
    gain = np.zeros(m)
    expected = 0.0
    total = variance
    for j in range(m):
        if weights[j] != 0.0:
            expected += weights[j] * face.mean[j]
            for i in range(m):
                gain[i] += face.cov[j, i] * weights[j]
    for j in range(m):
        total += weights[j] * gain[j]
    off = (value - expected) / total
    for i in range(m):
        face.mean[i] += gain[i] * off
        for j in range(m):
            face.cov[i, j] -= gain[i] * gain[j] / total


@compiled
def take_between(face: Face, weights: Array, low: float, high: float, variance: float) -> None:
    """Take in that `weights` times the state, read with this variance, lies between two values.

    The first two moments of the cut-off normal are matched (assumed density filtering).
    """
    m = face.mean.size
    expected = 0.0
    total = variance
    for j in range(m):
        if weights[j] != 0.0:
            expected += weights[j] * face.mean[j]
            for i in range(m):
                if weights[i] != 0.0:
                    total += weights[j] * weights[i] * face.cov[i, j]
    spread = sqrt(total)
    lo, hi = max(-8.0, (low - expected) / spread), min(8.0, (high - expected) / spread)
    if lo <= -7.9 and hi >= 7.9:
        return
    lo, hi = min(lo, 7.5), max(hi, -7.5)
    mass = normal_below(hi) - normal_below(lo)
    if mass < 1e-9:
        edge = low if lo > 0.0 else high
        take(face, weights, edge, variance)
        return
    dense_lo, dense_hi = exp(-0.5 * lo * lo) / sqrt(2.0 * pi), exp(-0.5 * hi * hi) / sqrt(2.0 * pi)
    shift = (dense_lo - dense_hi) / mass
    shrunk = 1.0 + (lo * dense_lo - hi * dense_hi) / mass - shift * shift
    if shrunk > 0.98:
        return
    # The reading that changes the first two moments as the cut-off does.
    lost = 1.0 - max(shrunk, 1e-3)
    take(face, weights, expected + shift * spread / lost, total / lost - (total - variance))


@compiled
def stick_row(face: Face, inboard: int, outboard: int, place: float, row: Array) -> None:
    """Write how the gap under a stick at `place` hangs on the state: it rests on two places and may bow."""
    n = face.line.size
    row[:] = 0.0
    low = min(int(place), n - 2)
    part = place - low
    share = (place - outboard) / (inboard - outboard)
    row[inboard] += share
    row[outboard] += 1.0 - share
    row[low] -= 1.0 - part
    row[low + 1] -= part
    last = n - 1.0
    bow = 4.0 * (place / last) * (1.0 - place / last)
    at_in = 4.0 * (inboard / last) * (1.0 - inboard / last)
    at_out = 4.0 * (outboard / last) * (1.0 - outboard / last)
    row[n + BOW] = bow - share * at_in - (1.0 - share) * at_out


@compiled
def take_stick(
    face: Face, bearings: tuple[int, int], zone: Array, shims: Array, edges: Array, error: float
) -> None:
    """Take in a stick laid on the face.

    Parameters
    ----------
    face
        Changed in place.
    bearings
        Places at which it touches, the inboard one first, grid steps.
    zone
        (n,) how many of the shims go under at each place; below 0: not felt.
    shims
        (s,) their thicknesses, rising, metres.
    edges
        (e, 2) where a shim binds: place in grid steps, thickness.
    error
        Standard error of the stick and the feeling, metres.
    """
    n = face.line.size
    inboard, outboard = bearings
    row = np.zeros(face.mean.size)
    for e in range(edges.shape[0]):
        place, shim = edges[e, 0], edges[e, 1]
        low = min(int(place), n - 2)
        slope = abs(face.mean[low + 1] - face.mean[low])
        stick_row(face, inboard, outboard, place, row)
        take(face, row, shim, error * error + (STICK_EDGE * slope) ** 2)
    for k in range(0, n, 2):
        count = int(zone[k])
        if count < 0 or k in (inboard, outboard):
            continue
        low_gap = shims[count - 1] if count > 0 else 0.0
        high_gap = shims[count] if count < shims.size else 1.0
        stick_row(face, inboard, outboard, float(k), row)
        take_between(face, row, low_gap, high_gap, error * error)
