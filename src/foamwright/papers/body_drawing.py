"""Bodies as a drawing at full size: seen from above, from the side, and cut across at stations."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.exchange.solids import Body
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import low_share

ALONG, ACROSS = 801, 61
GAP = 60.0
"""Millimetres between the views."""

ROW = 1200.0
"""Millimetres of a row of nested sections: a common sheet of ply or hardboard, on its long side."""

PENS = (Pen.OUTLINE, Pen.CUT)
"""The body that encloses, and what lies in it."""


def bodies_drawing(
    bodies: Sequence[Body], stations: Sequence[tuple[str, float]], marks: Drawing | None = None
) -> Drawing:
    """Return bodies in three views, millimetres at full size, tail at the left.

    Parameters
    ----------
    bodies
        The first encloses the others; all in one frame.
    stations
        Names and stations (metres in the first body's frame) at which it is cut across.
    marks
        What else is drawn on the view from above, in its own millimetres.
    """
    above, side = _above(bodies) + (marks or Drawing(())), _side(bodies)
    side = side.moved(0.0, above.box().bottom - GAP - side.box().top)
    cuts = [section_of(bodies[0], name, x) for name, x in stations]
    return drawing_of([above, side, *_in_rows(cuts, side.box().bottom - GAP, above.box().width)])


def sections_drawing(
    body: Body, stations: Sequence[tuple[str, float]], slot: tuple[float, str] | None = None
) -> Drawing:
    """Return only the sections, nested in rows on one sheet; with the stringer's slot where it is known.

    Parameters
    ----------
    body
        What is cut across.
    stations
        Names and stations, metres in the body's frame.
    slot
        Width of the stringer (metres), and in words with the unit.
    """
    cuts = [section_of(body, name, x) + _slot(body, x, slot) for name, x in stations]
    widest = max(cut.box().width for cut in cuts)
    return drawing_of(_in_rows(cuts, 0.0, max(ROW, widest)))


def _slot(body: Body, station: float, slot: tuple[float, str] | None) -> Drawing:
    """The two sides of the stringer across a section, and how wide it is."""
    x = np.array([station])
    if slot is None or float(body.solid.inner(x)[0]) > 0.0:
        return Drawing(())
    share = np.array([[min(1.0, slot[0] / 2.0 / float(body.solid.half_width(x)[0]))]])
    low, high = float(body.solid.bottom_at(x, share)[0, 0]), float(body.solid.deck_at(x, share)[0, 0])
    half, tall = slot[0] * 500.0, (high - low) * 500.0
    sides = [line([(s * half, -tall), (s * half, tall)], Pen.HIDDEN) for s in (-1.0, 1.0)]
    place = (half + 2.0, 0.0)
    return drawing_of([*sides, Drawing((Text(place, slot[1], 2.5, Face.LABEL, Anchor.MIDDLE_LEFT),))])


def _above(bodies: Sequence[Body]) -> Drawing:
    parts = [_ring(body, pen) for body, pen in _penned(bodies)]
    # Out along the bottom only: the way back along the deck would lie on it.
    along = _stringer(bodies[0])[:, 0] * 1000.0
    parts.append(line([(float(along.min()), 0.0), (float(along.max()), 0.0)], Pen.LEVEL))
    return drawing_of(parts)


def _ring(body: Body, pen: Pen) -> Drawing:
    """The outline seen from above; a notch is walked in and out again, a slot leaves two pieces."""
    x = _stretched(body)
    outer, inner = body.solid.half_width(x), body.solid.inner(x)
    edge, notch = (np.stack([x, y], axis=1) for y in (outer, inner))
    if inner[x.size // 2] > 0.0:
        halves = [np.vstack([edge, notch[::-1]]) * (1.0, side) for side in (1.0, -1.0)]
        return drawing_of([shape(_millimetres(_flat(body, half)), pen) for half in halves])
    notch = notch[inner > 0.0]
    ring = np.vstack([edge, edge[::-1] * (1.0, -1.0), notch * (1.0, -1.0), notch[::-1]])
    return shape(_millimetres(_flat(body, ring)), pen)


def _flat(body: Body, ring: Floats) -> Floats:
    """Points of an outline in the file's frame; the lay's turn is small and hardly shortens it."""
    return body.placed(np.column_stack([ring, np.zeros(ring.shape[0])]))[:, :2]


def _side(bodies: Sequence[Body]) -> Drawing:
    parts = []
    for body, pen in _penned(bodies):
        stringer = _stringer(body)
        parts.append(shape(_millimetres(stringer[:, [0, 2]]), pen))
    box = drawing_of(parts).box()
    return drawing_of([*parts, line([(box.left, 0.0), (box.right, 0.0)], Pen.LEVEL)])


def _stringer(body: Body) -> Floats:
    """(2 N, 3) the profile in the stringer's plane: out along the bottom, back along the deck."""
    x = _stretched(body)
    share = low_share(body.solid, x)[:, None]
    low, high = body.solid.bottom_at(x, share)[:, 0], body.solid.deck_at(x, share)[:, 0]
    zero = np.zeros_like(x)
    out, back = np.stack([x, zero, low], axis=1), np.stack([x, zero, high], axis=1)[::-1]
    return body.placed(np.vstack([out, back]))


def section_of(body: Body, name: str, station: float) -> Drawing:
    """Return a section closed round, its stringer at x = 0, half its height at y = 0, its name below."""
    x = np.array([station])
    points = [
        np.stack([share[0] * body.solid.half_width(x)[0], height[0]], axis=1)
        for share, height in (strip.at(x, strip.crowded.sites(ACROSS)) for strip in body.strips)
    ]
    half = np.vstack(points)
    middle = float(np.mean(half[[0, -1], 1]))
    ring = _millimetres(np.vstack([half, half[::-1] * (-1.0, 1.0)]) - (0.0, middle))
    label = Text((0.0, float(ring[:, 1].min()) - 8.0), name, Lettering.LABEL, Face.LABEL, Anchor.CENTRE)
    return shape(ring, Pen.OUTLINE) + Drawing((label,))


def _in_rows(cuts: list[Drawing], top: float, width: float) -> list[Drawing]:
    """Sections side by side in rows no wider than the plan view."""
    placed: list[Drawing] = []
    left, row = 0.0, 0.0
    for cut in cuts:
        box = cut.box()
        if left > 0.0 and left + box.width > width:
            left, top, row = 0.0, top - row - GAP / 2.0, 0.0
        placed.append(cut.moved(left - box.left, top - box.top))
        left, row = left + box.width + GAP / 2.0, max(row, box.height)
    return placed


def _penned(bodies: Sequence[Body]) -> list[tuple[Body, Pen]]:
    return [(body, PENS[min(i, 1)]) for i, body in enumerate(bodies)]


def _stretched(body: Body) -> Floats:
    start, stop = body.solid.panels[0], body.solid.panels[-1]
    even = start + (stop - start) * (1.0 - np.cos(np.linspace(0.0, np.pi, ALONG))) / 2.0
    return np.unique(np.concatenate([even, body.solid.panels]))


def _millimetres(points: Floats) -> Points:
    return thinned_points(points_of(points * 1000.0))
