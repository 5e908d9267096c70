"""Sheet 1 of the wall pack: the board in its blank, the outline's marks, and the order of the work."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import fitted
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.job_laid import Laid, laid, side_view
from foamwright.papers.job_overview import board_cells, lay_depths
from foamwright.papers.job_views import SCALES, View, enlargement_for
from foamwright.papers.style import Anchor, Face, Pen
from foamwright.papers.tiling import Page
from foamwright.papers.wall_frame import (
    FIGURE,
    WORDS,
    Hung,
    Kind,
    Row,
    body_of,
    station_table,
    tick_box,
    write_line,
)
from foamwright.stages.marks import RackStation
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System

NAMES = 44.0
"""Width of a table's column of names, mm."""

NEAR = {System.INCH: (6, 12, 18, 24), System.MM: (150, 300, 450, 600)}
"""Distances from a tip that hang on the wall: those that a pupil marks."""


def marks_sheet(job: PlannedJob, page: Page, rider: str) -> Hung:
    """Return sheet 1."""
    body = body_of(page)
    numbers = Box(body.left, body.top - 27.0, body.right, body.top - 12.0)
    picture = Box(body.left, body.top - 86.0, body.right, numbers.bottom - 1.0)
    table_box = Box(body.left, body.bottom, body.right, picture.bottom - 1.0)
    table, height = station_table(_outline_rows(job), table_box, NAMES)
    below = Box(body.left, body.bottom, body.right, table_box.top - height - 2.0)
    parts = [_head(job, body, rider), _numbers(job, numbers), _picture(job, picture), table]
    return Hung("1", "The board and its marks", drawing_of([*parts, _work(job, below)]))


def wall_stations(job: PlannedJob) -> tuple[RackStation, ...]:
    """Return the stations that hang on the wall, tail to nose."""
    near = NEAR[job.figures.system]

    def hangs(station: RackStation) -> bool:
        number, _, rest = station.name.partition(" ")
        return not rest or int(number) in near

    return tuple(station for station in job.plan.stations if hangs(station))


def heads(job: PlannedJob) -> tuple[str, ...]:
    """Return the stations' short names, as a tape reads them from the nearer tip."""
    names = {"tail": "tail", "nose": "nose", "centre": "C"}
    return tuple(names.get(s.name, s.name.partition(" ")[0]) for s in wall_stations(job))


def _head(job: PlannedJob, body: Box, rider: str) -> Drawing:
    """Who shapes it, who teaches, when, and the blank as the pupil reads it off."""
    names = ("pupil", "teacher", "date", f"rider: {rider}" if rider else "rider", "blank, read off")
    shares = (1.0, 1.0, 0.7, 1.0, 1.9)
    low, left = body.top - 9.0, body.left
    parts = []
    for name, share in zip(names, shares, strict=True):
        right = left + body.width * share / sum(shares)
        parts.append(write_line(name, Box(left, low, right - 3.0, low + 6.0)))
        left = right
    wanted = Text((body.right - 3.0, low + 1.4), f"({job.plan.blank.id})", WORDS, Face.FIGURES, Anchor.RIGHT)
    return drawing_of([*parts, Drawing((fitted(wanted, 44.0),))])


def _numbers(job: PlannedJob, box: Box) -> Drawing:
    """The finished numbers in one row."""
    cells = board_cells(job)
    total = sum(cell.share for cell in cells)
    parts, left = [frame(box, Pen.CUT)], box.left
    for cell in cells:
        right = left + box.width * cell.share / total
        caption = fitted(Text((left + 1.2, box.top - 3.6), cell.caption, 2.4, Face.LABEL), right - left - 2.0)
        place = ((left + right) / 2, box.bottom + 5.2)
        figure = Text(place, cell.figure, FIGURE, Face.TITLE, Anchor.MIDDLE)
        parts.append(Drawing((caption, figure)))
        if right < box.right - 1e-6:
            parts.append(line([(right, box.bottom), (right, box.top)], Pen.THIN))
        left = right
    return drawing_of(parts)


@dataclass(frozen=True, slots=True)
class _TakeOff:
    """Where a take-off is written: its station on the blank, what leaves the bottom and the deck, metres."""

    x: float
    bottom: float
    deck: float


def _picture(job: PlannedJob, box: Box) -> Drawing:
    """The board in its blank from the side, with what comes off at the tips and a foot in from them."""
    curves, length = laid(job), job.plan.blank.length
    denominator = next((d for d in SCALES if length * 1000.0 / d <= box.width - 8.0), SCALES[-1])
    tall = float(max(curves.deck.max(), curves.high.max()))
    times = enlargement_for(tall, denominator, box.height - 34.0)
    view = View(box.centre[0] - length * 500.0 / denominator, box.bottom + 17.0, denominator, times)
    words = f"Tail tip {job.figures.along(job.plan.lay.slide)} in from the blank's tail. What comes off, "
    words += f"{job.figures.unit}; heights × {times}."
    caption = Text((box.centre[0], box.bottom + 0.6), words, WORDS, Face.LABEL, Anchor.CENTRE)
    marks = [_take_off(job, curves, view, one) for one in _take_offs(job)]
    return drawing_of([side_view(view, curves), *marks, Drawing((caption,))])


def _take_offs(job: PlannedJob) -> list[_TakeOff]:
    """The tips, a foot in from each, and the middle."""
    reach = 12 * INCH if job.figures.system is System.INCH else 0.3
    length, found = job.plan.board.length, []
    for wanted in (0.0, reach, length / 2.0, length - reach, length):
        station = min(job.plan.stations, key=lambda s: abs(s.x - wanted))
        bottom, deck = lay_depths(job, station)
        found.append(_TakeOff(station.x + job.plan.lay.slide, bottom, deck))
    return found


def _take_off(job: PlannedJob, curves: Laid, view: View, one: _TakeOff) -> Drawing:
    x, deck = curves.x, curves.deck
    at, top = view.x(one.x), view.y(float(np.interp(one.x, x, deck)))
    low = view.y(float(np.interp(one.x, x, curves.bottom)))
    above = Text((at, top + 3.0), shown_depth(job, one.deck), FIGURE, Face.FIGURES_STRONG, Anchor.CENTRE)
    below = Text(
        (at, low - FIGURE - 2.8), shown_depth(job, one.bottom), FIGURE, Face.FIGURES_STRONG, Anchor.CENTRE
    )
    return drawing_of([line([(at, low), (at, top)], Pen.STATION), Drawing((above, below))])


def shown_depth(job: PlannedJob, metres: float) -> str:
    """Return what comes off, never more than the exact depth; less than the tape shows is nothing."""
    figure = job.figures.depth(metres)
    return "0" if figure == "skim" else figure


def _half_width(job: PlannedJob, metres: float) -> str:
    """Return a half width, never below the exact one; a point stays a point."""
    return "0" if metres <= job.plan.chain.finish + 1e-9 else job.figures.width(metres)


def _outline_rows(job: PlannedJob) -> list[Row]:
    """Half widths per side from the middle of the stringer, the saw's line, a box for each side."""
    say, chain = job.figures, job.plan.chain
    middle = "middle of the stringer" if job.plan.blank.numbers.stringer.width > 0.0 else "centre line"
    names = {s.name for s in wall_stations(job)}
    marks = [m for m in job.marks(StageName.OUTLINE, None) if m.station.name in names]
    saw = job.plan.bay.allowances.saw - chain.finish
    return [
        Row(f"from the tip, {say.unit}", heads(job), Kind.HEAD),
        Row(f"half width, from the {middle}", tuple(_half_width(job, m.width / 2.0) for m in marks)),
        Row("saw at", tuple(say.width(m.width / 2.0 + saw) if m.width > 0.0 else "–" for m in marks)),
        Row("read, left", kind=Kind.WRITE),
        Row("read, right", kind=Kind.WRITE),
    ]


CHECKS = (
    "Both sides within 1/16 in at every mark",
    "Template flipped over the middle: the lines lie on each other",
    "Tail at the blank's tail, face up as drawn",
)


def _work(job: PlannedJob, box: Box) -> Drawing:
    """Checks before the saw, then the order of the work, with the teacher's initials where it matters."""
    foam = (
        "rocker, foam down to it"
        if job.plan.blank.numbers.stringer.width > 0.0
        else "rocker, the whole width"
    )
    foil = "foil, foam down to it" if job.plan.blank.numbers.stringer.width > 0.0 else "foil, the whole width"
    steps = [
        ("outline sawn and squared", False),
        ("both faces to thickness", False),
        (foam, True),
        (foil, True),
        *([("bottom contours", False)] if job.plan.scoop.needed else []),
        ("rails in flats, then round", True),
        ("last sanding, numbers read", False),
    ]
    checks = (
        CHECKS if job.figures.system is System.INCH else (CHECKS[0].replace("1/16 in", "1.5 mm"), *CHECKS[1:])
    )
    left_width = 0.40 * box.width
    top, parts = box.top - 4.0, []
    titles = [
        Text((box.left, top), "Before the saw", 3.4, Face.TITLE),
        Text((box.left + left_width, top), "Order of the work (line: teacher's initials)", 3.4, Face.TITLE),
    ]
    rows = (*((words, False) for words in checks), ("Teacher looked before the saw", True))
    step = min(6.4, (box.height - 6.0) / max(len(rows), (len(steps) + 1) // 2))
    for index, (words, initials) in enumerate(rows):
        at = (box.left, top - 6.0 - index * step)
        parts.append(tick_box(words, at, left_width - 6.0, initials=initials))
    width, half = 0.30 * box.width, (len(steps) + 1) // 2
    for index, (words, initials) in enumerate(steps):
        at = (box.left + left_width + width * (index // half), top - 6.0 - (index % half) * step)
        parts.append(tick_box(f"{index + 1}  {words}", at, width - 4.0, initials=initials))
    return drawing_of([Drawing(tuple(titles)), *parts])
