"""The four run-offs of a job: bottom and deck, towards nose and tail, from the chain of stages."""

from __future__ import annotations

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import Face
from foamwright.cuts.passes import PassPlan, plan_passes
from foamwright.cuts.planner import RunSettings, plan_run
from foamwright.cuts.runs import End, RunPlan, RunTarget
from foamwright.shape.curves import Floats
from foamwright.stages.solids import Chain, Faces, StageName
from foamwright.units import INCH

GRID = INCH / 8
"""Spacing of a run's stations, about."""


def run_targets(chain: Chain) -> tuple[RunTarget, ...]:
    """Return what each run-off must do: rocker to the nose, to the tail, then the foil likewise.

    A run goes from where the face's rest is nothing (the pivot) to the tip. Heights are outward from the
    foam: the bottom's are turned upside down.
    """
    targets = []
    for name, face, split, sign in (
        (StageName.ROCKER, Face.BOTTOM, chain.bottom, -1.0),
        (StageName.FOIL, Face.DECK, chain.deck, 1.0),
    ):
        stage = chain.stage(name)
        surface = sign * (stage.bottom if face is Face.BOTTOM else stage.deck)
        for end in (End.NOSE, End.TAIL):
            targets.append(_target((name.value, face, end), chain.x, surface, split))
    return tuple(targets)


def _target(key: tuple[str, Face, End], x: Floats, surface: Floats, split: Faces) -> RunTarget:
    stage, face, end = key
    pivot, tip = float(x[split.pivot]), float(x[-1] if end is End.NOSE else x[0])
    length = max(abs(tip - pivot), 4.0 * GRID)
    grid = np.linspace(0.0, length, max(5, int(np.rint(length / GRID)) + 1))
    at = tip - length + grid if end is End.NOSE else tip + length - grid
    height = np.interp(at, x, surface)
    return RunTarget(stage, face, end, grid, height + np.interp(at, x, split.rest), height)


def plan_runs(chain: Chain, bay: Bay) -> tuple[RunPlan, ...]:
    """Return the planned run-offs of a job.

    Parameters
    ----------
    chain
        The stages.
    bay
        Its first plane does the runs unless another reaches where the first does not.
    """
    return tuple(plan_with_bay(target, bay) for target in run_targets(chain))


def plan_with_bay(target: RunTarget, bay: Bay) -> RunPlan:
    """Return the plan of the first plane whose run-offs alone reach everywhere.

    Where there is none: of the first that gets there with lifted strokes, else of the one that leaves least.
    """
    settings = RunSettings(tolerance=bay.allowances.run_off)
    plans = []
    for plane in bay.planes:
        plan = plan_run(target, plane, bay.tape, settings)
        if plan.reached:
            return plan
        plans.append(plan)
    completed = [plan for plan in plans if plan.completed]
    return completed[0] if completed else min(plans, key=_most_left)


def _most_left(plan: RunPlan) -> float:
    return float((plan.finished - plan.target.target).max())


def plan_thickness(chain: Chain, bay: Bay) -> dict[Face, PassPlan]:
    """Return the passes that bring each face to thickness, tail to nose, by the bay's first plane.

    Heights are outward from the foam, on even stations from the tail tip; a face with nothing even to
    come off has no passes.
    """
    before, after = chain.stage(StageName.OUTLINE), chain.stage(StageName.THICKNESS)
    x = chain.x
    faces = {Face.BOTTOM: (-before.bottom, -after.bottom), Face.DECK: (before.deck, after.deck)}
    return {
        face: plan_passes(x, old, new, bay.planes[0], bay.allowances.run_off)
        for face, (old, new) in faces.items()
    }
