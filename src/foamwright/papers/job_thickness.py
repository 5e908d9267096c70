"""The thickness pages: the even part of both faces, and its passes."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.cuts.passes import Passes, PassPlan
from foamwright.papers.drawing import Drawing, Text, drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job, cut_of
from foamwright.papers.job_foot import cautions_foot, how_columns, reminder_foot
from foamwright.papers.job_howto import Step
from foamwright.papers.job_list import GroupLine, Line, ListHead, NoteLine, flowed, list_columns
from foamwright.papers.job_offsets import Row
from foamwright.papers.job_page import BODY_HEAD, Headed, columns_height, in_columns, notes_ruled
from foamwright.papers.job_stage import mark_rows, stage_page
from foamwright.papers.job_words import Figures
from foamwright.stages.solids import StageName

_GAP = 6.0
_BOTH = (Face.BOTTOM, Face.DECK)


def thickness_pages(job: Job) -> list[Headed]:
    """Return the page of the thickness, and one of its passes with the how-to."""
    cut = cut_of(job, StageName.THICKNESS, _BOTH)
    page = stage_page(job, Step.THICKNESS, cut, _rows(job), cautions_foot(job, Step.THICKNESS))
    return [page, _passes_page(job)]


def _rows(job: Job) -> list[Row]:
    bottom, deck = (mark_rows(job, StageName.THICKNESS, face) for face in _BOTH)
    return [bottom["off"], deck["off"], bottom["before"], deck["before"], deck["thick"], deck["read"]]


def _passes_page(job: Job) -> Headed:
    body, pieces = job.ground.body, how_columns(job, Step.THICKNESS)
    cautions, base = reminder_foot(job, Step.THICKNESS)
    height = columns_height(pieces, body.width)
    low = base + 3.0 + height
    text = in_columns(pieces, Box(body.left, base + 3.0, body.right, low))
    width = (body.width - 3 * _GAP) / 4
    columns = [
        Box(left, low + 5.0, left + width, body.top - 9.0)
        for left in (body.left + i * (width + _GAP) for i in range(4))
    ]
    lists = [_face_list(job, face, columns[2 * i : 2 * i + 2]) for i, face in enumerate(_BOTH)]
    lowest = min(part.box().bottom for part in lists)
    notes = notes_ruled(Box(body.left, low + 5.0, body.right, lowest - 5.0))
    return Headed(
        title="Thickness, passes",
        purpose="In this order; the bottom first, then turn it over.",
        body=drawing_of([*lists, notes, text, cautions]),
        scale="",
        refers_to="Marks along the stringer, from the tail tip.",
        step=Step.THICKNESS.number,
    )


def _face_list(job: Job, face: Face, columns: list[Box]) -> Drawing:
    filled, _ = flowed(face_lines(job, face), columns)
    unit = job.figures.unit
    head = ListHead(f"marks, {unit}", f"iron, {unit}")
    name = Text(
        (columns[0].left, columns[0].top + 2.0), face.value.capitalize(), BODY_HEAD.height, BODY_HEAD.face
    )
    return list_columns(filled, head) + Drawing((name,))


def face_lines(job: Job, face: Face) -> list[Line]:
    """Return the rows of one face's passes."""
    plan, say = job.plan.passes[face], job.figures
    if not plan.passes:
        limit = say.with_unit(say.nearest(job.plan.bay.allowances.run_off))
        words = f"No pass: what stands above the line is less than {limit}, and the later steps take it."
        return [NoteLine(words)]
    return [
        GroupLine(number, _stretch(one, plan, say), one.count, say.chip(one.chip), number == 1)
        for number, one in enumerate(plan.passes, start=1)
    ]


def _stretch(one: Passes, plan: PassPlan, say: Figures) -> str:
    """From mark to mark; each mark on the side where less is cut."""
    if one.begin <= plan.x[0] + 1e-9 and one.end >= plan.x[-1] - 1e-9:
        return "whole length"
    return f"{say.lift(one.begin)} to {say.start(one.end)}"
