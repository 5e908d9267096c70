"""The foot of a page: why and how, and the cautions of the step, standing on the title block."""

from __future__ import annotations

import math
from collections.abc import Sequence

from foamwright.blank.numbers import Face
from foamwright.board.numbers import Edge
from foamwright.cautions import Caution, cautions_for
from foamwright.cuts.grain import PlaningDirections
from foamwright.cuts.run import End
from foamwright.papers.drawing import Drawing
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_howto import Step, how_to
from foamwright.papers.job_page import Told, columns_height, in_columns

_STEEP = math.radians(2.0)


def how_columns(job: Job, step: Step) -> list[Told]:
    """Return the four pieces of text of a step, with what this job's fibres and foam add to them."""
    how = how_to(step, stringer=job.plan.blank.numbers.stringer.width > 0.0)
    hold = " ".join([how.hold, *grain_words(job, step)])
    do = " ".join([how.do, *foam_words(job, step)])
    wrong = " ".join([how.wrong, *edge_words(job, step)])
    return [
        Told("Why", how.why),
        Told("Stand and hold", hold),
        Told("Do", do),
        Told("If it goes wrong", wrong),
    ]


def edge_words(job: Job, step: Step) -> list[str]:
    """Return what keeps a hard edge hard, where the board has one."""
    if step is not Step.FINISH or all(mark.edge is not Edge.HARD for mark in job.plan.board.numbers.rails):
        return []
    return ["The edge line that is hard stays hard: do not sand over it."]


_FACES = {Step.ROCKER: Face.BOTTOM, Step.FOIL: Face.DECK}


def grain_words(job: Job, step: Step) -> list[str]:
    """Return where the fibres of a straight stringer turn, and where the run-offs go against them."""
    if step not in _FACES or _FACES[step] not in job.plan.grain:
        return []
    grain, say, length = job.plan.grain[_FACES[step]], job.figures, job.plan.board.length
    turns = " and ".join(say.about(x) for x in grain.turns)
    words = [f"Straight fibres turn about {turns} from the tail."] if turns else []
    if job.plan.blank.numbers.stringer.width > 0.0:
        words.append("Write where they really turned: ____________ from the tail.")
    against = [end.value for end in End if _against(job, grain, end, length)]
    if against:
        words.append(f"Towards the {' and the '.join(against)} you go against them: take a fine iron.")
    return words


def _against(job: Job, grain: PlaningDirections, end: End, length: float) -> bool:
    """Whether run-offs to one end go against the fibres by more than two degrees anywhere."""
    reach = max(
        (
            run.strokes[-1].start_from_tip
            for run in job.plan.runs
            if run.strokes and run.face is grain.face and run.end is end
        ),
        default=0.0,
    )
    begin = length - reach if end is End.NOSE else reach
    return any(part.steepest > _STEEP for part in grain.against(end, begin))


def foam_words(job: Job, step: Step) -> list[str]:
    """Return how much foam the coarse block takes beside the planed middle."""
    if step not in _FACES:
        return []
    work, say = job.plan.foam[_FACES[step]], job.figures
    deepest = say.with_unit(say.nearest(work.layers * work.chip))
    return [
        f"Coarse block beside it, never on the wood, until the trench is gone: up to {deepest} of foam, "
        "thickness included."
    ]


Foot = tuple[Drawing, float]
"""What stands on the title block, and the height it reaches to, mm."""


def foot_of_page(job: Job, step: Step) -> Foot:
    """Return how-to columns over the step's cautions."""
    cautions, base = cautions_foot(job, step)
    body, pieces = job.ground.body, how_columns(job, step)
    height = columns_height(pieces, body.width)
    text = in_columns(pieces, Box(body.left, base + 2.5, body.right, base + 2.5 + height))
    return text + cautions, base + 2.5 + height


def cautions_foot(job: Job, step: Step) -> Foot:
    """Return all cautions of a step."""
    return _cautions(job, cautions_for(step.value, polyurethane=job.plan.polyurethane))


def reminder_foot(job: Job, step: Step) -> Foot:
    """Return the step's own cautions and the one of dust; those of the foam stand on its first page."""
    return _cautions(job, cautions_for(step.value, polyurethane=False))


def _cautions(job: Job, cautions: Sequence[Caution]) -> Foot:
    body = job.ground.body
    strip = caution_strip(cautions, body.width)
    return strip.at(body.left, body.bottom + strip.height), body.bottom + strip.height
