"""From a plan to what the rack's templates are drawn from: lines of its stages, thickness at its stations."""

from __future__ import annotations

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.cuts.run import End, Run
from foamwright.papers.drawing_box import points_of
from foamwright.papers.templates_gauges import ThicknessMark
from foamwright.papers.templates_shapes import StationName
from foamwright.papers.templates_sticks import StickShape
from foamwright.planning.plan import Cuts
from foamwright.stages.solids import StageName


def sticks_of(plan: Cuts) -> tuple[StickShape, ...]:
    """Return the line of each run's stage from where its walk begins to the tip, as in ``plan.json``."""
    return tuple(_stick(plan, run) for run in plan.runs)


def _stick(plan: Cuts, run: Run) -> StickShape:
    stage = plan.chain.stage(StageName(run.stage))
    length = plan.board.length
    tail = run.end is End.TAIL
    low, high = (0.0, min(run.length, length)) if tail else (max(length - run.length, 0.0), length)
    heights = stage.bottom if run.face is Face.BOTTOM else stage.deck
    inner = stage.x[(stage.x > low) & (stage.x < high)]
    x = np.concatenate(([low], inner, [high]))
    return StickShape(
        f"After the {run.stage}, {run.end.value}",
        run.face,
        0.0 if tail else length,
        points_of(np.column_stack((x, np.interp(x, stage.x, heights)))),
        tuple(StationName(s.x, s.name) for s in plan.stations if low <= s.x <= high),
    )


def thickness_marks(plan: Cuts) -> tuple[ThicknessMark, ...]:
    """Return thickness at the stringer at each station, after the foil and finished, tail to nose."""
    foil, finished = plan.chain.stage(StageName.FOIL), plan.chain.stage(StageName.FINISHED)
    return tuple(
        ThicknessMark(
            StationName(s.x, s.name),
            float(np.interp(s.x, foil.x, foil.thickness)),
            float(np.interp(s.x, finished.x, finished.thickness)),
        )
        for s in plan.stations
    )
