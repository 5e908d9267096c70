"""A stage's page: what comes off where, the marks at the stations, and how to go about it."""

from __future__ import annotations

from collections.abc import Sequence

from foamwright.blank.numbers import Face
from foamwright.papers.drawing import drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Cut, Job
from foamwright.papers.job_cut_view import SIDE, cut_view
from foamwright.papers.job_foot import Foot, foot_of_page
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Headed
from foamwright.papers.job_words import Figures
from foamwright.stages.solids import StageName


def stage_page(job: Job, step: Step, cut: Cut, rows: Sequence[Row], under: Foot | None = None) -> Headed:
    """Return the page of a stage that cuts along the board.

    Parameters
    ----------
    job
        The job.
    step
        Which step of the work.
    cut
        What comes off.
    rows
        The table's rows.
    under
        What stands below the table; the how-to and the cautions if not given.
    """
    foot, top = under or foot_of_page(job, step)
    body = job.ground.body
    offsets = Offsets(job.heads, tuple(rows))
    table_box = Box(body.left, top + 3.0, body.right, top + 3.0 + offsets.height)
    room = Box(body.left + SIDE, table_box.top + 1.0, body.right - SIDE, body.top - 1.5)
    picture, view, feet = cut_view(job, cut, room)
    table = offsets_under(offsets, table_box, feet)
    how = HOW[step]
    return Headed(
        title=step.value.capitalize(),
        purpose=how.purpose,
        body=drawing_of([picture, table, foot]),
        scale=view.scale,
        refers_to=refers_to(cut, job.figures),
        step=step.number,
    )


def refers_to(cut: Cut, figures: Figures) -> str:
    """Return what the dimensions of a stage refer to."""
    unit = "inches" if figures.unit == "in" else "millimetres"
    return (
        f"The stringer after this stage, finishing allowance left on; {unit}, "
        "rounded so that no cut goes deeper than the plan."
    )


def mark_rows(job: Job, stage: StageName, face: Face) -> dict[str, Row]:
    """Return the rows that tell the marks of one face: by name, to be picked in order."""
    marks, say = job.marks(stage, face), job.figures
    height = say.at_least if face is Face.DECK else say.at_most
    return {
        "off": Row(
            f"take off the {face.value}, {say.unit}",
            tuple(say.depth(m.take_off) for m in marks),
            RowKind.KEY,
        ),
        "before": Row(
            f"mark the {face.value} line: from the blank's level line",
            tuple(height(m.from_blank_level) for m in marks),
        ),
        "after": Row(
            "check: bottom to a straight edge laid on it", tuple(say.at_most(m.from_new_level) for m in marks)
        ),
        "thick": Row(
            "check: thickness by calipers", tuple(say.at_least(m.thickness) for m in marks), RowKind.KEY
        ),
        "read": Row("write what you read", (), RowKind.WRITE),
    }
