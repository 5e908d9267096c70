"""The trench: how deep a plane may sink beside the foam, when the foam comes down, when to measure.

A body wider than its iron rides on the foam beside after one chip. One that is hardly wider may sink an
eighth; any other lays its tracks side by side, the first layer widest, so that the body finds room in the
last one.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import TRENCH, Plane
from foamwright.cuts.counting import Marks
from foamwright.cuts.planing import planed
from foamwright.cuts.run import FoamDown, Place, Run, Stop, Stroke
from foamwright.units import INCH

Array = NDArray[np.float64]

STRAIGHT = INCH / 10
"""A body wider than its iron by no more than this goes down a straight-sided trench."""

FIRST_LOOK = 2
"""Strokes after which a plane whose chip nobody has measured is measured."""


def layers_in(chip: float) -> int:
    """Return how many chips deep a trench may be, at least one."""
    return max(1, int(TRENCH / chip + 1e-9))


def tracks_of(plane: Plane, chip: float) -> int:
    """Return how many tracks of the iron lie side by side so that the body gets down the trench.

    The last layer is one iron wide; each layer above must let the body of the one below in, whose outer
    tracks stand over by half the difference on both sides.
    """
    over = plane.width - plane.iron
    if over <= STRAIGHT + 1e-9:
        return 1
    return ceil((plane.iron + (layers_in(chip) - 1) * over) / plane.iron - 1e-9)


def foam_downs(strokes: Sequence[Stroke]) -> tuple[FoamDown, ...]:
    """Return when the foam comes down: whenever the trench is as deep as it may be, and at the end.

    Every stroke crosses the tip, so the trench there is as deep as strokes were made since.
    """
    if not strokes:
        return ()
    layers = layers_in(strokes[0].chip)
    when = range(layers, len(strokes), layers)
    strips = [FoamDown(k, strokes[k - 1].start_from_tip, whole=False) for k in when]
    return (*strips, FoamDown(len(strokes), strokes[-1].start_from_tip, whole=True))


def stops(run: Run, marks: Marks) -> tuple[tuple[Stop, ...], Array]:
    """Return when to measure (after two strokes, at every foam-down), and the heights at the end.

    What is expected is the height by the nominal mechanics. Under ``target + chips still to come`` the
    strokes to come might go too deep: with every chip whole they would end below the target.
    """
    when = sorted({min(FIRST_LOOK, len(run.strokes)), *(one.after_strokes for one in run.foam_down)} - {0})
    found, heights, made = [], run.before, 0
    for after in when:
        heights = planed(run.x, heights, run.plane, run.strokes[made:after])
        made = after
        to_come = sum(one.chip for one in run.strokes[after:])
        reach = max(run.strokes[after - 1].start_from_tip, marks.fine)
        places = tuple(
            Place(at, run.at(heights, at), run.at(run.target, at) + to_come)
            for at in marks.read
            if at <= reach
        )
        found.append(Stop(after, places))
    return tuple(found), heights
