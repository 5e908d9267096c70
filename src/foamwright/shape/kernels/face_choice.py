"""Which strokes are safe and worth making on a face as it is known, where to read, and when it is done."""

from __future__ import annotations

from math import floor, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.face_filter import FACTOR, REACH, ZERO, Face, Hands, stroke_known, support

Array = NDArray[np.float64]

LIFTING = 1.05
"""How much more a lifted stroke must be worth than one that runs off, which is easier to make."""

LEAST_WORTH, LEAST_FINE = 0.25, 0.8
"""A stroke must be worth this share of its chip over the shortest lifted stroke; at the fine end, this share
of its chip at one place."""

LEAST_DONE = 0.1
"""A stroke that, followed from its mark, takes less than this share of what it was chosen for is not made."""

NEARLY = 0.6
"""Foam comes down first where the best stroke is worth less than this share of one the trench forbids."""


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
    shortest: float
    patience: float
    tip: float
    nearest: float
    read: float
    trench: float


@compiled
def worth_of(left: float, cut: float) -> float:
    """Return how much of a cut is wanted: foam above the target, less what goes below it."""
    return min(cut, max(left, 0.0)) - max(0.0, min(cut, cut - left))


@compiled
def wander_of(hands: Hands) -> int:
    """Return how many places farther than marked a stroke is taken to reach, as `stroke_known` follows it."""
    return floor(REACH * hands.start)


@compiled
def doubts(face: Face, hands: Hands, chip: float, after: Array) -> None:
    """Write the variance of each place after a stroke of a chip that is cut whole there."""
    n = face.line.size
    f = n + FACTOR
    own = chip * chip * (face.cov[f, f] + (hands.each * face.mean[f]) ** 2)
    for k in range(n):
        after[k] = face.cov[k, k] - 2.0 * chip * face.cov[k, f] + own


@compiled
def cut_at(worn: Array, height: Array, k: int, hands: Hands, taken: float, out: Array) -> float:
    """Return what a stroke that takes `taken` cuts at a place, and write what it leaves there into `worn`."""
    support(worn, height, k, hands, out)
    cut: float = max(0.0, height[k] - out[0] + taken)
    worn[k] = height[k] - cut
    return cut


class Trial(NamedTuple):
    """Strokes of one chip, followed from one start after the other, from inboard outwards.

    Away from its start a stroke cuts what the stroke before it would have cut: it is followed only until its
    heel rides on the same heights, and what was found farther out holds for it too.

    Attributes
    ----------
    height, worn
        (n,) the face before the stroke, and what it leaves, metres.
    gain
        (n,) what the cut at each place is worth.
    flags
        (n,) sum of `UNSAFE`, `NEVER` and `DEEP`, where a stroke is so.
    total
        (n,) what the stroke is worth if lifted at each place.
    reach
        (1,) outermost place up to which the stroke before was followed.
    """

    height: Array
    worn: Array
    gain: Array
    flags: NDArray[np.int64]
    total: Array
    reach: NDArray[np.int64]


UNSAFE, NEVER, DEEP = 1, 2, 4
"""Flags of a place: the cut is unsafe there; it would be with everything read; the trench is too deep."""

SAME = 1e-9
"""Heights as near as this are one height, metres: a ten-thousandth of what a stick can tell."""


@compiled
def flags_at(face: Face, hands: Hands, care: Care, k: int, cut: float, after: float, read: float) -> int:
    """Return whether a cut is unsafe at a place, and whether it would be with everything read."""
    if cut <= 0.0:
        return 0
    rough = (hands.rough * cut) ** 2
    low = face.mean[k] - cut + care.tolerance
    found = 0
    if low < care.safe * sqrt(max(after + rough, 0.0)):
        found += UNSAFE
    if low < care.safe * sqrt(read + rough):
        found += NEVER
    return found


@compiled
def try_start(
    face: Face, hands: Hands, care: Care, chip: float, start: int, after: Array, trench: Array, trial: Trial
) -> tuple[int, int, int]:
    """Follow a stroke from a start in the mean, starts going outwards from call to call.

    Returns
    -------
    tuple of int
        The first place, going outward, at which it is unsafe; at which it would be unsafe with everything
        read; at which the trench is too deep for it. -1: none.
    """
    n = face.line.size
    taken = face.mean[n + FACTOR] * chip
    read = care.read**2 + (taken * hands.each) ** 2
    first, out = min(n - 1, start + wander_of(hands)), np.zeros(4)
    for k in range(first + 1, min(n, first + 1 + hands.behind)):
        trial.worn[k] = trial.height[k]
    unsafe_at, never_at, trench_at = -1, -1, -1
    worth, same, reach = 0.0, 0, trial.reach[0]
    trial.reach[0] = 0
    for k in range(first, -1, -1):
        if same < hands.behind or k < reach:
            was = trial.worn[k]
            cut = cut_at(trial.worn, trial.height, k, hands, taken, out)
            same = same + 1 if k >= reach and abs(trial.worn[k] - was) < SAME else 0
            trial.gain[k] = worth_of(face.mean[k], cut)
            trial.flags[k] = flags_at(face, hands, care, k, cut, after[k], read)
            if trench[k] + cut > care.trench + 1e-9:
                trial.flags[k] += DEEP
        found = trial.flags[k]
        if found > 0:
            unsafe_at = k if unsafe_at < 0 and found & UNSAFE else unsafe_at
            never_at = k if never_at < 0 and found & NEVER else never_at
            trench_at = k if trench_at < 0 and found & DEEP else trench_at
        if k <= start:
            worth += trial.gain[k]
        trial.total[k] = worth
        if unsafe_at >= 0 and never_at >= 0:
            trial.reach[0] = reach if same >= hands.behind else k
            break
    return unsafe_at, never_at, trench_at


@compiled
def most_worth(face: Face, chip: float) -> Array:
    """Return (n,) what a stroke from each place could be worth at most: its whole chip where it is wanted."""
    n = face.line.size
    taken = face.mean[n + FACTOR] * chip
    most, total = np.zeros(n), 0.0
    for k in range(n):
        total += min(taken, max(face.mean[k], 0.0))
        most[k] = total
    return most


@compiled
def best_stroke(face: Face, hands: Hands, care: Care, chip: float, trench: Array, best: Array) -> None:
    """Find the stroke of a chip that is worth most, among safe ones and among those that readings may free.

    Parameters
    ----------
    face, hands, care
        The face as known, and how it is treated.
    chip
        As set, metres.
    trench
        (n,) how deep each place lies below the foam beside it, metres.
    best
        (7,) written: worth, start and end of the best safe stroke; worth of the best that readings may free;
        worth of the best that only the trench forbids; start and end of the one that readings may free.
    """
    n = face.line.size
    after, total, height = np.zeros(n), np.zeros(n), face.line + face.mean[:n]
    doubts(face, hands, chip, after)
    flags, reach = np.zeros(n, dtype=np.int64), np.full(1, n, dtype=np.int64)
    trial = Trial(height, height.copy(), np.zeros(n), flags, total, reach)
    best[:] = 0.0
    best[1], best[2], best[5], best[6] = -1.0, -1.0, -1.0, -1.0
    run_off, shortest, wander = face.mean[0] > care.tip, int(care.shortest), wander_of(hands)
    most = most_worth(face, chip)
    for start in range(n - 1, int(care.nearest) - 1, -1):
        if most[start] <= min(best[0], best[3]):
            # Nearer to the tip less is wanted still.
            break
        if face.mean[start] <= 0.0 and start > shortest:
            # Nothing is wanted where it would start: a stroke from nearer the tip serves better.
            continue
        unsafe_at, never_at, trench_at = try_start(face, hands, care, chip, start, after, trench, trial)
        if run_off and never_at < 0 and total[0] > best[3]:
            best[3], best[5], best[6] = total[0], start, -1.0
        if run_off and unsafe_at < 0:
            if trench_at >= 0:
                best[4] = max(best[4], total[0])
            elif total[0] > best[0]:
                best[0], best[1], best[2] = total[0], start, -1.0
        # A lifted stroke may wander off the tip only where it would be safe there too.
        for end in range(start - shortest, wander - 1, -1):
            reach_out = end - wander
            if never_at >= reach_out and unsafe_at >= reach_out:
                break
            # A stroke that is lifted must be worth a little more than one that runs off.
            if never_at < reach_out and total[end] > LIFTING * best[3]:
                best[3], best[5], best[6] = total[end], start, end
            if unsafe_at < reach_out and trench_at >= reach_out:
                best[4] = max(best[4], total[end])
            elif unsafe_at < reach_out and total[end] > LIFTING * best[0]:
                best[0], best[1], best[2] = total[end], start, end


@compiled
def in_the_way(face: Face, hands: Hands, care: Care, chip: float, wanted: Array, weight: Array) -> None:
    """Write how much the doubt at each place matters: what keeps the wanted stroke from being safe.

    Without a wanted stroke: what keeps the face from being done.
    """
    n = face.line.size
    taken = face.mean[n + FACTOR] * chip
    weight[:] = 0.0
    if wanted[3] > LEAST_WORTH * taken * care.shortest:
        after, height, out = np.zeros(n), face.line + face.mean[:n], np.zeros(4)
        worn = height.copy()
        doubts(face, hands, chip, after)
        wander = wander_of(hands)
        first = min(n - 1, int(wanted[5]) + wander)
        last = max(0, int(wanted[6]) - wander) if wanted[6] >= 0.0 else 0
        for k in range(first, last - 1, -1):
            cut = cut_at(worn, height, k, hands, taken, out)
            spread = sqrt(max(after[k] + (hands.rough * cut) ** 2, 0.0))
            if cut > 0.0 and face.mean[k] - cut + care.tolerance < care.safe * spread:
                weight[k] = 1.0
        if weight.max() > 0.0:
            return
    for k in range(n):
        if face.mean[k] + care.sure * sqrt(max(face.cov[k, k], 0.0)) > care.tolerance:
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
def choose(
    face: Face, hands: Hands, care: Care, chips: Array, trench: Array, fine: float, best: Array
) -> tuple[float, bool]:
    """Choose the next stroke, coarse chips first: its chip (0: none), and whether foam comes down first."""
    n = face.line.size
    deepest = face.mean[:n].max()
    for c in range(chips.size):
        best_stroke(face, hands, care, chips[c], trench, best)
        taken = chips[c] * face.mean[n + FACTOR]
        least = LEAST_WORTH * taken * care.shortest if deepest >= fine else LEAST_FINE * taken
        if best[4] > max(best[0], least) and best[0] < NEARLY * best[4]:
            return 0.0, True
        if best[0] >= least and (deepest < fine or best[0] >= care.patience * best[3]):
            return chips[c], False
    return 0.0, False


@compiled
def list_strokes(
    face: Face, hands: Hands, care: Care, chips: Array, trench: Array, fine: float, strokes: Array
) -> int:
    """Choose the strokes until the next stop and follow them.

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
    strokes
        (most, 3) written: start, end, chip of each.

    Returns
    -------
    int
        How many; ``-1 - how many`` where the foam must come down then.
    """
    n = face.line.size
    best, before = np.zeros(7), np.zeros(n)
    for count in range(strokes.shape[0]):
        chip, foam_first = choose(face, hands, care, chips, trench, fine, best)
        if chip <= 0.0:
            return -1 - count if foam_first else count
        before[:] = face.mean[:n]
        stroke_known(face, hands, best[1], best[2], chip)
        if (before - face.mean[:n]).sum() < LEAST_DONE * best[0]:
            # Its heel would ride up before the start: such a stroke would be chosen again and again.
            return count
        strokes[count, 0], strokes[count, 1], strokes[count, 2] = best[1], best[2], chip
        trench += before - face.mean[:n]
    return int(strokes.shape[0])
