"""The fin page: every box over the plan of the tail with the marks to pencil, and the foam above it."""

from __future__ import annotations

from math import degrees

import numpy as np

from foamwright.finish.box_figures import foam_figure, mark_figure, need_figure
from foamwright.finish.boxes import BoxFit
from foamwright.finish.finished import Finished
from foamwright.papers.dimension import horizontal_dimension, vertical_dimension
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Box, Points, points_of
from foamwright.papers.drawing_table import Aligned, Column, table
from foamwright.papers.job_cautions import caution_strip
from foamwright.papers.job_page import Ground, Headed
from foamwright.papers.job_views import View, scale_for
from foamwright.papers.job_words import Figures
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.shape.curves import Floats
from foamwright.units import INCH

AHEAD = 4.0 * INCH
"""Metres of board shown ahead of the foremost box."""

_SIDE = 26.0
_LADDER = 9.0


def fin_page(finished: Finished, figures: Figures, ground: Ground) -> Headed:
    """Return the page of the fin boxes of a board; it must have some."""
    body = ground.body
    strip = caution_strip([c for c in finished.cautions if c.step == "boxes"], body.width)
    listed = table(_columns(figures), [_row(fit, figures) for fit in finished.boxes])
    low = body.bottom + strip.height + 2.0
    room = Box(body.left + _SIDE, low + listed.height + 4.0, body.right, body.top - 2.0)
    picture, view = _plan(finished, figures, room)
    return Headed(
        title="Fin boxes",
        purpose="Pencil these marks on the bottom, then look at the foam above before you set the depth.",
        body=drawing_of(
            [
                picture,
                listed.at(body.left, low + listed.height),
                strip.at(body.left, body.bottom + strip.height),
            ]
        ),
        scale=view.scale,
        refers_to="Seen from below, tail to the left; from the tail tip and the stringer's middle.",
    )


def _columns(figures: Figures) -> list[Column]:
    unit = figures.unit
    return [
        Column("box", 30.0, Aligned.WORDS),
        Column(f"rear end from tail, {unit}", 24.0),
        Column(f"rear end from stringer, {unit}", 24.0),
        Column(f"front end from stringer, {unit}", 24.0),
        Column("toe, °", 14.0),
        Column("cant, °", 14.0),
        Column(f"depth, {unit}", 18.0),
        Column(f"least foam above, {unit}", 24.0),
        Column(f"must remain, {unit}", 20.0),
        Column("set", 16.0, Aligned.WRITE),
    ]


def _row(fit: BoxFit, figures: Figures) -> tuple[str, ...]:
    fin = fit.fin
    return (
        fin.name,
        mark_figure(fin.x, figures.system),
        mark_figure(abs(fin.y), figures.system),
        mark_figure(abs(fit.front[1]), figures.system),
        f"{degrees(fin.toe):g}",
        f"{degrees(fin.cant):g}",
        mark_figure(fin.box_depth, figures.system),
        foam_figure(fit, figures.system),
        need_figure(fin.cover, figures.system),
        "",
    )


def _plan(finished: Finished, figures: Figures, room: Box) -> tuple[Drawing, View]:
    """Return the plan of the tail with its boxes, seen from below, and its view."""
    board = finished.board
    reach = min(max(max(fit.front[0] for fit in finished.boxes) + AHEAD, 0.3), board.length)
    wide = 2.0 * float(np.max(board.half_width(np.linspace(0.0, reach, 200))))
    shown = _one_of_each(finished.boxes)
    ladder = _LADDER * (len(shown) + 1)
    scale = max(scale_for(reach, room.width - 2.0), scale_for(wide, room.height - ladder))
    view = View(room.left, room.bottom + ladder + wide * 500.0 / scale, scale)
    parts = [_outline(finished, view, reach), *(_box(fit, view) for fit in finished.boxes)]
    parts += [_marks(fit, view, figures, n, wide) for n, fit in enumerate(shown)]
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
    centre = np.mean(np.array(ring), axis=0)
    name = Text(
        (view.x(float(centre[0])), view.y(-float(centre[1])) + (4.4 if fit.fin.y < 0.0 else -4.4)),
        fit.fin.name,
        Lettering.LABEL,
        Face.LABEL,
        Anchor.MIDDLE,
        patch=0.4,
    )
    return drawing_of(
        [
            shape(_placed(deep, view), Pen.HIDDEN),
            shape(_placed(ring, view), Pen.CUT),
            line(_placed(middle, view), Pen.STATION),
            Drawing((name,)),
        ]
    )


def _placed(points: list[tuple[float, float]], view: View) -> Points:
    """Return points of the board as seen from below with the nose to the right: its left side is below."""
    return points_of([(view.x(x), view.y(-y)) for x, y in points])


def _marks(fit: BoxFit, view: View, figures: Figures, place: int, wide: float) -> Drawing:
    """Return the dimensions of a box: from the tail, and its rear and front end from the stringer."""
    fin = fit.fin
    rear = (view.x(fin.x), view.y(-fin.y))
    below = view.y(-0.5 * wide) - _LADDER * (place + 1)
    parts = [
        horizontal_dimension(
            (view.x(0.0), view.y(0.0)), (rear[0], view.y(0.0)), mark_figure(fin.x, figures.system), below
        )
    ]
    if fin.y:
        front = (view.x(fit.front[0]), view.y(-fit.front[1]))
        parts += [
            vertical_dimension(
                (rear[0], view.y(0.0)), rear, mark_figure(abs(fin.y), figures.system), rear[0] - 4.0
            ),
            vertical_dimension(
                (front[0], view.y(0.0)), front, mark_figure(abs(fit.front[1]), figures.system), front[0] + 4.0
            ),
        ]
    return drawing_of(parts)
