"""A course: one planned run-off made ready for a trial, on a grid that counts from the tip."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.bench.belief import Made, tip_grid
from foamwright.cuts.run import Run
from foamwright.cuts.runs import RunTarget
from foamwright.cuts.sole import Sole, sole_of
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
        The plane's sole.
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


def course_of(run: Run) -> Course:
    """Return a planned run made ready."""
    chips = np.array(sorted(run.plane.chips, reverse=True))
    return Course(target_of(run), sole_of(run.plane), chips, made_of(run))


def target_of(run: Run) -> RunTarget:
    """Return what a planned run must do."""
    return RunTarget(run.stage, run.face, run.end, run.x, run.before, run.target)


def made_of(run: Run) -> tuple[Made, ...]:
    """Return the planned strokes one by one: those that run off, then those that are lifted."""
    off = [Made(one.start_from_tip, None, one.chip) for one in run.strokes]
    return (*off, *(Made(one.begin, one.end, one.chip) for one in run.lifted))
