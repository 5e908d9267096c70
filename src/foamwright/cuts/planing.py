"""Strokes simulated on a face: the compiled kernels in metres, nominal and bounding."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.cuts.run import Lifted, Stroke
from foamwright.errors import FaultError
from foamwright.shape.kernels.planing import full_stroke, heel_stroke

Array = NDArray[np.float64]

SNAP = 1e-7
"""Part of a grid step: a mark this close to a grid point lies on it."""


class Mechanics(StrEnum):
    """What a sole rides on: what it has just cut (nominal), or nothing at all (the bound)."""

    HEEL = "heel on the fresh cut"
    FULL = "full chip everywhere"


def planed(
    x: Array,
    heights: Array,
    plane: Plane,
    strokes: Iterable[Stroke | Lifted],
    mechanics: Mechanics = Mechanics.HEEL,
) -> Array:
    """Return the heights after strokes, in order.

    Parameters
    ----------
    x, heights
        Uniform grid from 0 to the tip and heights outwards from the foam on it, metres, shape (n,).
    plane
        Its sole rides on the face.
    strokes
        Each starts at the first grid point that is not inboard of its mark, so that none cuts too early.
    mechanics
        Nominal or bounding.
    """
    step, length = float(x[-1]) / (x.size - 1), float(x[-1])
    sole = sole_steps(plane, step)
    worn = np.array(heights, dtype=np.float64)
    for one in strokes:
        begin, end = (one.begin, one.end) if isinstance(one, Lifted) else (one.start_from_tip, None)
        first = ceil((length - begin) / step - SNAP)
        last = x.size if end is None else floor((length - end) / step + SNAP) + 1
        if mechanics is Mechanics.HEEL:
            heel_stroke(worn, first, last, sole, one.chip)
        else:
            full_stroke(worn, first, last, one.chip)
    return worn


def sole_steps(plane: Plane, step: float) -> tuple[float, float]:
    """Return how far a sole reaches behind and ahead of its iron, in steps of a grid.

    Raises
    ------
    FaultError
        The grid is coarser than the sole: it cannot show what the sole rides on.
    """
    behind, ahead = (plane.sole - plane.mouth) / step, plane.mouth / step
    if min(behind, ahead) < 1.0:
        raise FaultError("A run's grid is coarser than the plane's sole.")
    return behind, ahead
