"""A run-off's page: where each start is, the strokes in order to tick off, the stops with their readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.cuts.runs import End, HollowRegion, Obstacle, RunPlan, Stop
from foamwright.papers.drawing import Drawing, drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import Block, stacked
from foamwright.papers.job_base import Job
from foamwright.papers.job_foot import reminder_foot
from foamwright.papers.job_howto import Step
from foamwright.papers.job_list import GroupLine, Line, ListHead, NoteLine, StopLine, flowed, list_columns
from foamwright.papers.job_page import Headed, Told, told
from foamwright.papers.job_run_view import least_height, run_view
from foamwright.papers.job_turn import TurnLine
from foamwright.papers.job_words import Figures, counted
from foamwright.stages.solids import StageName

_SIDE_WIDTH = 57.0
_GAP = 5.0
_PICTURES = (74.0, 70.0, 66.0, 62.0, 58.0, 54.0, 50.0, 46.0, 42.0)


@dataclass(frozen=True, eq=False)
class RunSheet:
    """A run with what its page needs beside it.

    Attributes
    ----------
    run
        The planned run.
    thickness
        Thickness at the tip that the run ends at, metres.
    """

    run: RunPlan
    thickness: float

    @property
    def end(self) -> End:
        """Towards which tip."""
        return self.run.target.end

    @property
    def step(self) -> Step:
        """Which step of the work it belongs to."""
        return Step(self.run.target.stage)


def run_sheet(job: Job, run: RunPlan) -> RunSheet:
    """Return a run with the thickness its tip ends at."""
    stage = job.plan.chain.stage(StageName(run.target.stage))
    tip = stage.thickness[-1 if run.target.end is End.NOSE else 0]
    return RunSheet(run, float(tip))


def run_pages(job: Job, run: RunPlan) -> list[Headed]:
    """Return the pages of a run: one, unless its list is too long for it."""
    sheet = run_sheet(job, run)
    lines: list[Line] = run_lines(sheet, job.figures)
    pages: list[Headed] = []
    while lines or not pages:
        page, lines = _page(job, sheet, lines, first=not pages)
        pages.append(page)
    return pages


def _page(job: Job, sheet: RunSheet, lines: list[Line], *, first: bool) -> tuple[Headed, list[Line]]:
    body = job.ground.body
    cautions, top = reminder_foot(job, sheet.step)
    foot = top + 3.0
    room = Box(body.left, foot, body.right - _SIDE_WIDTH - _GAP, body.top)
    filled, rest, split = _split(lines, room, _heights(job, sheet.run))
    picture, scale = run_view(
        sheet.run, job.plan, job.figures, Box(body.left, split + 2.0, body.right, body.top - 1.0)
    )
    head = ListHead(f"start, {job.figures.unit}", f"iron, {job.figures.unit}")
    side = _side(job, sheet).at(body.right - _SIDE_WIDTH, split)
    parts = [picture, list_columns(filled, head), side, cautions]
    return _headed(job, sheet, drawing_of(parts), scale, first), rest


def _heights(job: Job, run: RunPlan) -> list[float]:
    """Heights that the picture may take, the tallest first; none so low that it would find no room."""
    least = 3.0 + least_height(run, job.plan, job.figures, job.ground.body.width)
    return [height for height in _PICTURES if height >= least] or [least]


def _split(
    lines: list[Line], room: Box, heights: Sequence[float]
) -> tuple[list[tuple[Box, list[Line]]], list[Line], float]:
    """Return the list's columns, what found no room, and where the picture ends: as low as may be."""
    for height in heights:
        top = room.top - height
        filled, rest = flowed(lines, _columns(Box(room.left, room.bottom, room.right, top), 3))
        if not rest:
            break
    return filled, rest, top


def _headed(job: Job, sheet: RunSheet, body: Drawing, scale: str, first: bool) -> Headed:
    run = sheet.run
    strokes = counted(run.stroke_count + sum(p.count for p in run.lifted), "stroke")
    title = f"{sheet.step.value.capitalize()} to the {sheet.end.value}"
    purpose = f"{strokes} of the {run.plane.name}, {counted(len(run.stops), 'stop')} to measure."
    refers = (
        f"Starts: from the {sheet.end.value} tip along the stringer. Readings: thickness at the stringer at "
        "the tip, by calipers."
    )
    return Headed(title if first else f"{title}, continued", purpose, body, scale, refers, sheet.step.number)


def _columns(box: Box, count: int) -> list[Box]:
    width = (box.width - (count - 1) * _GAP) / count
    lefts = [box.left + i * (width + _GAP) for i in range(count)]
    return [Box(left, box.bottom, left + width, box.top) for left in lefts]


def run_lines(sheet: RunSheet, figures: Figures) -> list[Line]:
    """Return the rows of a run: groups in order, a stop after each group that has one, lifted strokes."""
    run = sheet.run
    stops = {stop.after: stop for stop in run.stops}
    lines: list[Line] = []
    iron, skew = "", 0.0
    for number, group in enumerate(run.strokes, start=1):
        if group.skew_deg != skew:
            skew = group.skew_deg
            lines.append(TurnLine(run.plane, skew))
        said = figures.chip(group.chip)
        lines.append(GroupLine(number, figures.start(group.start_from_tip), group.count, said, said != iron))
        iron = said
        if number in stops:
            stop = stops[number]
            lines.append(_stop_line(sheet, figures, stop))
    if not run.strokes and not run.lifted:
        most = figures.with_unit(figures.chip(run.tolerance))
        lines.append(
            NoteLine(f"No stroke: what stands above the line is less than {most}; sanding takes it.")
        )
    return [*lines, *_lifted_lines(run, figures), *_unreached_lines(run, figures)]


def _stop_line(sheet: RunSheet, figures: Figures, stop: Stop) -> StopLine:
    expected = sheet.thickness + stop.left_at_tip
    return StopLine(
        f"Stop. Measure at the {sheet.end.value} tip:",
        figures.at_least(expected),
        f"go on from {figures.at_least(sheet.thickness + stop.least)} to "
        f"{figures.nearest(expected + stop.doubt)} {figures.unit}",
    )


def _lifted_lines(run: RunPlan, figures: Figures) -> list[Line]:
    if not run.lifted:
        return []
    length, first = run.target.length, len(run.strokes) + 1
    rows = [
        GroupLine(
            first + index,
            f"{figures.start(length - one.begin)} to {figures.lift(length - one.end)}",
            one.count,
            figures.chip(one.chip),
            index == 0,
        )
        for index, one in enumerate(run.lifted)
    ]
    return [NoteLine("Then from mark to mark: lift the plane off before the tip."), *rows]


def _unreached_lines(run: RunPlan, figures: Figures) -> list[Line]:
    """Where no flat plane gets down to the line: what stays, and what takes it."""
    return [
        NoteLine(_unreached_words(run, one, figures))
        for one in run.hollows
        if one.obstacle is Obstacle.HOLLOW
    ]


def _unreached_words(run: RunPlan, region: HollowRegion, figures: Figures) -> str:
    far, near = (run.target.length - x for x in (region.begin, region.end))
    return (
        f"From {figures.start(far)} to {figures.lift(near)} no flat plane reaches the line; "
        f"{figures.with_unit(figures.nearest(region.left))} stays. "
        "Take it with a curved sole or a flexible block."
    )


def _side(job: Job, sheet: RunSheet) -> Block:
    """The column beside the list: how to use it, when to stop, how to turn the plane."""
    run, say = sheet.run, job.figures
    done = f"Never under {say.with_unit(say.at_least(sheet.thickness))} at the tip."
    pieces = []
    if run.strokes or run.lifted:
        pieces.append(Told("How to use this list", _LIST))
    if run.stops:
        finest = say.with_unit(say.chip(min(group.chip for group in run.strokes)))
        pieces.append(Told("At a stop", f"{_STOP.format(finest=finest)} {done}"))
    else:
        pieces.append(Told("At the end", f"Measure the thickness at the tip by calipers. {done}"))
    return stacked([told(piece, _SIDE_WIDTH) for piece in pieces], 2.0)


_LIST = (
    "Mark the starts on the stringer, numbered as here. Make the strokes in this order, each from its mark "
    "off the tip, and tick them. An iron in heavy type: set it anew."
)
_STOP = (
    "The large figure is the plan's. Between the small ones, go on. Reads more: repeat the last group, "
    "stroke by stroke. Reads less than the first small one: the strokes to come go too deep; leave out one "
    "for every {finest} under it."
)
