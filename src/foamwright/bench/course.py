"""A course: one planned run-off made ready for a trial, on a grid that counts from the tip."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from foamwright.bench.belief import Made, tip_grid
from foamwright.cuts.runs import Passes, RunPlan, RunTarget, Strokes
from foamwright.cuts.sole import Sole, turned
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.worn_trials import Foam
from foamwright.units import INCH

TRUE_GRID = INCH / 4
"""Spacing of the points of the face that is cut, twice as fine as what is known of it."""


@dataclass(frozen=True, eq=False)
class Course:
    """One run-off of a job.

    Attributes
    ----------
    target
        What is to be done.
    sole
        The plane's sole, turned as the plan says.
    chips
        Chips the plane can be set to, coarse first, metres.
    planned
        The planned strokes one by one.
    """

    target: RunTarget
    sole: Sole
    chips: Floats
    planned: tuple[Made, ...]

    def foam(self) -> Foam:
        """Return the face as it is before the first stroke."""
        at = tip_grid(self.target, TRUE_GRID)
        return Foam(
            height=np.interp(at, self.target.x, self.target.before),
            target=np.interp(at, self.target.x, self.target.target),
            step=TRUE_GRID,
            sole=np.array([self.sole.behind, self.sole.ahead]),
            spare=np.zeros(at.size),
            chains=np.zeros((2, at.size), dtype=np.int64),
        )

    def listed(self) -> Floats:
        """Return the planned strokes as (k, 3) rows: start, end (below 0: off the tip), chip."""
        rows = [(one.start, -1.0 if one.end is None else one.end, one.chip) for one in self.planned]
        return np.array(rows, dtype=np.float64).reshape(-1, 3)


def course_of(run: RunPlan) -> Course:
    """Return a planned run made ready."""
    skew = least_skew(run.strokes)
    chips = np.array(sorted(run.plane.chips, reverse=True))
    return Course(run.target, turned(run.plane, skew), chips, made_of(run.strokes, run.lifted, run.target))


def least_skew(strokes: Iterable[Strokes]) -> float:
    """Return the skew with which a run is made, degrees: the greatest of its strokes."""
    return max((group.skew_deg for group in strokes), default=0.0)


def made_of(strokes: Iterable[Strokes], lifted: Iterable[Passes], target: RunTarget) -> tuple[Made, ...]:
    """Return planned groups as strokes one by one: those that run off, then those that are lifted."""
    off = [Made(g.start_from_tip, None, g.chip) for g in strokes for _ in range(g.count)]
    up = [
        Made(target.length - p.begin, max(0.0, target.length - p.end), p.chip)
        for p in lifted
        for _ in range(p.count)
    ]
    return (*off, *up)
