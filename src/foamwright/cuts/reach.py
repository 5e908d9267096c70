"""How low a flat plane can get in a hollow, straight and turned: a bound that no order of strokes beats."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from foamwright.cuts.runs import HollowRegion, Obstacle, Strokes
from foamwright.cuts.simulation import Workpiece
from foamwright.units import INCH

Array = NDArray[np.float64]

SKEWS_DEG = (0.0, 15.0, 30.0, 45.0, 60.0)
"""Straight, and the turns a person can hold by eye; the least one that reaches is used."""


SHORT = 1.0 * INCH
"""Stretches shorter than this take the turn of their neighbour: nobody turns a plane for an inch."""


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """What run-offs with one plane reach.

    Attributes
    ----------
    skew_deg
        The least skew that reaches all that any skew reaches.
    lowest
        Heights (metres) that no run-offs with this plane get below without cutting under the target.
    least
        Least skew (degrees) that reaches at each point, ``nan`` where none does.
    """

    skew_deg: float
    lowest: Array
    least: Array


def lowest_surface(work: Workpiece, before: Array, target: Array, chip: float, skew_deg: float) -> Array:
    """Return the lowest face that run-offs of one chip and skew can leave without going under the target.

    Strokes over the whole length, each clamped at the target. A stroke never leaves less on a higher
    face, so whatever real run-offs do while they respect the target, they stay on or above this. There are
    only as many as the depth at the tip allows: the last point carries the sole itself, so every run-off
    takes its full chip there, also where a hollow inboard of it lets the iron take less.
    """
    whole = Strokes(work.length, 1, chip, skew_deg)
    floor = np.minimum(target, before)
    heights = before
    for _ in range(ceil((before[-1] - floor[-1]) / chip - 1e-9)):
        lower = np.maximum(work.after_stroke(heights, whole), floor)
        if np.array_equal(lower, heights):
            break
        heights = lower
    return heights


def find_reach(
    work: Workpiece, before: Array, target: Array, chips: tuple[float, ...], within: float
) -> Reach:
    """Return where run-offs reach to within `within` metres of the target, straight or turned."""
    chip = max(chips)
    least = np.full(target.size, np.nan)
    lowest = before
    best = SKEWS_DEG[0]
    for skew in SKEWS_DEG:
        surface = lowest_surface(work, before, target, chip, skew)
        fresh = np.isnan(least) & (surface - target <= within)
        best = skew if fresh.any() else best
        least[fresh] = skew
        lowest = np.minimum(lowest, surface)
        if not np.isnan(least).any():
            break
    return Reach(best, lowest, least)


def find_hollows(
    reach: Reach, x: Array, left: tuple[Array, Array], tolerance: float
) -> tuple[HollowRegion, ...]:
    """Return the stretches where the plane must be turned, and those that run-offs leave too high.

    Parameters
    ----------
    reach
        Of the plane.
    x
        Grid of the run, metres.
    left
        What stands above the target on it after the run-offs, and after the lifted strokes, metres.
    tolerance
        Above which a place counts as not reached, metres.
    """
    limit = tolerance + 1e-9
    turn = np.where(np.isnan(reach.least), reach.skew_deg, reach.least)
    need = np.where(left[0] > limit, np.where(left[1] > limit, _NEVER, _TIP_FIRST), turn)
    need = _without_short_parts(need, SHORT / float(x[1] - x[0]))
    return tuple(
        HollowRegion(
            float(x[part[0]]), float(x[part[-1]]), *_obstacle(need[part[0]], float(left[0][part].max()))
        )
        for part in _parts(need)
        if need[part[0]] > 0.0
    )


_TIP_FIRST, _NEVER = 1000.0, 2000.0


def _obstacle(need: float, left: float) -> tuple[Obstacle, float | None, float]:
    if need == _NEVER:
        return Obstacle.HOLLOW, None, left
    if need == _TIP_FIRST:
        return Obstacle.TIP_FIRST, None, left
    return Obstacle.STRAIGHT, float(need), left


def _parts(need: Array) -> list[NDArray[np.intp]]:
    """Return the points in stretches of one need."""
    return np.split(np.arange(need.size), np.flatnonzero(np.diff(need)) + 1)


def _without_short_parts(need: Array, points: float) -> Array:
    """Return needs with stretches of fewer points joined to the more demanding neighbour."""
    joined = need.copy()
    parts = _parts(need)
    for before, part, after in zip(parts, parts[1:], parts[2:], strict=False):
        if part.size < points:
            joined[part] = max(joined[before[0]], need[part[0]], need[after[0]])
    return joined
