"""The thickness pages: the even part of both faces, and its passes."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.cautions import cautions_for
from foamwright.cuts.passes import PassPlan
from foamwright.cuts.runs import Passes
from foamwright.papers.drawing import Drawing, drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_list import GroupLine, Line, ListHead, NoteLine, flowed, list_columns
from foamwright.papers.job_offsets import Row
from foamwright.papers.job_page import Headed
from foamwright.papers.job_stage import Job, cut_of, cut_view, mark_rows, stage_page
from foamwright.papers.job_turn import TurnLine
from foamwright.papers.job_words import Figures, counted
from foamwright.stages.solids import StageName

_GAP = 6.0
_BOTH = (Face.BOTTOM, Face.DECK)


def thickness_pages(job: Job) -> list[Headed]:
    """Return the page of the thickness, and one of its passes."""
    cut = cut_of(job, StageName.THICKNESS, _BOTH)
    page = stage_page(job, Step.THICKNESS, cut, _rows(job))
    return [page, _passes_page(job)]


def _rows(job: Job) -> list[Row]:
    bottom, deck = (mark_rows(job, StageName.THICKNESS, face) for face in _BOTH)
    return [bottom["off"], deck["off"], bottom["before"], deck["before"], deck["thick"], deck["read"]]


def _passes_page(job: Job) -> Headed:
    body = job.ground.body
    cautions = [c for c in cautions_for(Step.THICKNESS.value, polyurethane=False) if c.step != "all"]
    strip = caution_strip(cautions, body.width)
    cut = cut_of(job, StageName.THICKNESS, _BOTH)
    room = Box(body.left + 15.0, body.top - 62.0, body.right - 15.0, body.top - 2.0)
    picture, view, _ = cut_view(job, cut, room)
    width = (body.width - 2 * _GAP) / 3
    low = body.bottom + strip.height + 3.0
    parts = [picture, strip.at(body.left, body.bottom + strip.height)]
    left = body.left
    for face in _BOTH:
        columns = [Box(left, low, left + width, room.bottom - 3.0)]
        parts.append(_face_list(job, face, columns))
        left += width + _GAP
    how = HOW[Step.THICKNESS]
    return Headed(
        title="Thickness, passes",
        purpose="In this order, bottom first; then turn it over.",
        body=drawing_of(parts),
        scale=view.scale,
        refers_to="From mark to mark along the stringer, from the tail tip. " + how.tools.capitalize() + ".",
        step=Step.THICKNESS.number,
    )


def _face_list(job: Job, face: Face, columns: list[Box]) -> Drawing:
    lines = face_lines(job, face)
    filled, _ = flowed(lines, columns)
    head = ListHead(f"{face.value}: from tail, {job.figures.unit}", f"iron, {job.figures.unit}")
    return list_columns(filled, head)


def face_lines(job: Job, face: Face) -> list[Line]:
    """Return the rows of one face's passes."""
    plan, say = job.plan.passes[face], job.figures
    if not plan.passes:
        limit = say.with_unit(say.nearest(plan.tolerance))
        return [
            NoteLine(
                f"No pass on the {face.value}: less than {limit} stands above the line, within the tolerance."
            )
        ]
    lines: list[Line] = []
    iron, skew = "", 0.0
    for number, one in enumerate(plan.passes, start=1):
        if one.skew_deg != skew:
            skew = one.skew_deg
            lines.append(TurnLine(job.plan.bay.planes[0], skew))
        said = say.chip(one.chip)
        lines.append(GroupLine(number, _stretch(one, plan, say), one.count, said, said != iron))
        iron = said
    whole = counted(plan.whole, "pass").replace("passs", "passes")
    return [*lines, NoteLine(f"{whole.capitalize()} of these over the whole length.")]


def _stretch(one: Passes, plan: PassPlan, say: Figures) -> str:
    """From mark to mark; each mark on the side where less is cut."""
    if one.begin <= plan.x[0] + 1e-9 and one.end >= plan.x[-1] - 1e-9:
        return "whole length"
    return f"{say.lift(one.begin)} to {say.start(one.end)}"
