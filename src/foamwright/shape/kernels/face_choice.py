"""Which strokes are safe and worth making on a face as it is known, where to read, and when it is done."""

from __future__ import annotations

from math import ceil, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.face_filter import FACTOR, ZERO, Face, Hands, stroke_known, support

Array = NDArray[np.float64]


class Care(NamedTuple):
    """How careful strokes are chosen; lengths in metres, distances in grid steps.

    Attributes
    ----------
    tolerance
        How far from the target a finished face may be.
    safe
        Standard errors that a stroke keeps to the tolerance below.
    sure
        Standard errors with which a face is called done.
    wander
        How much farther than marked a stroke is taken to reach.
    shortest
        Least length of a lifted stroke.
    patience
        A list ends when the best safe stroke is worth less than this share of the best one of any kind.
    tip
        With less than this left at the tip nothing runs off it.
    nearest
        No run-off starts nearer to the tip.
    read
        Standard error that readings leave at a place: with it, a stroke held back by doubt is told from one
        that nobody should make.
    trench
        Deepest trench before the foam comes down.
    """

    tolerance: float
    safe: float
    sure: float
    wander: float
    shortest: float
    patience: float
    tip: float
    nearest: float
    read: float
    trench: float


@compiled
def worth_of(left: float, cut: float, floor_at: float) -> float:
    """Return how much of a cut is wanted: foam above `floor_at`, less what goes below it."""
    return max(left - floor_at, 0.0) - max(left - cut - floor_at, 0.0)


@compiled
def best_stroke(face: Face, hands: Hands, care: Care, chip: float, trench: Array, best: Array) -> None:
    """Find the stroke of a chip that is worth most, among safe ones and among all.

    Parameters
    ----------
    face, hands, care
        The face as known, and how it is treated.
    chip
        As set, metres.
    trench
        (n,) how deep each place lies below the foam beside it, metres.
    best
        Written: worth of the best safe stroke, its start, its end; worth of the best of all; whether the
        trench alone forbids a better one.
    """
    n = face.line.size
    mean, cov = face.mean, face.cov
    f = n + FACTOR
    height, out = np.zeros(n), np.zeros(4)
    taken = mean[f] * chip
    floor_at = 0.0
    own = chip * chip * (cov[f, f] + (hands.each * mean[f]) ** 2)
    read = care.read**2 + (chip * hands.each * mean[f]) ** 2
    wander = int(ceil(care.wander))
    best[:] = 0.0
    best[1], best[2], best[5], best[6] = -1.0, -1.0, -1.0, -1.0
    ok = np.zeros(n)
    for k in range(n):
        ok[k] = cov[k, k] - 2.0 * chip * cov[k, f] + own
    total = np.zeros(n)
    state = np.zeros(n)
    shortest = int(care.shortest)
    run_off = mean[0] > care.tip
    for start in range(n - 1, int(care.nearest) - 1, -1):
        if mean[start] <= floor_at and start > shortest:
            # Nothing is wanted where it would start: a stroke from nearer the tip serves better.
            continue
        first = min(n - 1, start + wander)
        for k in range(first + 1):
            height[k] = face.line[k] + mean[k]
        for k in range(first + 1, min(n, first + hands.behind + 1)):
            height[k] = face.line[k] + mean[k]
        worth = 0.0
        unsafe_at, never_at, trench_at = -1, -1, -1
        for k in range(first, -1, -1):
            support(height, k, hands.behind, hands.ahead, out)
            cut = max(0.0, height[k] - out[0] + taken)
            height[k] -= cut
            after = mean[k] - cut
            if cut > 0.0 and unsafe_at < 0:
                spread = ok[k] + (hands.rough * cut) ** 2
                if after - care.safe * sqrt(max(spread, 0.0)) < -care.tolerance:
                    unsafe_at = k
            if cut > 0.0 and never_at < 0:
                spread = read + (hands.rough * cut) ** 2
                if after - care.safe * sqrt(spread) < -care.tolerance:
                    never_at = k
            if trench_at < 0 and trench[k] + cut > care.trench + 1e-9:
                trench_at = k
            if k <= start:
                worth += worth_of(mean[k], cut, floor_at) - max(0.0, min(cut, -after))
            total[k] = worth
        whole = total[0]
        if run_off:
            if never_at < 0:
                if whole > best[3]:
                    best[3], best[5], best[6] = whole, start, -1.0
            if unsafe_at < 0:
                if trench_at >= 0:
                    best[4] = max(best[4], whole)
                elif whole > best[0]:
                    best[0], best[1], best[2] = whole, start, -1.0
        top, top_at = 0.0, -1
        for end in range(start - shortest, wander, -1):
            if never_at < end - wander:
                if total[end] > 1.05 * best[3]:
                    best[3], best[5], best[6] = total[end], start, end
            if unsafe_at >= end - wander:
                continue
            if total[end] > top and trench_at < end - wander:
                top, top_at = total[end], end
            if trench_at >= end - wander:
                best[4] = max(best[4], total[end])
        if top_at >= 0 and top > best[0] * 1.05:
            best[0], best[1], best[2] = top, start, top_at


@compiled
def in_the_way(face: Face, hands: Hands, care: Care, chip: float, wanted: Array, weight: Array) -> None:
    """Write how much the doubt at each place matters: what keeps the wanted stroke from being safe.

    Without a wanted stroke: what keeps the face from being done.
    """
    n = face.line.size
    mean, cov = face.mean, face.cov
    f = n + FACTOR
    height, out = np.zeros(n), np.zeros(4)
    weight[:] = 0.0
    if wanted[3] > 0.25 * chip * care.shortest:
        own = chip * chip * (cov[f, f] + (hands.each * mean[f]) ** 2)
        for k in range(n):
            height[k] = face.line[k] + mean[k]
        first = min(n - 1, int(wanted[5]) + int(ceil(care.wander)))
        last = max(0, int(wanted[6]) - int(ceil(care.wander))) if wanted[6] >= 0.0 else 0
        for k in range(first, last - 1, -1):
            support(height, k, hands.behind, hands.ahead, out)
            cut = max(0.0, height[k] - out[0] + mean[f] * chip)
            height[k] -= cut
            spread = cov[k, k] - 2.0 * chip * cov[k, f] + own + (hands.rough * cut) ** 2
            if cut > 0.0 and mean[k] - cut - care.safe * sqrt(max(spread, 0.0)) < -care.tolerance:
                weight[k] = 1.0
        if weight.max() > 0.0:
            return
    for k in range(n):
        spread = sqrt(max(cov[k, k], 0.0))
        if mean[k] + care.sure * spread > care.tolerance:
            weight[k] = 1.0


@compiled
def best_place(face: Face, weight: Array, variance: float, asked: Array) -> int:
    """Return the place at which a gauge reading takes most doubt from the places that matter; -1: none."""
    n = face.line.size
    cov = face.cov
    best, place = 0.0, -1
    z = n + ZERO
    for k in range(n):
        if asked[k] > 0.0:
            continue
        total = cov[k, k] + 2.0 * cov[k, z] + cov[z, z] + variance
        gain = 0.0
        for j in range(n):
            if weight[j] > 0.0:
                gain += weight[j] * (cov[j, k] + cov[j, z]) ** 2 / total
        if gain > best:
            best, place = gain, k
    return place


@compiled
def done(face: Face, care: Care) -> bool:
    """Tell whether every place is within the tolerance above, and below, with the confidence asked."""
    for k in range(face.line.size):
        spread = sqrt(max(face.cov[k, k], 0.0))
        if face.mean[k] + care.sure * spread > care.tolerance:
            return False
    return True


@compiled
def list_strokes(
    face: Face, hands: Hands, care: Care, chips: Array, trench: Array, fine: float, most: int, strokes: Array
) -> int:
    """Choose the strokes until the next stop and follow them; return how many, negative if foam comes first.

    Parameters
    ----------
    face, hands, care
        Changed in place: the face after the strokes.
    chips
        Settings of the iron, coarse first, metres.
    trench
        (n,) changed in place.
    fine
        With less than this left everywhere all safe strokes are made in one go, metres.
    most
        Strokes at most.
    strokes
        (most, 3) written: start, end, chip of each.
    """
    n = face.line.size
    best = np.zeros(7)
    before = np.zeros(n)
    count = 0
    foam = False
    while count < most:
        deepest = 0.0
        for k in range(n):
            deepest = max(deepest, face.mean[k])
        found = False
        for c in range(chips.size):
            chip = chips[c]
            best_stroke(face, hands, care, chip, trench, best)
            least = 0.25 * chip * care.shortest if deepest >= fine else 0.8 * chip
            if best[4] > max(best[0], least) and best[0] < 0.6 * best[4]:
                foam = True
                break
            patient = deepest < fine or best[0] >= care.patience * best[3]
            if best[0] >= least and patient:
                found = True
                break
            if deepest >= fine and c == 0 and best[3] >= least and best[0] < care.patience * best[3]:
                # The coarse iron is stopped by doubt: a reading serves better than a finer chip.
                pass
        if foam or not found:
            break
        strokes[count, 0], strokes[count, 1], strokes[count, 2] = best[1], best[2], chip
        for k in range(n):
            before[k] = face.mean[k]
        stroke_known(face, hands, best[1], best[2], chip)
        for k in range(n):
            trench[k] += before[k] - face.mean[k]
        count += 1
    return count if not foam else -1 - count
