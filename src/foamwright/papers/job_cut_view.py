"""The side view of a cut as it lies on the rack: foam before and after, level lines, ways, stations."""

from __future__ import annotations

import math

import numpy as np

from foamwright.blank.numbers import Face
from foamwright.papers.dimension import arrowhead
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, on_paper
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import shrunk
from foamwright.papers.job_base import Cut, Job
from foamwright.papers.job_views import View, enlargement_for, removed, scale_for, solid
from foamwright.papers.style import Anchor, Hatching, Lettering, Pen
from foamwright.papers.style import Face as Type
from foamwright.shape.curves import Floats
from foamwright.stages.solids import StageName

SIDE = 13.5
"""Room beside the board for what comes off at its tips, mm."""

_HATCHES = {Face.BOTTOM: Hatching.BOTTOM, Face.DECK: Hatching.DECK}


def cut_view(job: Job, cut: Cut, room: Box) -> tuple[Drawing, View, list[tuple[float, float]]]:
    """Return the side view of a cut as it lies on the rack, its view, and the stations' feet."""
    x, rise = cut.before.x, job.rise(cut.before.x)
    low, high = cut.before.bottom + rise, cut.before.deck + rise
    floor, ceiling = min(0.0, float(low.min())), float(high.max())
    length = job.plan.board.length
    denominator = scale_for(length, room.width)
    times = enlargement_for(ceiling - floor, denominator, room.height)
    view = _placed(room, length, (floor, ceiling), denominator, times * cut.lies)
    stations = [s.x for s in job.plan.stations]
    feet = [(view.x(at), room.bottom) for at in stations]
    parts = [
        *(_station_line(view, at, (x, low, high), room.bottom) for at in stations),
        *(_hatched(view, cut, face, rise) for face in cut.faces),
        solid(view, x, low, high, Pen.CUT),
        solid(view, x, cut.after.bottom + rise, cut.after.deck + rise, Pen.OUTLINE),
        _levels(job, cut, view),
        _lying(job, cut, view),
        *(_ways(job, cut, view, face) for face in cut.faces),
        *(_tip_dimensions(job, cut, view, face) for face in cut.faces),
    ]
    return drawing_of(parts), view, feet


def _placed(room: Box, length: float, heights: tuple[float, float], denominator: int, times: int) -> View:
    """Centred across, standing on the bottom of the room."""
    left = room.centre[0] - length * 500.0 / denominator
    lowest = min(heights[0] * times, heights[1] * times)
    return View(left, room.bottom - lowest * 1000.0 / denominator, denominator, times)


def _hatched(view: View, cut: Cut, face: Face, rise: Floats) -> Drawing:
    if face is Face.BOTTOM:
        low, high = cut.before.bottom, cut.after.bottom
    else:
        low, high = cut.after.deck, cut.before.deck
    return removed(view, cut.before.x, low + rise, high + rise, _HATCHES[face])


def _station_line(view: View, at: float, profile: tuple[Floats, Floats, Floats], foot: float) -> Drawing:
    """From the upper face through the board down to where the table takes over."""
    x, low, high = profile
    ends = [view.y(float(np.interp(at, x, z))) for z in (low, high)]
    return line([(view.x(at), max(ends)), (view.x(at), foot)], Pen.STATION)


def _levels(job: Job, cut: Cut, view: View) -> Drawing:
    """The blank's level line, and the one that a straight edge shows after the bottom is cut."""
    length = job.plan.board.length
    left, right = view.x(0.0), view.x(length)
    blank = line([(left, view.base), (right, view.base)], Pen.LEVEL)
    if cut.lies > 0 or cut.after.name is StageName.THICKNESS:
        return blank + _level_name((left, view.base), "blank's level line", Anchor.MIDDLE_LEFT)
    ends = (job.rise(np.array([0.0, length])) + float(cut.after.bottom.min())).tolist()
    first, last = (view.y(z) for z in ends)
    names = _level_name((left, max(first, view.base)), "blank's level line", Anchor.MIDDLE_LEFT)
    names += _level_name((right, max(last, view.base)), "straight edge, after", Anchor.MIDDLE_RIGHT)
    return line([(left, first), (right, last)], Pen.HIDDEN) + blank + names


def _level_name(at: tuple[float, float], words: str, anchor: Anchor) -> Drawing:
    """The name of a level line, over its end."""
    return on_paper(Text((at[0], at[1] + 2.6), words, Lettering.LABEL, Type.LABEL, anchor), 0.3)


def _lying(job: Job, cut: Cut, view: View) -> Drawing:
    """In the foam beside the middle: which face is up."""
    at = 0.5 * job.plan.board.length + 8.0 * view.denominator / 1000.0
    heights = [float(np.interp(at, cut.after.x, z)) for z in (cut.after.bottom, cut.after.deck)]
    y = view.y(sum(heights) / 2.0 + float(job.rise(np.array(at))))
    words = "lies deck up" if cut.lies > 0 else "lies bottom up"
    return on_paper(Text((view.x(at), y), words, Lettering.LABEL, Type.LABEL, Anchor.MIDDLE_LEFT), 0.8)


def _ways(job: Job, cut: Cut, view: View, face: Face) -> Drawing:
    """Arrows in the foam under the upper face: which way the plane goes."""
    if (face is Face.DECK) != (cut.lies > 0):
        return Drawing()
    x = cut.after.x
    curve = (x, (cut.after.deck if face is Face.DECK else cut.after.bottom) + job.rise(x))
    if cut.after.name is StageName.THICKNESS:
        return _way(view, curve, (0.62, 0.9), "whole length")
    pivot = (job.plan.chain.deck if face is Face.DECK else job.plan.chain.bottom).pivot / (x.size - 1)
    nose = (pivot + 0.3 * (1.0 - pivot), pivot + 0.85 * (1.0 - pivot))
    tail = (pivot - 0.3 * pivot, pivot - 0.85 * pivot)
    return _way(view, curve, nose, "off the nose") + _way(view, curve, tail, "off the tail")


def _way(view: View, curve: tuple[Floats, Floats], shares: tuple[float, float], words: str) -> Drawing:
    """An arrow under a curve from one share of the length to another, with words under its middle."""
    x, z = curve
    first, last = (round(share * (x.size - 1)) for share in shares)
    step = 1 if last > first else -1
    part = slice(first, last + step, step)
    points = view.curve(x[part], z[part]) - np.array([0.0, 3.2])
    (x0, y0), (x1, y1) = points[-2].tolist(), points[-1].tolist()
    middle = points[len(points) // 2].tolist()
    slope = math.atan2(y1 - float(points[0, 1]), x1 - float(points[0, 0]))
    reading = slope if abs(slope) < math.pi / 2 else slope + math.pi
    at = (middle[0] + 2.9 * math.sin(reading), middle[1] - 2.9 * math.cos(reading))
    name = Text(at, words, Lettering.LABEL, Type.LABEL, Anchor.MIDDLE, reading)
    head = arrowhead((x1, y1), math.atan2(y1 - y0, x1 - x0))
    return line(points, Pen.CUT) + head + on_paper(name, 0.4)


def _tip_dimensions(job: Job, cut: Cut, view: View, face: Face) -> Drawing:
    """What comes off at each tip, as a dimension outside it."""
    x, rise = cut.before.x, job.rise(cut.before.x)
    before = (cut.before.bottom if face is Face.BOTTOM else cut.before.deck) + rise
    after = (cut.after.bottom if face is Face.BOTTOM else cut.after.deck) + rise
    parts = []
    for index, side in ((0, -1.0), (-1, 1.0)):
        at = view.x(float(x[index]))
        heights = view.y(float(before[index])), view.y(float(after[index]))
        words = job.figures.depth(abs(float(after[index] - before[index])))
        parts.append(_gap(at, heights, words, side))
    return drawing_of(parts)


def _gap(at: float, heights: tuple[float, float], words: str, side: float) -> Drawing:
    """A small distance between two heights beside a tip, its figure upright beyond the arrows."""
    x = at + side * 3.5
    low, high = sorted(heights)
    arrows = arrowhead((x, low), math.pi / 2) + arrowhead((x, high), -math.pi / 2)
    strokes = [line([(at + side, y), (x + side * 1.2, y)], Pen.DIMENSION) for y in heights] + [
        line([(x, low - 5.0), (x, low)], Pen.DIMENSION),
        line([(x, high), (x, high + 5.0)], Pen.DIMENSION),
    ]
    anchor = Anchor.MIDDLE_LEFT if side > 0 else Anchor.MIDDLE_RIGHT
    place = (x + side * 2.0, (low + high) / 2)
    figure = shrunk(Text(place, words, Lettering.FIGURE, Type.FIGURES_STRONG, anchor), SIDE - 5.5)
    return drawing_of([*strokes, arrows, Drawing((figure,))])
