"""A run-off's page: where each start is, the strokes in order to tick off, the stops with their readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.cuts.run import End, Run, Stop
from foamwright.papers.drawing import Drawing, drawing_of
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import Block, stacked
from foamwright.papers.job_base import Job
from foamwright.papers.job_foot import reminder_foot
from foamwright.papers.job_howto import Step
from foamwright.papers.job_list import Line, ListHead, NoteLine, flowed, list_columns
from foamwright.papers.job_page import Headed, Told, told
from foamwright.papers.job_run_view import least_height, run_view
from foamwright.papers.job_walk import Check, WalkLine
from foamwright.papers.job_words import Figures, counted
from foamwright.stages.solids import Stage, StageName

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
    stage
        What it belongs to: what calipers read is its thickness and what still stands above its line.
    """

    run: Run
    stage: Stage

    @property
    def end(self) -> End:
        """Towards which tip."""
        return self.run.end

    @property
    def step(self) -> Step:
        """Which step of the work it belongs to."""
        return Step(self.run.stage)

    def calipers(self, from_tip: float, height: float) -> float:
        """Return the thickness at a distance from the tip when the run's face stands at a height there."""
        x = float(self.stage.x[-1]) - from_tip if self.end is End.NOSE else from_tip
        line = float(np.interp(x, self.stage.x, self.stage.thickness))
        return line + height - self.run.at(self.run.target, from_tip)


def run_sheet(job: Job, run: Run) -> RunSheet:
    """Return a run with the stage that it belongs to."""
    return RunSheet(run, job.plan.chain.stage(StageName(run.stage)))


def run_pages(job: Job, run: Run) -> list[Headed]:
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
    beside = _side(job, sheet)
    filled, rest, split = _split(lines, room, _heights(job, sheet.run, room.height - beside.height))
    picture, scale = run_view(
        sheet.run, job.plan, job.figures, Box(body.left, split + 2.0, body.right, body.top - 1.0)
    )
    head = ListHead(f"one stroke from each mark, {job.figures.unit}", "")
    side = beside.at(body.right - _SIDE_WIDTH, split)
    parts = [picture, list_columns(filled, head), side, cautions]
    return _headed(job, sheet, drawing_of(parts), scale, first), rest


def _heights(job: Job, run: Run, most: float) -> list[float]:
    """Heights that the picture may take, the tallest first; none so low that it would find no room.

    Above `most` the words beside the list would.
    """
    least = 3.0 + least_height(run, job.plan, job.figures, job.ground.body.width)
    return [height for height in _PICTURES if least <= height <= most] or [least]


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
    downs, stops = counted(len(run.foam_down), "foam-down"), counted(len(run.stops), "stop")
    purpose = f"{counted(len(run.strokes), 'stroke')} of the {run.plane.name}, {downs}, {stops} to measure."
    purpose = purpose if run.strokes else "Nothing to plane here."
    title = f"{sheet.step.value.capitalize()} to the {sheet.end.value}"
    refers = (
        f"Marks: from the {sheet.end.value} tip along the {_middle(job)}. Readings: thickness there by "
        "calipers."
    )
    return Headed(title if first else f"{title}, continued", purpose, body, scale, refers, sheet.step.number)


def _columns(box: Box, count: int) -> list[Box]:
    width = (box.width - (count - 1) * _GAP) / count
    lefts = [box.left + i * (width + _GAP) for i in range(count)]
    return [Box(left, box.bottom, left + width, box.top) for left in lefts]


def run_lines(sheet: RunSheet, figures: Figures) -> list[Line]:
    """Return the rows of a run: the marks between two stops, and the stop under them."""
    run = sheet.run
    if not run.strokes:
        most = figures.with_unit(figures.chip(run.tolerance))
        return [NoteLine(f"No stroke: what stands above the line is less than {most}; sanding takes it.")]
    lines: list[Line] = []
    made = 0
    for stop in run.stops:
        marks = run.strokes[made : stop.after_strokes]
        starts = [figures.start(one.start_from_tip) for one in marks]
        lines.append(WalkLine(made + 1, starts, *_stop(sheet, figures, stop)))
        made = stop.after_strokes
    return lines


def _stop(sheet: RunSheet, figures: Figures, stop: Stop) -> tuple[str, list[Check]]:
    """Return what is done at a stop, and its places."""
    down = next((one for one in sheet.run.foam_down if one.after_strokes == stop.after_strokes), None)
    words = "Measure" if down is None else _DOWN[down.whole].format(reach=figures.start(down.reach))
    checks = [
        Check(
            "tip" if place.from_tip == 0.0 else figures.start(place.from_tip),
            figures.at_least(sheet.calipers(place.from_tip, place.expect)),
            figures.at_least(sheet.calipers(place.from_tip, place.not_under)),
        )
        for place in stop.places
    ]
    return words, checks


_DOWN = {
    False: "Foam down, a strip from the tip to {reach}; measure",
    True: "Foam down, the full width; straight edge, sticks; measure",
}


def _middle(job: Job) -> str:
    """What the marks stand on."""
    return "stringer" if job.plan.blank.numbers.stringer.width > 0.0 else "centre line"


def _side(job: Job, sheet: RunSheet) -> Block:
    """The column beside the list: how to use it, the foam, when to stop, where the rack stands."""
    run, say = sheet.run, job.figures
    done = f"Never under {say.with_unit(say.at_least(sheet.calipers(0.0, run.target[-1])))} at the tip."
    if not run.strokes:
        pieces = [Told("At the end", f"Measure the thickness at the tip by calipers. {done}")]
    else:
        chip = say.with_unit(say.chip(run.strokes[0].chip))
        tracks = run.strokes[0].tracks
        beside = _TRACKS.format(tracks=tracks) if tracks > 1 else ""
        pieces = [
            Told("The walk", f"{_WALK.format(chip=chip)} {beside}{_tip_words(sheet, say)}"),
            Told("Foam down", _FOAM),
            Told("At a stop", f"{_STOP} {done}"),
        ]
    return stacked([told(piece, _SIDE_WIDTH) for piece in pieces], 2.0)


def _tip_words(sheet: RunSheet, say: Figures) -> str:
    """What the walk leaves at the very tip, and what takes it."""
    left = float(sheet.run.left[-1])
    if left <= sheet.run.tolerance:
        return ""
    return (
        f"At the very tip {say.with_unit(say.nearest(left))} stays, running out within an eighth of an inch: "
        "the block takes it."
    )


_WALK = (
    "Iron set to {chip}. Mark the starts in pencil. One stroke from each mark, in this order, off the tip: "
    "every start lies further in. Hold the plane straight."
)
_TRACKS = "Each stroke is {tracks} tracks side by side, or the body rides on the foam. "
_FOAM = (
    "Coarse block, never on the wood. Between stops a strip 3 in to each side until the trench is gone, at "
    "the end the full width."
)
_STOP = (
    "The upper figure is the plan's. Reads more: go on, and read again at the next stop. Reads under the "
    "lower one: stop; the strokes to come may go too deep."
)
