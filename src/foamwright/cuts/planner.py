"""Plans run-offs: which strokes, from where, in which order, so that the simulated face fits the target.

Strokes are laid out as stairs under the depth that is to come off and simulated walking inboard; finer walks
take what is left; wherever the result still stands too high the stairs are made finer there and the whole is
simulated again. Several sizes of groups are tried, and the list with the fewest strokes and moves is kept.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane, Tape
from foamwright.cuts.passes import PassMaker, after_passes
from foamwright.cuts.reach import SKEWS_DEG, Reach, find_hollows, find_reach
from foamwright.cuts.runs import Passes, RunPlan, RunTarget, Strokes, frozen
from foamwright.cuts.simulation import Edge, Workpiece
from foamwright.cuts.stops import place_stops
from foamwright.cuts.trials import RunSettings, Trial, Trials
from foamwright.errors import FaultError

__all__ = ["RunSettings", "plan_run"]

Array = NDArray[np.float64]


def plan_run(
    target: RunTarget, plane: Plane, tape: Tape | None = None, settings: RunSettings | None = None
) -> RunPlan:
    """Return the run-offs that bring a face down to its target.

    Parameters
    ----------
    target
        The face before and after, on a uniform grid; 1/8 in steps or finer serve well.
    plane
        The plane; its chips are used coarse first.
    tape
        Gives the finest marks that starts are rounded to, always towards the tip (default: 1/16 in).
    settings
        Tolerance and doubts.

    Returns
    -------
    RunPlan
        Its simulated result is on or above the target everywhere, and within the tolerance above it
        wherever the plane can reach; where it cannot, the plan's hollows say so.

    Raises
    ------
    FaultError
        If the planned list, simulated again, went below the target: nothing may be printed then.
    """
    tape = tape or Tape()
    settings = settings or RunSettings()
    reach = find_reach(
        Workpiece(target.x, plane, Edge.SLIPS),
        target.before,
        target.target,
        plane.chips,
        settings.tolerance / 2,
    )
    trial = _best_trial(target, plane, (tape, settings), reach)
    predicted, left_at_tip = _predict(target, plane, trial.strokes)
    lifted = _lifted(target, plane, trial, settings)
    finished = after_passes(Workpiece(target.x, plane), predicted, lifted)
    if (finished - target.target).min() < -1e-9:
        raise FaultError("A planned run went below its target when simulated again; nothing was planned.")
    left = predicted - target.target, finished - target.target
    return RunPlan(
        target=target,
        plane=plane,
        tolerance=settings.tolerance,
        strokes=trial.strokes,
        predicted=frozen(predicted),
        left_at_tip=left_at_tip,
        stops=place_stops(trial.strokes, float(target.depth[-1]), left_at_tip, tape, settings.doubt),
        hollows=find_hollows(reach, target.x, left, settings.tolerance),
        lifted=lifted,
        finished=frozen(finished),
    )


def _lifted(target: RunTarget, plane: Plane, trial: Trial, settings: RunSettings) -> tuple[Passes, ...]:
    """Return strokes lifted off before the tip that take what the run-offs had to leave."""
    maker = PassMaker(
        Workpiece(target.x, plane, Edge.SLIPS), target.target, settings.tolerance, target.length
    )
    return maker.down(trial.heights, sorted(plane.chips, reverse=True), trial.skew_deg)[1]


def _best_trial(target: RunTarget, plane: Plane, ways: tuple[Tape, RunSettings], reach: Reach) -> Trial:
    """Return the best list of strokes at the least skew that ends within tolerance."""
    closest: Trial | None = None
    for skew in SKEWS_DEG:
        if skew < reach.skew_deg:
            continue
        trials = Trials(target, plane, ways, reach, skew)
        if trials.tip_first and skew != SKEWS_DEG[-1]:
            continue
        trial = trials.best()
        if closest is None or trial.excess < closest.excess:
            closest = trial
        if trial.excess <= 0.0:
            break
    assert closest is not None
    return closest


def _predict(
    target: RunTarget, plane: Plane, strokes: tuple[Strokes, ...]
) -> tuple[Array, tuple[float, ...]]:
    """Return the heights after all strokes and what is left at the tip after each group."""
    work = Workpiece(target.x, plane, Edge.CARRIES)
    heights = target.before
    left = []
    for group in strokes:
        heights = work.after(heights, [group])
        left.append(float(heights[-1] - target.target[-1]))
    return heights, tuple(left)
