"""The rails' pages: pencil lines of every flat at every station, and sections with the flats drawn in."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from foamwright.cuts.bands import Band, Where
from foamwright.cuts.stage_rails import StationBands
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box
from foamwright.papers.job_base import Job
from foamwright.papers.job_foot import Foot, foot_of_page, reminder_foot
from foamwright.papers.job_howto import HOW, Step
from foamwright.papers.job_offsets import Offsets, Row, RowKind, offsets_under
from foamwright.papers.job_page import Headed
from foamwright.papers.job_rail_edge import edge_mark, edge_rows
from foamwright.papers.job_rail_shape import SectionCut, section_cut
from foamwright.papers.job_views import SCALES, View
from foamwright.papers.style import Anchor, Lettering, Pen, Tone
from foamwright.papers.style import Face as Type
from foamwright.shape.curves import Floats

_SHOWN = (2, 3)
_GAP = 8.0
_BESIDE = 16.0
_NAME = 2.8
_ON = 1e-5
_ROOMY = 52.0
_APART = 6.0


def rail_pages(job: Job) -> list[Headed]:
    """Return the pages of the rails: the flats from the deck, then those from the bottom.

    The how-to stands on the first page whose table leaves room for it, or on a page with sections alone.
    """
    sides = [side for side in (Where.DECK, Where.BOTTOM) if any(_of(s, side) for s in job.plan.bands)]
    roomy = [side for side in sides if sum(row.height for row in _rows(job, side)) <= _ROOMY]
    feet = [foot_of_page if side in roomy[:1] else reminder_foot for side in sides]
    pages = [_page(job, side, foot(job, Step.RAILS)) for side, foot in zip(sides, feet, strict=True)]
    return pages if roomy or not sides else [_section_page(job, sides[0]), *pages]


def _of(station: StationBands, side: Where) -> list[Band]:
    return [band for band in station.bands.bands if band.side is side]


def _page(job: Job, side: Where, under: Foot) -> Headed:
    body, (foot, top) = job.ground.body, under
    heads = tuple(job.figures.station(s.station) for s in job.plan.bands)
    offsets = Offsets(heads, tuple(_rows(job, side)))
    box = Box(body.left, top + 3.0, body.right, top + 3.0 + offsets.height)
    sections, scale = _sections(job, side, Box(body.left, box.top - 5.0, body.right, body.top - 1.0))
    return _headed(_NAMES[side], drawing_of([sections, offsets_under(offsets, box, ()), foot]), scale)


def _section_page(job: Job, side: Where) -> Headed:
    body = job.ground.body
    foot, top = foot_of_page(job, Step.RAILS)
    sections, scale = _sections(job, side, Box(body.left, top + 3.0, body.right, body.top - 1.0))
    return _headed("how to", sections + foot, scale)


_NAMES = {Where.DECK: "from the deck", Where.BOTTOM: "from the bottom"}


def _headed(name: str, body: Drawing, scale: str) -> Headed:
    return Headed(
        title=f"Rails, {name}",
        purpose=HOW[Step.RAILS].purpose,
        body=body,
        scale=scale,
        refers_to="Each line from the edge that its flat takes away, over the surface it is drawn on.",
        step=Step.RAILS.number,
    )


def _rows(job: Job, side: Where) -> list[Row]:
    """Two rows for every flat, outer line and inner one; from the bottom the edge that must stay, first."""
    most = max(len(_of(s, side)) for s in job.plan.bands)
    edge = edge_rows(job) if side is Where.BOTTOM else []
    return [*edge, *(_row(job, side, number, which) for number in range(most) for which in (0, 1))]


def _row(job: Job, side: Where, number: int, which: int) -> Row:
    """One pencil line along the board; where it changes the surface it is drawn on, every cell says which."""
    bands = [_of(s, side) for s in job.plan.bands]
    lines = [one[number].lines[which] if number < len(one) else None for one in bands]
    figures = [job.figures.pencil(line.from_edge) if line else "–" for line in lines]
    name = f"{number + 1}{'ab'[which]}"
    unit = f", {job.figures.unit}" if number == which == 0 else ""
    surfaces = [_surface(line.on) if line else "" for line in lines]
    if len({words for words in surfaces if words}) == 1:
        kind = RowKind.KEY if which else RowKind.PLAIN
        surface = next(words for words in surfaces if words)
        return Row(f"line {name} on {surface}, from the edge{unit}", tuple(figures), kind)
    cells = (f"{figure}|{words}" for figure, words in zip(figures, surfaces, strict=True))
    return Row(f"line {name}, from the edge{unit}", tuple(cells), RowKind.PAIR)


def _surface(on: str) -> str:
    """``deck band 1`` is flat 1 of this page; a plain surface keeps its name."""
    face, _, number = on.partition(" band ")
    return f"flat {number}" if number else f"the {face}"


def _sections(job: Job, side: Where, room: Box) -> tuple[Drawing, str]:
    """A few sections to one scale, the rail at the right."""
    usable = [s for s in job.plan.bands if _of(s, side)]
    count = min(_SHOWN, key=lambda n: (_shown(usable, side, n, room)[1], -n))
    shown, denominator, boxes = _shown(usable, side, count, room)
    parts = [
        _section(job, station, cut, box, denominator)
        for (station, cut), box in zip(shown, boxes, strict=True)
    ]
    return drawing_of(parts), f"1:{denominator}"


Shown = tuple[list[tuple[StationBands, SectionCut]], int, list[Box]]
"""Sections, the scale that they fit at, and where they stand."""


def _shown(usable: Sequence[StationBands], side: Where, count: int, room: Box) -> Shown:
    """Return so many sections, spread along the board but for the ends."""
    picks = np.unique(np.rint(np.linspace(0, len(usable) - 1, count + 2)[1:-1]).astype(int))
    shown = [(usable[i], section_cut(usable[i], side)) for i in picks]
    width = (room.width - (len(shown) - 1) * _GAP) / len(shown)
    lefts = [room.left + i * (width + _GAP) for i in range(len(shown))]
    boxes = [Box(left, room.bottom, left + width, room.top) for left in lefts]
    return shown, _denominator([cut for _, cut in shown], boxes[0]), boxes


def _denominator(cuts: Sequence[SectionCut], box: Box) -> int:
    widest = max(cut.inward for cut in cuts) * 1.12
    tallest = max(float(np.ptp(cut.before[:, 1])) for cut in cuts)
    fitting = (
        d
        for d in SCALES
        if widest * 1000.0 / d <= box.width - _BESIDE and tallest * 1000.0 / d <= box.height - 18.0
    )
    return next(fitting, SCALES[-1])


def _section(job: Job, station: StationBands, cut: SectionCut, box: Box, denominator: int) -> Drawing:
    """One section: foam before thin, the finished rail dashed, flats heavy, pencil lines named."""
    low = float(cut.before[:, 1].min())
    left = box.right - _BESIDE + 4.0 - cut.side * 1000.0 / denominator
    spare = box.height - 18.0 - float(np.ptp(cut.before[:, 1])) * 1000.0 / denominator
    view = View(left, box.bottom + 6.0 + 0.4 * spare - low * 1000.0 / denominator, denominator)
    top = view.y(float(cut.before[:, 1].max()))
    number, rest = job.figures.station(station.station)
    title = Text((box.left, top + 6.0), f"{number} {rest}".strip(), Lettering.FIGURE, Type.TITLE)
    window = Box(box.left, view.base - 50.0, box.right, top + 4.0)
    finished = station.section.finished
    foam = drawing_of(
        [
            _ring(view, cut.before, Pen.CUT),
            *(line(view.curve(*_ends(f.outer, f.inner)), Pen.THIN) for f in cut.flats),
            line(view.curve(finished[:, 0], finished[:, 1]), Pen.HIDDEN),
            _ring(view, cut.after, Pen.OUTLINE),
        ]
    ).clipped_to(window)
    below = any(flat.band.side is Where.BOTTOM for flat in cut.flats)
    edge = [edge_mark(job, station, view, box)] if below else []
    return drawing_of([foam, _names(view, cut), *edge, Drawing((title,))])


def _ends(first: tuple[float, float], last: tuple[float, float]) -> tuple[Floats, Floats]:
    return np.array([first[0], last[0]]), np.array([first[1], last[1]])


def _ring(view: View, corners: Floats, pen: Pen) -> Drawing:
    points = np.column_stack([[view.x(y) for y in corners[:, 0]], [view.y(z) for z in corners[:, 1]]])
    return shape(points, pen)


def _names(view: View, cut: SectionCut) -> Drawing:
    """Every pencil line as a small square with its name outside the foam."""
    lines = [
        (f"{number}{letter}", (view.x(place[0]), view.y(place[1])), _on_face(cut, place))
        for number, flat in enumerate(cut.flats, start=1)
        for letter, place in (("a", flat.outer), ("b", flat.inner))
    ]
    dots = [shape(Box(*at, *at).grown(0.55).corners, None, Tone.INK) for _, at, _ in lines]
    over = _over([item for item in lines if item[2]])
    beside = _beside([(words, at) for words, at, up in lines if not up], view.x(cut.side) + 3.5)
    return drawing_of([*dots, *over, beside])


def _on_face(cut: SectionCut, place: tuple[float, float]) -> float:
    """1 for a place on the deck, -1 on the bottom, 0 on the side or a flat."""
    if cut.side - place[0] < _ON:
        return 0.0
    # The foam before begins with its bottom: at the stringer, at the edge.
    for up, face in ((1.0, cut.before[2:]), (-1.0, cut.before[:2])):
        order = np.argsort(face[:, 0], kind="stable")
        if abs(place[1] - float(np.interp(place[0], face[order, 0], face[order, 1]))) < _ON:
            return up
    return 0.0


def _over(lines: Sequence[tuple[str, tuple[float, float], float]]) -> list[Drawing]:
    """Names over the deck or under the bottom, a step further out where they would touch."""
    ends: dict[tuple[float, int], float] = {}
    parts = []
    for words, at, up in sorted(lines, key=lambda item: item[1][0]):
        lane = next(n for n in range(len(lines)) if ends.get((up, n), -math.inf) <= at[0] - _APART)
        ends[up, lane] = at[0]
        place = (at[0], at[1] + up * (3.0 + lane * (_NAME + 1.2)))
        parts.append(Drawing((Text(place, words, _NAME, Type.FIGURES, Anchor.MIDDLE),)))
    return parts


def _beside(lines: Sequence[tuple[str, tuple[float, float]]], x: float) -> Drawing:
    """Names in a column beside the rail, pushed apart where they would touch."""
    parts: list[Drawing] = []
    last = -math.inf
    for words, at in sorted(lines, key=lambda pair: pair[1][1]):
        last = max(at[1], last + _NAME + 1.2)
        text = Text((x + 2.5, last), words, _NAME, Type.FIGURES, Anchor.MIDDLE_LEFT)
        parts += [line([(at[0] + 0.9, at[1]), (x, last), (x + 1.8, last)], Pen.THIN), Drawing((text,))]
    return drawing_of(parts)
