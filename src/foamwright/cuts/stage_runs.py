"""The passes and the four run-offs of a job, bottom and deck, nose and tail, from the chain of stages."""

from __future__ import annotations

from collections.abc import Mapping
from math import ceil

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import Face
from foamwright.cuts.counting import Marks
from foamwright.cuts.passes import PassPlan, plan_passes
from foamwright.cuts.run import End, Run, frozen
from foamwright.cuts.walks import walked_by_first
from foamwright.shape.curves import Floats
from foamwright.stages.solids import Chain, Faces, Stage, StageName

STAGES = ((StageName.ROCKER, Face.BOTTOM), (StageName.FOIL, Face.DECK))
"""Which stage runs off which face."""

LEAST_POINTS = 5


def outwards(stage: Stage, face: Face) -> Floats:
    """Return a face's heights at the stringer, outwards from the foam: the bottom's upside down."""
    return -stage.bottom if face is Face.BOTTOM else stage.deck


def plan_thickness(chain: Chain, bay: Bay, marks: Marks) -> dict[Face, PassPlan]:
    """Return the passes that bring each face to thickness; a face with nothing even to come off has none."""
    before, after = chain.stage(StageName.OUTLINE), chain.stage(StageName.THICKNESS)
    return {
        face: plan_passes((chain.x, outwards(before, face), outwards(after, face)), split, bay.planes, marks)
        for face, split in ((Face.BOTTOM, chain.bottom), (Face.DECK, chain.deck))
    }


def plan_runs(chain: Chain, bay: Bay, marks: Marks, passes: Mapping[Face, PassPlan]) -> tuple[Run, ...]:
    """Return the planned run-offs of a job: rocker to the nose, to the tail, then the foil likewise.

    Parameters
    ----------
    chain
        The stages.
    bay
        Its planes in the order in which they are preferred.
    marks
        Where the tape has them.
    passes
        Each face's passes: the run-offs start from the face that they are predicted to leave.
    """
    return tuple(
        walked_by_first(_unplaned(chain, bay, (stage, face, end), marks, passes[face]), bay.planes, marks)
        for stage, face in STAGES
        for end in (End.NOSE, End.TAIL)
    )


def _unplaned(
    chain: Chain, bay: Bay, which: tuple[StageName, Face, End], marks: Marks, passes: PassPlan
) -> Run:
    """Return a run before its first stroke, from where the face's rest is nothing (the pivot) to the tip."""
    name, face, end = which
    split: Faces = chain.bottom if face is Face.BOTTOM else chain.deck
    total, pivot = float(chain.x[-1]), float(chain.x[split.pivot])
    reach = total - pivot if end is End.NOSE else pivot
    points = max(LEAST_POINTS, ceil(reach / marks.grid - 1e-9) + 1)
    x = frozen(marks.grid * np.arange(points))
    at = total - x[::-1] if end is End.NOSE else x[::-1]
    before = np.interp(at, passes.x, passes.predicted)
    target = np.interp(at, chain.x, outwards(chain.stage(name), face))
    return Run(
        stage=name.value,
        face=face,
        end=end,
        x=x,
        # Where nothing is to come off, two interpolations may differ in the last digit.
        before=np.maximum(before, target),
        target=target,
        predicted=before,
        finished=np.interp(at, chain.x, outwards(chain.stage(StageName.FINISHED), face)),
        plane=bay.planes[0],
        strokes=(),
        stops=(),
        foam_down=(),
        tolerance=bay.allowances.run_off,
    )
