"""The first sheet: the blank with the board in it, from the side and from above, and the numbers of both."""

from __future__ import annotations

import numpy as np

from foamwright.papers.dimension import Lettered, horizontal_dimension
from foamwright.papers.drawing import Drawing, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.job_cells import STRIP, Cell, strip_of
from foamwright.papers.job_laid import Laid, laid, note, plan_view, side_view
from foamwright.papers.job_page import Headed
from foamwright.papers.job_views import SCALES, View, enlargement_for
from foamwright.papers.job_words import Figures
from foamwright.papers.style import Anchor, Lettering, Pen
from foamwright.papers.style import Face as Type
from foamwright.stages.marks import RackStation
from foamwright.units import System

_GAP = 4.0
_NAME = 4.5
_SIDE = 12.0


def overview_page(job: PlannedJob) -> Headed:
    """Return the overview."""
    body, plan = job.ground.body, job.plan
    numbers = strip_of(board_cells(job), Box(body.left, body.top - STRIP - 1.0, body.right, body.top - 1.0))
    lay_top = body.bottom + STRIP
    lay = strip_of(lay_cells(job), Box(body.left, body.bottom, body.right, lay_top))
    room = Box(body.left + _SIDE, lay_top + 3.0, body.right - _SIDE, body.top - STRIP - 3.0)
    views, scale = _views(job, laid(job), room)
    length = job.figures.board_length(plan.board.length)
    return Headed(
        title=f"{plan.board.name}, {length}",
        purpose=f"Where the board lies in blank {plan.blank.id}, and what comes off.",
        body=drawing_of([numbers, views, lay]),
        scale=scale,
        refers_to="The finished board, its bottom drawn before the contours. Stations along the level line.",
    )


def _views(job: PlannedJob, curves: Laid, room: Box) -> tuple[Drawing, str]:
    """True side view above, the same with heights enlarged, half the plan below; on one x axis."""
    length = job.plan.blank.length
    denominator, times = _scales(job, curves, room)
    left = room.centre[0] - length * 500.0 / denominator
    tall = float(curves.deck.max()) * 1000.0 / denominator
    true_base = room.top - _NAME - tall
    big_base = true_base - _GAP - _NAME - times * tall
    side = View(left, true_base, denominator)
    enlarged = View(left, big_base, denominator, times)
    above = View(left, room.bottom + 8.0, denominator)
    parts = [
        side_view(side, curves),
        _caption(side, curves, "from the side, true scale"),
        side_view(enlarged, curves),
        _caption(enlarged, curves, f"the same, heights × {times}"),
        _lay_marks(job, curves, enlarged),
        _half_plan(job, above),
    ]
    return drawing_of(parts), f"1:{denominator}"


def _caption(view: View, curves: Laid, words: str) -> Drawing:
    """What a side view is, over the middle of the deck, where the blank is lowest."""
    middle = curves.x.size // 2
    at = (view.x(float(curves.x[middle])), view.y(float(curves.deck[middle])) + 2.0)
    return note(at, words, Anchor.CENTRE)


def _scales(job: PlannedJob, curves: Laid, room: Box) -> tuple[int, int]:
    """Return the largest scale, and enlargement of heights, at which three views find room."""
    tallest = float(curves.deck.max())
    widest = float(np.max(job.plan.blank.half_width(curves.x)))
    for denominator in SCALES:
        if job.plan.blank.length * 1000.0 / denominator > room.width:
            continue
        used = (tallest + widest) * 1000.0 / denominator + 3 * _NAME + 2 * _GAP + 16.0
        times = enlargement_for(tallest, denominator, room.height - used)
        if times > 1:
            break
    return denominator, times


def _half_plan(job: PlannedJob, view: View) -> Drawing:
    """Half the plan above its stringer, with the board's place along the blank."""
    length, slide = job.plan.blank.length, job.plan.lay.slide
    top = (
        view.base + float(np.max(job.plan.blank.half_width(np.array([length / 2])))) * 1000 / view.denominator
    )
    window = Box(view.left - 4.0, view.base - 0.2, view.x(length) + 4.0, top + 1.0)
    ends = ((view.x(slide), view.base), (view.x(slide + job.plan.board.length), view.base))
    words = job.figures.board_length(job.plan.board.length)
    board = horizontal_dimension(*ends, words, view.base - 5.5, Lettered(Lettering.FIGURE))
    return drawing_of(
        [
            plan_view(job, view).clipped_to(window),
            note((view.x(0.5 * length), top + 1.5), "from above, half", Anchor.CENTRE),
            board,
        ]
    )


def lay_stations(job: PlannedJob) -> tuple[RackStation, RackStation]:
    """Return the two stations that fix the lay: a foot (or 300 mm) in from each tip."""
    reach = 12 * 0.0254 if job.figures.system is System.INCH else 0.3
    length = job.plan.board.length
    near = [min(job.plan.stations, key=lambda s: abs(s.x - x)) for x in (reach, length - reach)]
    return near[0], near[1]


def _lay_marks(job: PlannedJob, curves: Laid, view: View) -> Drawing:
    """The blank's level line, and what comes off each face at the two stations that fix the lay."""
    ends = (view.x(0.0), view.x(job.plan.blank.length))
    name = Text(
        (sum(ends) / 2, view.base - 2.8), "blank's level line", Lettering.LABEL, Type.LABEL, Anchor.MIDDLE
    )
    parts = [line([(x, view.base) for x in ends], Pen.LEVEL), Drawing((name,))]
    for station in lay_stations(job):
        parts.append(_lay_mark(job, curves, view, station))
    return drawing_of(parts)


def _lay_mark(job: PlannedJob, curves: Laid, view: View, station: RackStation) -> Drawing:
    x = station.x + job.plan.lay.slide
    at, low = view.x(x), view.base
    top = view.y(float(np.interp(x, curves.x, curves.deck)))
    bottom_off, deck_off = lay_depths(job, station)
    say = job.figures
    texts = [
        Text((at, y), words, Lettering.FIGURE, Type.FIGURES_STRONG, Anchor.MIDDLE)
        for y, words in (
            (top + 6.5, f"{say.depth(deck_off)} off"),
            (low - 4.2, f"{say.depth(bottom_off)} off"),
        )
    ]
    return line([(at, low - 1.0), (at, top + 3.5)], Pen.STATION) + Drawing(tuple(texts))


def lay_depths(job: PlannedJob, station: RackStation) -> tuple[float, float]:
    """Return what leaves bottom and deck at a station until the foil is done, metres."""
    chain = job.plan.chain
    return (
        float(np.interp(station.x, chain.x, chain.bottom.removal)),
        float(np.interp(station.x, chain.x, chain.deck.removal)),
    )


def board_cells(job: PlannedJob) -> list[Cell]:
    """Return the board's key numbers."""
    board, say = job.plan.board, job.figures
    reach = 12 * 0.0254 if say.system is System.INCH else 0.3
    name = "12 in" if say.system is System.INCH else "300 mm"
    widths = [2.0 * float(board.half_width(np.array([x]))[0]) for x in (reach, board.length - reach)]
    rocker = [float(board.rocker(x)) for x in (0.0, board.length)]
    return [
        Cell("length", say.board_length(board.length), 1.2),
        Cell(
            f"wide, {_from_centre(board.outline.wide_at, board.length, say)}",
            say.along(board.numbers.wide),
            1.5,
        ),
        Cell(f"{name} from the nose", say.along(widths[1])),
        Cell(f"{name} from the tail", say.along(widths[0])),
        Cell(
            f"thick, {_from_centre(board.thickest_at, board.length, say)}",
            say.with_unit(say.nearest(board.numbers.thickest)),
            1.5,
        ),
        Cell("rocker, nose", say.with_unit(say.nearest(rocker[1])), 1.15),
        Cell("rocker, tail", say.with_unit(say.nearest(rocker[0])), 1.15),
        Cell("volume", f"{board.mass.volume * 1000:.1f} l"),
    ]


def _from_centre(x: float, length: float, say: Figures) -> str:
    """A place as so much forward or aft of the centre."""
    off = x - length / 2.0
    if abs(off) < 1e-3:
        return "at the centre"
    return f"{say.along(abs(off))} {'forward' if off > 0.0 else 'aft'}"


def lay_cells(job: PlannedJob) -> list[Cell]:
    """Return what fixes the lay on the blank, and what the job takes."""
    plan, say = job.plan, job.figures
    cells = [Cell("tail tip in from the blank's tail", say.along(plan.lay.slide), 1.4)]
    for station in lay_stations(job):
        bottom, deck = lay_depths(job, station)
        place = " ".join(say.station(station))
        cells.append(Cell(f"off the bottom, {place}", say.with_unit(say.depth(bottom)), 1.4))
        cells.append(Cell(f"off the deck, {place}", say.with_unit(say.depth(deck)), 1.4))
    cells.append(Cell("foam planed off", f"{plan.choice.foam_off.planed:.1f} l"))
    cells.append(Cell("about", f"{plan.choice.work_min:.0f} min"))
    return cells
