"""Cutting a drawing to a window by geometry, for pages and for formats without windows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.papers.drawing import Arc, Clip, Drawing, Hatch, Item, Polygon, Polyline, Text
from foamwright.papers.drawing_box import Box, Points, points_of
from foamwright.papers.drawing_hatch import hatch_lines
from foamwright.papers.style import Pen, Tone


@dataclass(frozen=True, slots=True, eq=False)
class Cutter:
    """A drawing with the boxes of its items at hand, for cutting it to many windows.

    `boxes`, shape (n, 4), holds left, bottom, right, top of each item.
    """

    drawing: Drawing
    boxes: Points

    def met(self, window: Box) -> list[Item]:
        """Return the items whose box shares a point with `window`."""
        left, bottom, right, top = self.boxes.T
        across = (left <= window.right) & (window.left <= right)
        hits = np.flatnonzero(across & (bottom <= window.top) & (window.bottom <= top))
        return [self.drawing.items[index] for index in hits.tolist()]

    def cut(self, window: Box) -> Drawing:
        """Return what lies inside `window`; text is kept whole if it is wholly inside, else left out."""
        return Drawing(tuple(piece for item in self.met(window) for piece in _pieces_of(item, window)))

    def touches(self, window: Box) -> bool:
        """Whether anything is drawn inside `window`; a part of a line of text counts."""
        return any(isinstance(item, Text) or _pieces_of(item, window) for item in self.met(window))


def cutter(drawing: Drawing) -> Cutter:
    """Return `drawing` ready for cutting."""
    sides = [(box.left, box.bottom, box.right, box.top) for box in (item.box() for item in drawing.items)]
    return Cutter(drawing, np.array(sides).reshape(-1, 4))


def cut_to(drawing: Drawing, window: Box) -> Drawing:
    """Return what lies inside `window`; text is kept whole if it is wholly inside, else left out."""
    return cutter(drawing).cut(window)


def _pieces_of(item: Item, window: Box) -> tuple[Item, ...]:
    box = item.box()
    if not box.meets(window):
        return ()
    if window.holds(box):
        return (item,)
    match item:
        case Polyline():
            return _lines(item.points, item.pen, window)
        case Arc():
            return _lines(item.points, item.pen, window)
        case Polygon():
            return _polygon(item, window)
        case Hatch():
            return tuple(piece for line in hatch_lines(item) for piece in _pieces_of(line, window))
        case Clip():
            return cut_to(cut_to(Drawing(item.items), item.window), window).items
        case Text():
            return ()


def _lines(points: Points, pen: Pen, window: Box) -> tuple[Polyline, ...]:
    return tuple(Polyline(piece, pen) for piece in clipped_line(points, window))


def _polygon(item: Polygon, window: Box) -> tuple[Item, ...]:
    """The filled part as a polygon, the edge as open lines: the window's own edge is not inked."""
    inside = clipped_polygon(item.points, window) if item.tone is not Tone.NONE else points_of([])
    fill = (Polygon(inside, None, item.tone),) if len(inside) >= 3 else ()
    closed = np.vstack((item.points, item.points[:1]))
    return fill + (_lines(closed, item.pen, window) if item.pen else ())


def clipped_line(points: Points, window: Box) -> list[Points]:
    """Return the parts of an open line inside `window` (Liang and Barsky 1984, each segment)."""
    starts, ends, entered, left = _cut_segments(points, window)
    pieces: list[list[Points]] = []
    for index in np.flatnonzero(left > entered):
        if not (pieces and entered[index] == 0.0 and np.array_equal(pieces[-1][-1], starts[index])):
            pieces.append([starts[index]])
        pieces[-1].append(ends[index])
    return [points_of(np.array(piece)) for piece in pieces]


def _cut_segments(points: Points, window: Box) -> tuple[Points, Points, Points, Points]:
    """Cut ends of every segment and the shares of it where it enters and leaves the window."""
    start, along = points[:-1], np.diff(points, axis=0)
    entered, left = np.zeros(len(start)), np.ones(len(start))
    for axis, low, high in ((0, window.left, window.right), (1, window.bottom, window.top)):
        moving = along[:, axis] != 0.0
        step = np.where(moving, along[:, axis], 1.0)
        shares = np.sort(np.stack(((low - start[:, axis]) / step, (high - start[:, axis]) / step)), axis=0)
        within = (start[:, axis] >= low) & (start[:, axis] <= high)
        # A segment along the window's other side is in it all the way, or enters after it has left.
        entered = np.maximum(entered, np.where(moving, shares[0], np.where(within, 0.0, 2.0)))
        left = np.minimum(left, np.where(moving, shares[1], np.where(within, 1.0, -1.0)))
    # An uncut end is the vertex itself, bit for bit, so that pieces join where segments do.
    first = np.where(entered[:, None] == 0.0, start, start + entered[:, None] * along)
    last = np.where(left[:, None] == 1.0, points[1:], start + left[:, None] * along)
    return first, last, entered, left


def clipped_polygon(points: Points, window: Box) -> Points:
    """Return the part of a closed polygon inside `window` (Sutherland and Hodgman 1974)."""
    kept = points
    for axis, limit, sign in (
        (0, window.left, 1.0),
        (0, window.right, -1.0),
        (1, window.bottom, 1.0),
        (1, window.top, -1.0),
    ):
        kept = _kept_half(kept, axis, limit, sign)
    return points_of(kept)


def _kept_half(points: Points, axis: int, limit: float, sign: float) -> Points:
    """Keep the side where `sign` times (coordinate minus `limit`) is not negative."""
    if len(points) == 0:
        return points
    over = sign * (points[:, axis] - limit)
    out: list[Points] = []
    for here, after, d0, d1 in zip(points, np.roll(points, -1, axis=0), over, np.roll(over, -1), strict=True):
        if d0 >= 0.0:
            out.append(here)
        if (d0 >= 0.0) != (d1 >= 0.0):
            out.append(here + d0 / (d0 - d1) * (after - here))
    return np.array(out).reshape(-1, 2)
