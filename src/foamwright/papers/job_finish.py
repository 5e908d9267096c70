"""The last pages: the finished core's numbers with room to write, and a log of readings."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.board.checks_tips import IN_FROM_TIP, tip_foam
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, on_paper
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job
from foamwright.papers.job_foot import foot_of_page
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Headed
from foamwright.papers.job_views import View, enlargement_for, scale_for, solid
from foamwright.papers.style import Anchor, Lettering, Pen
from foamwright.papers.style import Face as Type
from foamwright.stages.solids import StageName

_SIDE = 15.0
_ROW = 8.2
_HEAD = 6.0


def finish_page(job: Job) -> Headed:
    """Return the page of the last sanding and the finished core."""
    foot, top = foot_of_page(job, Step.FINISH)
    body = job.ground.body
    offsets = Offsets(job.heads, tuple(_rows(job)))
    box = Box(body.left, top + 3.0, body.right, top + 3.0 + offsets.height)
    room = Box(body.left + _SIDE, box.top, body.right - _SIDE, body.top - 2.0)
    picture, view, feet = _profile(job, room)
    return Headed(
        title="Finish",
        purpose=f"{HOW[Step.FINISH].purpose} {_notch(job)}".strip(),
        body=drawing_of([picture, offsets_under(offsets, box, feet), foot]),
        scale=view.scale,
        refers_to="The finished core. Level line: a straight edge on the bottom at its lowest place.",
        step=Step.FINISH.number,
    )


def _notch(job: Job) -> str:
    """What comes after the last reading of a notched tail, whose stringer is gone then."""
    board = job.plan.board
    if board.outline.foot == 0.0:
        return ""
    say, least = job.figures, job.figures.at_least(tip_foam(board))
    inside = say.nearest(IN_FROM_TIP)
    read = f"each tip's middle, {inside} in from its end: {least} or more"
    return f"Then saw the notch, square to the bottom; {read}."


def _rows(job: Job) -> list[Row]:
    say = job.figures
    marks = job.marks(StageName.FINISHED, Face.DECK)
    write = Row("write what you read", (), RowKind.WRITE)
    return [
        Row(
            f"thickness by calipers, {say.unit}", tuple(say.at_least(m.thickness) for m in marks), RowKind.KEY
        ),
        write,
        Row("rocker above the level line", tuple(say.nearest(m.from_new_level) for m in marks), RowKind.KEY),
        write,
        Row("full width", tuple(say.width(m.width) for m in marks)),
    ]


def _profile(job: Job, room: Box) -> tuple[Drawing, View, list[tuple[float, float]]]:
    """The finished profile on its level line, with the stations' lines down to the table."""
    stage, length = job.plan.chain.stage(StageName.FINISHED), job.plan.board.length
    tall = float(stage.deck.max())
    denominator = scale_for(length, room.width)
    times = enlargement_for(tall, denominator, room.height - 8.0)
    view = View(room.centre[0] - length * 500.0 / denominator, room.bottom + 5.0, denominator, times)
    feet = [(view.x(s.x), room.bottom) for s in job.plan.stations]
    tops = [view.y(float(np.interp(s.x, stage.x, stage.deck))) for s in job.plan.stations]
    lines = [line([(x, top), (x, y)], Pen.STATION) for (x, y), top in zip(feet, tops, strict=True)]
    level = line([(view.x(0.0), view.base), (view.x(length), view.base)], Pen.LEVEL)
    place = (view.x(length) + 2.0, view.base)
    name = on_paper(Text(place, "level", Lettering.LABEL, Type.LABEL, Anchor.MIDDLE_LEFT), 0.3)
    return drawing_of([*lines, level, name, solid(view, stage.x, stage.bottom, stage.deck)]), view, feet


_LOG = (
    ("no.", 10.0),
    ("step", 28.0),
    ("station", 40.0),
    ("what was measured", 44.0),
    ("wanted", 30.0),
    ("reads", 30.0),
    ("time", 20.0),
    ("what was done then", 0.0),
)


def log_page(job: Job) -> Headed:
    """Return a ruled page to write readings on."""
    body = job.ground.body
    box = Box(body.left, body.bottom + 1.0, body.right, body.top - 2.0)
    count = int((box.height - _HEAD) / _ROW)
    foot = box.top - _HEAD - count * _ROW
    fixed = [width for _, width in _LOG[:-1]]
    lefts = [box.left + sum(fixed[:i]) for i in range(len(_LOG))]
    heads = [
        Text(
            (x + 1.2, box.top - _HEAD + 1.6),
            name if name != "reads" else f"reads, {job.figures.unit}",
            Lettering.LABEL,
            Type.LABEL,
        )
        for (name, _), x in zip(_LOG, lefts, strict=True)
    ]
    levels = [box.top - _HEAD - i * _ROW for i in range(count + 1)]
    numbers = [
        Text((lefts[1] - 2.0, (high + low) / 2), f"{n}", Lettering.LABEL, Type.FIGURES, Anchor.MIDDLE_RIGHT)
        for n, (high, low) in enumerate(pairwise(levels), start=1)
    ]
    rules = [
        line([(box.left, y), (box.right, y)], Pen.CUT if y in (levels[0], levels[-1]) else Pen.THIN)
        for y in levels
    ]
    uprights = [line([(x, levels[0]), (x, foot)], Pen.THIN) for x in lefts[1:]]
    return Headed(
        title="Readings",
        purpose="Write every reading, the odd ones too. Nothing is rubbed out.",
        body=drawing_of([*rules, *uprights, Drawing((*heads, *numbers))]),
        scale="",
        refers_to="As written. Thickness by calipers at the stringer unless said otherwise.",
    )
