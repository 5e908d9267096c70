"""The outline's page: blank and board from above, the saw's line, half-widths from the stringer."""

from __future__ import annotations

import numpy as np

from foamwright.papers.dimension import Lettered, horizontal_dimension, leader
from foamwright.papers.drawing import Drawing, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job
from foamwright.papers.job_foot import foot_of_page
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_laid import plan_view
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Headed
from foamwright.papers.job_views import SCALES, View
from foamwright.papers.style import Lettering, Pen
from foamwright.planning.ends import notch_words
from foamwright.stages.marks import StageMark
from foamwright.stages.solids import StageName

_SIDE = 10.0


def outline_page(job: Job) -> Headed:
    """Return the page of the outline."""
    foot, top = foot_of_page(job, Step.OUTLINE)
    body = job.ground.body
    offsets = Offsets(job.heads, tuple(_rows(job)))
    table_box = Box(body.left, top + 3.0, body.right, top + 3.0 + offsets.height)
    room = Box(body.left + _SIDE, table_box.top, body.right - _SIDE, body.top - 1.0)
    view = _view(job, room)
    feet = [(view.x(s.x + job.plan.lay.slide), room.bottom) for s in job.plan.stations]
    how = HOW[Step.OUTLINE]
    return Headed(
        title="Outline",
        purpose=f"{how.purpose} {notch_words(job.plan.board)}".strip(),
        body=drawing_of([_picture(job, view, room), offsets_under(offsets, table_box, feet), foot]),
        scale=view.scale,
        refers_to=_refers_to(job),
        step=Step.OUTLINE.number,
    )


def _refers_to(job: Job) -> str:
    middle = "the stringer" if job.plan.blank.numbers.stringer.width > 0.0 else "the board"
    words = f"From the middle of {middle}, square to it; the last sanding is left on the edge."
    if job.plan.board.outline.rounding > 0.0:
        words += " Tail: between its rounded corners; the board's own width is told as if they were sharp."
    return words


def _rows(job: Job) -> list[Row]:
    say, saw, finish = job.figures, job.plan.bay.allowances.saw, job.plan.chain.finish
    marks = job.marks(StageName.OUTLINE, None)
    return [
        Row(
            f"edge: half width from the stringer, {say.unit}",
            tuple(say.width(m.width / 2.0) for m in marks),
            RowKind.KEY,
        ),
        Row(
            "saw this far from the stringer",
            tuple(_saw_figure(job, m, saw - finish) for m in marks),
        ),
        # Each side from the middle of the stringer, never across: two halves that differ make one good width.
        Row("left half: write what you read", (), RowKind.WRITE),
        Row("right half: write what you read", (), RowKind.WRITE),
    ]


def _saw_figure(job: Job, mark: StageMark, outside: float) -> str:
    """Half-width of the saw's line; none where the saw runs across the tip."""
    at_tip = mark.station.x in (0.0, job.plan.board.length)
    narrow = mark.width / 2.0 < job.plan.bay.allowances.saw
    return "across" if at_tip and narrow else job.figures.width(mark.width / 2.0 + outside)


def _view(job: Job, room: Box) -> View:
    blank = job.plan.blank
    half = float(np.max(blank.half_width(np.linspace(0.0, blank.length, 101))))
    fitting = [
        d
        for d in SCALES
        if blank.length * 1000.0 / d <= room.width and 2000.0 * half / d <= room.height - 9.0
    ]
    d = fitting[0] if fitting else SCALES[-1]
    left = room.centre[0] - blank.length * 500.0 / d
    return View(left, room.bottom + 3.0 + half * 1000.0 / d, d)


def _picture(job: Job, view: View, room: Box) -> Drawing:
    plan = job.plan
    slide, length = plan.lay.slide, plan.board.length
    half = float(np.max(plan.blank.half_width(np.linspace(0.0, plan.blank.length, 101))))
    top = view.y(half)
    stations = [
        line(
            [(view.x(s.x + slide), view.y(_half(job, s.x))), (view.x(s.x + slide), room.bottom)], Pen.STATION
        )
        for s in plan.stations
    ]
    ends = ((view.x(slide), top), (view.x(slide + length), top))
    words = job.figures.board_length(length)
    whole = horizontal_dimension(*ends, words, top + 5.0, Lettered(Lettering.FIGURE))
    parts = [plan_view(job, view), *stations, whole, _notes(job, view)]
    return drawing_of(parts)


def _half(job: Job, x: float) -> float:
    return float(job.plan.board.half_width(np.array([x]))[0])


def _notes(job: Job, view: View) -> Drawing:
    """What the dashed line is and where the tail tip stands, told inside the board."""
    plan, say = job.plan, job.figures
    x = 0.2 * plan.board.length
    target = (view.x(x + plan.lay.slide), view.y(_half(job, x) + plan.bay.allowances.saw))
    elbow = (view.x(0.27 * plan.board.length + plan.lay.slide), view.y(0.45 * _half(job, x)))
    words = f"saw {say.with_unit(say.nearest(plan.bay.allowances.saw))} outside the outline"
    tail = (view.x(plan.lay.slide), view.y(0.3 * _half(job, 0.01)))
    start = (view.x(0.07 * plan.board.length + plan.lay.slide), view.y(-0.35 * _half(job, x)))
    inset = f"tail tip: {say.along(plan.lay.slide)} from the blank's end"
    return leader(target, elbow, words, Lettered(Lettering.FIGURE)) + leader(
        tail, start, inset, Lettered(Lettering.FIGURE)
    )
