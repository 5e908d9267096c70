"""The foam that remains: the as-is solid along the stringer, on the careful side of what is known."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamwright.bench.as_is import Part, Stretch
from foamwright.bench.plan_file import JobPlan
from foamwright.blank.numbers import BlankNumbers
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName

CAREFUL = 1.2815515655446004
"""Standard errors by which the foam is taken to be smaller than expected (its 90 % quantile)."""


@dataclass(frozen=True, eq=False)
class FoamLeft:
    """A solid in the board's frame.

    Attributes
    ----------
    x
        (N,) stations from the tail tip.
    bottom, deck
        (N,) heights at the stringer above the board's level line.
    half
        (N,) half the outline.
    """

    x: Floats
    bottom: Floats
    deck: Floats
    half: Floats

    def short(self, x: Floats, bottom: Floats, deck: Floats, half: Floats) -> Floats:
        """Return (3, M) by how much a board stands out of the foam at `x`; below 0: foam to spare."""
        low, high, wide = (np.interp(x, self.x, face) for face in (self.bottom, self.deck, self.half))
        return np.array([low - bottom, deck - high, half - wide])


@dataclass(frozen=True, eq=False)
class AsIsBlank:
    """The remaining foam in the terms of a blank, for planning on from it: in the board's own frame.

    Attributes
    ----------
    foam
        What remains.
    numbers
        Of the blank that it was.
    """

    foam: FoamLeft
    numbers: BlankNumbers

    @property
    def id(self) -> str:
        """What it is called."""
        return f"{self.numbers.id}, as it is"

    @property
    def length(self) -> float:
        """Length, metres."""
        return float(self.foam.x[-1])

    def bottom(self, x: ArrayLike) -> Floats:
        """Return the bottom at the stringer at `x`."""
        return np.asarray(np.interp(np.asarray(x, dtype=float), self.foam.x, self.foam.bottom))

    def deck(self, x: ArrayLike) -> Floats:
        """Return the deck at the stringer at `x`."""
        return np.asarray(np.interp(np.asarray(x, dtype=float), self.foam.x, self.foam.deck))

    def half_width(self, x: ArrayLike) -> Floats:
        """Return half the outline at `x`."""
        return np.asarray(np.interp(np.asarray(x, dtype=float), self.foam.x, self.foam.half))

    def dome(self, x: ArrayLike) -> Floats:
        """Return the deck's dome at `x`: none is measured, so none is counted on."""
        return np.zeros_like(np.asarray(x, dtype=float))


def foam_left(plan: JobPlan, found: Sequence[Stretch]) -> FoamLeft:
    """Return the foam that remains after everything that was told.

    A part of which nothing was told stands as the last stage that was begun has it; what was told counts by
    its careful side.
    """
    stage = _latest(plan, found)
    faces = plan.stages[stage] if stage is not None else plan.stages[StageName.BLANK]
    before = plan.before(stage) if stage is not None else faces
    # What a stage that has begun will still take from a face is there until it is told to be gone.
    bottom = np.minimum(before.bottom, faces.bottom).copy()
    deck = np.maximum(before.deck, faces.deck).copy()
    half = np.maximum(before.half_width, faces.half_width).copy()
    for one in found:
        if one.last:
            _apply(one, plan, (bottom, deck, half))
    return FoamLeft(plan.x, bottom, deck, half)


def _latest(plan: JobPlan, found: Sequence[Stretch]) -> StageName | None:
    begun = [plan.order.index(one.stage) for one in found if one.last]
    return plan.order[max(begun)] if begun else None


def _apply(stretch: Stretch, plan: JobPlan, faces: tuple[Floats, Floats, Floats]) -> None:
    """Put a stretch's careful surface onto the faces, where it holds."""
    bottom, deck, half = faces
    inside = np.array([stretch.holds(float(x)) for x in plan.x])
    told = np.array([stretch.at(float(x)) for x in plan.x[inside]]).reshape(-1, 2)
    # Doubt alone is no over-cut: it eats up the sanding allowance, and more only where more is found gone.
    least = np.minimum(told[:, 0], -plan.finish)
    left = np.maximum(told[:, 0] - CAREFUL * told[:, 1], least)
    wanted = plan.stages[stretch.stage]
    if stretch.part is Part.BOTTOM:
        bottom[inside] = wanted.bottom[inside] - left
    elif stretch.part is Part.DECK:
        deck[inside] = wanted.deck[inside] + left
    elif stretch.part is Part.EDGE:
        half[inside] = wanted.half_width[inside] + left
    elif stretch.stage is _latest_of_both(plan):
        # Calipers do not say which face: what is missing is taken from the deck, which is cut last.
        deck[inside] = wanted.deck[inside] + left


def _latest_of_both(plan: JobPlan) -> StageName:
    return StageName.THICKNESS if StageName.THICKNESS in plan.order else plan.order[0]
