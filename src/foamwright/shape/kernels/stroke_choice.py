"""Which stroke to make next on a profile that is known with doubt, and where to read it.

A stroke is a stretch and a chip. Among the stretches on which no point would be at risk, the one is taken
that brings the profile nearest to the level aimed at. While much is left, that level follows the highest
point down: what stands highest is planed first, so that all comes down to one even remainder before the
inboard end is touched, and the last strokes are made when the chip is known.
"""

from __future__ import annotations

from math import ceil, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.profile_filter import Known, factor_of
from foamwright.shape.kernels.strokes import stroke_into

Array = NDArray[np.float64]

FORBIDDEN = -1e9
"""Gain that marks a point at which a stroke would be a risk."""

NOT_CUT = 1e-7
"""Metres; a point lowered by less is not touched."""


class Care(NamedTuple):
    """How strokes and readings are chosen; lengths in metres.

    Attributes
    ----------
    tolerance
        A station is done within it and spoilt below it.
    caution
        Standard errors that must lie between a point after a stroke and the tolerance below the target.
    sure
        Standard errors that must lie between a finished station and the tolerance above the target.
    high, low
        Between them no stroke is worth anything: the band aimed at, above the target.
    behind
        How many coarse chips the level aimed at stays below the highest point while much is left.
    first
        Length from the tip that the first strokes take at least, grid steps.
    shortest
        Fewest grid points of a stroke.
    aside
        How many standard errors of a start an unsafe point must lie beyond a stroke's ends.
    worth
        Least gain (square metres, summed over grid points) for which a stroke is made.
    patience
        A safe stroke that gains less than this share of what an unsafe one would waits for a reading.
    opened
        Below this factor of the chip the plane is set coarser by as much.
    steepness
        Weight of standing below the band against standing above it: while much is left, and at the end.
    least_doubt, share_doubt
        Readings stop where the standard error is below the first, or below this share of what is left.
    need
        Share of the standard error that would just allow the next thing, to which readings bring it.
    station
        Every how many grid points from the tip lies a station that must be finished.
    """

    tolerance: float
    caution: float
    sure: float
    high: float
    low: float
    behind: float
    first: float
    shortest: float
    aside: float
    worth: float
    patience: float
    opened: float
    steepness: tuple[float, float]
    least_doubt: float
    share_doubt: float
    need: float
    station: float


@compiled
def excess(height: float, low: float, high: float, steepness: float) -> float:
    """Return the squared distance from the band between `low` and `high`, weighted below it."""
    if height > high:
        return (height - high) ** 2
    return steepness * (low - height) ** 2 if height < low else 0.0


@compiled
def aim_of(known: Known, coarse: float, care: Care) -> tuple[float, float, float]:
    """Return the band aimed at now (low, high) and the weight below it."""
    n = known.target.shape[0]
    top = 0.0
    for k in range(n):
        top = max(top, known.mean[k])
    level = min(top - care.behind * coarse, known.mean[max(0, n - 1 - int(care.first))])
    if level > care.high:
        return level - (care.high - care.low), level, care.steepness[0]
    return care.low, care.high, care.steepness[1]


@compiled
def doubt_after(known: Known, k: int, chip: float) -> float:
    """Return the standard error of point `k` after a stroke of one chip, on the careful side."""
    n = known.target.shape[0]
    cov, factor = known.cov, factor_of(known)
    common = max(cov[n, n], 0.0) + (known.noise[1] * factor) ** 2
    return sqrt(max(cov[k, k] - 2.0 * chip * min(cov[k, n], 0.0) + chip * chip * common, 0.0))


@compiled
def gains_into(known: Known, chip: float, band: tuple[float, float, float], care: Care) -> float:
    """Write what a stroke would gain at each point, `FORBIDDEN` where it is a risk.

    Returns
    -------
    float
        Greatest gain of any stretch if nothing were a risk.
    """
    n = known.target.shape[0]
    surface, cut, gain = known.work[n + 1, :n], known.work[n + 8, :n], known.work[n + 9]
    window = np.array([known.reach[0], known.reach[1], chip * factor_of(known)])
    stroke_into(surface, 0, window, cut, known.chains)
    aside = ceil(care.aside * known.noise[0])
    gain[:n] = 0.0
    free, most = 0.0, 0.0
    for k in range(n):
        now, then = known.mean[k], cut[k] - known.target[k]
        if now - then <= NOT_CUT:
            continue
        if then - care.caution * doubt_after(known, k, chip) < -care.tolerance:
            gain[max(0, k - aside) : min(n, k + aside + 1)] = FORBIDDEN
        better = excess(now, band[0], band[1], band[2]) - excess(then, band[0], band[1], band[2])
        if gain[k] > FORBIDDEN:
            gain[k] += better
        free = max(0.0, free + better)
        most = max(most, free)
    return most


@compiled
def best_stretch(gain: Array, total: Array, shortest: int) -> tuple[float, int, int]:
    """Return the greatest sum over a stretch of at least `shortest` points, none forbidden, and its ends.

    `total` is workspace, one longer than `gain`.
    """
    best, at, until = 0.0, -1, -1
    begin, low, lowest = 0, np.inf, 0
    total[0] = 0.0
    for k in range(gain.shape[0]):
        if gain[k] <= FORBIDDEN:
            begin, low = k + 1, np.inf
            total[k + 1] = 0.0
            continue
        total[k + 1] = total[k] + gain[k]
        start = k - shortest + 1
        if start >= begin:
            if total[start] <= low:
                low, lowest = total[start], start
            if total[k + 1] - low > best:
                best, at, until = total[k + 1] - low, lowest, k
    return best, at, until


@compiled
def choose_stroke(known: Known, chips: Array, care: Care, made: int, choice: Array) -> bool:
    """Write the next stroke into `choice`; tell whether there is one that is safe and worth making.

    Parameters
    ----------
    known
        What is known; only its workspace is written.
    chips
        Chips the plane can be set to, coarse first.
    care
        How to choose.
    made
        Strokes made since the last reading.
    choice
        (start, end, chip): first point under the iron, where it is lifted (beyond n: off the tip), chip set.
    """
    n = known.target.shape[0]
    factor = factor_of(known)
    opened = max(1.0, care.opened / factor) if factor < care.opened else 1.0
    for k in range(n):
        known.work[n + 1, k] = known.target[k] + known.mean[k]
    band = aim_of(known, chips[0] * opened * factor, care)
    best, wanted = 0.0, 0.0
    for chip in chips:
        most = gains_into(known, chip * opened, band, care)
        wanted = max(wanted, most)
        gain, at, until = best_stretch(known.work[n + 9, :n], known.work[n + 10], int(care.shortest))
        if gain > best:
            best = gain
            choice[0] = at
            choice[1] = n + 5 if until >= n - 2 else until
            choice[2] = chip * opened
    if best < care.worth:
        return False
    return made == 0 or best >= care.patience * wanted


@compiled
def doubt_allowed(known: Known, k: int, finest: float, care: Care) -> float:
    """Return the standard error at which point `k` (from the inboard end) needs no more readings."""
    n = known.target.shape[0]
    left = known.mean[k]
    need = (left + care.tolerance - finest * known.mean[n]) / care.caution
    if left < care.high and (n - 1 - k) % int(care.station) == 0:
        need = min(need, (care.tolerance - left) / care.sure)
    return max(care.least_doubt, care.share_doubt * left, care.need * need)  # type: ignore[no-any-return]


@compiled
def choose_place(known: Known, finest: float, care: Care) -> int:
    """Return the grid point whose reading settles most, or -1 where nothing needs one."""
    n = known.target.shape[0]
    place, worst = -1, 1.0
    # From the tip inboard, so that of equals the one nearest the tip is read.
    for k in range(n - 1, -1, -1):
        doubt = sqrt(max(known.cov[k, k], 0.0)) / doubt_allowed(known, k, finest, care)
        if doubt > worst:
            place, worst = k, doubt
    return place


@compiled
def settled(known: Known, care: Care) -> bool:
    """Tell whether every point is surely within the tolerance above the target."""
    for k in range(known.target.shape[0]):
        if known.mean[k] + care.sure * sqrt(max(known.cov[k, k], 0.0)) > care.tolerance:
            return False
    return True
