"""The plan of a tail with its fin boxes, seen from below: marks, and names where no line is."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from foamwright.finish.box_figures import mark_figure
from foamwright.finish.boxes import BoxFit
from foamwright.finish.finished import Finished
from foamwright.papers.dimension import horizontal_dimension, vertical_dimension
from foamwright.papers.drawing import Drawing, Polygon, Polyline, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box, Points, box_around, points_of
from foamwright.papers.job_views import View, scale_for
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.shape.curves import Floats
from foamwright.units import INCH, System

AHEAD = 4.0 * INCH
"""Metres of board shown ahead of the foremost box."""

_LADDER = 9.0
"""Millimetres from one dimension line to the next."""
_OFF = 8.0
"""Millimetres from the drawn board's ends to the first upright dimension line."""
_NAME_OFF = 2.6
"""Millimetres from a box to the middle of its name."""


def fin_plan(finished: Finished, system: System, room: Box) -> tuple[Drawing, View]:
    """Return the plan of the tail with its boxes in `room`, and its view.

    Distances from the tail stand below; those of the boxes' ends from the stringer outside the drawn board:
    rear ends behind the tail, front ends ahead of where the drawing ends. So no number stands in the plan.
    """
    board, boxes = finished.board, finished.boxes
    reach = min(max(max(fit.front[0] for fit in boxes) + AHEAD, 0.3), board.length)
    wide = 2.0 * float(np.max(board.half_width(np.linspace(0.0, reach, 200))))
    shown = _one_of_each(boxes)
    aside = sorted((fit for fit in shown if fit.fin.y), key=lambda fit: abs(fit.fin.y))
    ladder, side = _LADDER * (len(shown) + 1), _OFF + _LADDER * len(aside)
    scale = max(scale_for(reach, room.width - 2.0 * side), scale_for(wide, room.height - ladder))
    view = View(room.left + side, room.bottom + ladder + wide * 500.0 / scale, scale)
    lines = drawing_of([_outline(finished, view, reach), *(_box(fit, view) for fit in boxes)])
    foot = view.y(-0.5 * wide)
    parts = [lines, *(_name(fit, view, lines) for fit in boxes)]
    parts += [_from_tail(fit, finished, view, (system, foot - _LADDER * n)) for n, fit in enumerate(shown, 1)]
    parts += [_from_stringer(fit, view, (system, _OFF + _LADDER * n), reach) for n, fit in enumerate(aside)]
    return drawing_of(parts), view


def _one_of_each(boxes: tuple[BoxFit, ...]) -> list[BoxFit]:
    """Return the boxes to be dimensioned: of two alike the right one, drawn above the stringer."""
    alike = {(fit.fin.x, abs(fit.fin.y)): fit for fit in sorted(boxes, key=lambda fit: -fit.fin.y)}
    return sorted(alike.values(), key=lambda fit: fit.fin.x)


def _outline(finished: Finished, view: View, reach: float) -> Drawing:
    board = finished.board
    u = np.linspace(0.0, np.arccos(1.0 - 2.0 * reach / board.length), 240)
    x = board.length * 0.5 * (1.0 - np.cos(u))
    half, inner = board.half_width(x), board.inner(x)
    sides = [line(view.curve(x, sign * half), Pen.OUTLINE) for sign in (1.0, -1.0)]
    ends = [_end(view, sign * float(inner[0]), sign * float(half[0])) for sign in (1.0, -1.0)]
    notch = _notch(view, x[inner > 0.0], inner[inner > 0.0])
    stringer = line([(view.x(0.0) - 6.0, view.y(0.0)), (view.x(reach) + 2.0, view.y(0.0))], Pen.LEVEL)
    return drawing_of([*sides, *ends, *notch, stringer])


def _notch(view: View, x: Floats, inner: Floats) -> list[Drawing]:
    return [line(view.curve(x, s * inner), Pen.OUTLINE) for s in (1.0, -1.0)] if x.size else []


def _end(view: View, near: float, far: float) -> Drawing:
    return line([(view.x(0.0), view.y(near)), (view.x(0.0), view.y(far))], Pen.OUTLINE)


def _box(fit: BoxFit, view: View) -> Drawing:
    rims = {corner.name: corner.rim for corner in fit.corners}
    ring = [rims[name] for name in ("rear inner", "rear outer", "front outer", "front inner")]
    middle = [(fit.fin.x, fit.fin.y), fit.front]
    floor = {corner.name: corner.floor[:2] for corner in fit.corners}
    deep = [floor[name] for name in ("rear inner", "rear outer", "front outer", "front inner")]
    return drawing_of(
        [
            shape(_placed(deep, view), Pen.HIDDEN),
            shape(_placed(ring, view), Pen.CUT),
            line(_placed(middle, view), Pen.STATION),
        ]
    )


def _placed(points: list[tuple[float, float]], view: View) -> Points:
    """Return points of the board as seen from below with the nose to the right: its left side is below."""
    return points_of([(view.x(x), view.y(-y)) for x, y in points])


def _name(fit: BoxFit, view: View, lines: Drawing) -> Drawing:
    """Return the name of a box beside it: towards the stringer, else away from it, else ahead of it."""
    ring = box_around(_placed([corner.rim for corner in fit.corners], view))
    x = ring.centre[0]
    inner, outer = ring.bottom - _NAME_OFF, ring.top + _NAME_OFF
    if fit.fin.y > 0.0:
        inner, outer = outer, inner
    ahead = Text((ring.right + 2.0, ring.centre[1]), fit.fin.name, anchor=Anchor.MIDDLE_LEFT)
    tried = [Text((x, y), fit.fin.name, Lettering.LABEL, Face.LABEL, Anchor.MIDDLE) for y in (inner, outer)]
    clear = [text for text in (*tried, ahead) if not _crossed(text.box().grown(0.3), lines)]
    return Drawing((clear[0] if clear else tried[0],))


def _crossed(box: Box, lines: Drawing) -> bool:
    """Whether a line of a drawing runs through a box; lines are looked at every half millimetre."""
    rows = [_dotted(item.points) for item in lines.items if isinstance(item, Polyline | Polygon)]
    dots = np.concatenate(rows)
    inside = (dots > (box.left, box.bottom)) & (dots < (box.right, box.top))
    return bool(np.any(np.all(inside, axis=1)))


def _dotted(points: Points) -> Floats:
    closed = np.vstack([points, points[:1]]) if len(points) > 2 else points
    parts = []
    for start, end in pairwise(closed):
        count = 2 + int(2.0 * np.hypot(*(end - start)))
        parts.append(start + np.linspace(0.0, 1.0, count)[:, None] * (end - start))
    return np.concatenate(parts)


def _from_tail(fit: BoxFit, finished: Finished, view: View, place: tuple[System, float]) -> Drawing:
    """Return how far a box's rear end is from the tail tip, measured below the drawing."""
    fin, (system, y) = fit.fin, place
    alike = [f.fin.y for f in finished.boxes if f.fin.x == fin.x and abs(f.fin.y) == abs(fin.y)]
    tip = (view.x(0.0), view.y(-float(finished.board.half_width(np.zeros(1))[0])))
    rear = (view.x(fin.x), view.y(-max(alike)))
    return horizontal_dimension(tip, rear, mark_figure(fin.x, system), y)


def _from_stringer(fit: BoxFit, view: View, place: tuple[System, float], reach: float) -> Drawing:
    """Return how far a box's two ends are from the stringer, measured behind and ahead of the drawing."""
    (system, off), y = place, view.y(0.0)
    rear, front = _placed([(fit.fin.x, fit.fin.y), fit.front], view).tolist()
    behind, ahead = view.x(0.0), view.x(reach)
    return drawing_of(
        [
            vertical_dimension(
                (behind, y), (rear[0], rear[1]), mark_figure(abs(fit.fin.y), system), behind - off
            ),
            vertical_dimension(
                (ahead, y), (front[0], front[1]), mark_figure(abs(fit.front[1]), system), ahead + off
            ),
        ]
    )
