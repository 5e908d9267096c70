"""The last pages: the finished core's numbers with room to write, and a log of readings."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.papers.drawing import drawing_of
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.job_howto import Step
from foamwright.papers.job_offsets import Row, RowKind
from foamwright.papers.job_page import Headed
from foamwright.papers.job_stage import Cut, Job, stage_page
from foamwright.stages.solids import StageName

_ROW = 8.4


def finish_page(job: Job) -> Headed:
    """Return the page of the last sanding and the finished core."""
    chain, say = job.plan.chain, job.figures
    cut = Cut(chain.stage(StageName.RAILS), chain.stage(StageName.FINISHED), (Face.DECK,))
    marks = job.marks(StageName.FINISHED, Face.DECK)
    rows = [
        Row(
            f"thickness by calipers, {say.unit}", tuple(say.at_least(m.thickness) for m in marks), RowKind.KEY
        ),
        Row("write what you read", (), RowKind.WRITE),
        Row("rocker: bottom to a straight edge", tuple(say.at_most(m.from_new_level) for m in marks)),
        Row("full width", tuple(say.width(m.width) for m in marks)),
    ]
    return stage_page(job, Step.FINISH, cut, rows)


def log_page(job: Job) -> Headed:
    """Return a page to write readings on."""
    body = job.ground.body
    widths = (12.0, 34.0, 38.0, 46.0, 30.0, 30.0, 26.0)
    columns = [
        Column("no.", widths[0], Aligned.CENTRED),
        *(
            Column(name, width, Aligned.WRITE)
            for name, width in zip(
                ("step", "station", "what was measured", f"reads, {job.figures.unit}", "wanted", "time"),
                widths[1:],
                strict=True,
            )
        ),
        Column("what was done then", body.width - sum(widths), Aligned.WRITE),
    ]
    count = int((body.height - 12.0) / _ROW)
    rows = [[f"{n}", *[""] * (len(columns) - 1)] for n in range(1, count + 1)]
    block = table(columns, rows, TableStyle(row_height=_ROW))
    return Headed(
        title="Readings",
        purpose="Write every reading, the odd ones too. Nothing is rubbed out.",
        body=drawing_of([block.at(body.left, body.top - 2.0)]),
        scale="",
        refers_to="As written. Thickness by calipers at the stringer unless said otherwise.",
    )
