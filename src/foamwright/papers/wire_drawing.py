"""Pictures of a wire's path: the whole cut in its block at 1:5, and each corner at full size."""

from __future__ import annotations

import numpy as np

from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, frame, line, shape
from foamwright.papers.drawing_box import Box, Points, points_of
from foamwright.papers.drawing_text import paragraph
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.svg import sheet_around

WHOLE = 0.2
"""Scale of the whole cut."""

DETAIL = 30.0
"""Millimetres around a corner that are shown at full size."""

GAP = 14.0


def wire_sheet(title: str, part: Points, wire: Points, block: tuple[float, float], words: str) -> Sheet:
    """Return one set-up as a sheet just large enough for it.

    Parameters
    ----------
    title
        What is cut.
    part
        (N, 2) outline of the part at the near face, metres, tail at the left.
    wire
        (M, 2) where the middle of the wire runs, metres.
    block
        Length and height of the foam, metres.
    words
        What the person at the machine has to know.
    """
    part_mm, wire_mm = points_of(part * 1000.0), points_of(wire * 1000.0)
    foam = Box(0.0, 0.0, block[0] * 1000.0, block[1] * 1000.0)
    whole = (frame(foam, Pen.HIDDEN) + _cut(part_mm, wire_mm)).scaled(WHOLE)
    box = whole.box()
    heading = Drawing((Text((box.left, box.top + 8.0), title, Lettering.FIGURE, Face.TITLE),))
    scale = Drawing((Text((box.left, box.bottom - 5.0), "1:5, heavy: part; thin: wire; dashed: foam"),))
    details = _details(part_mm, wire_mm).moved(box.left, box.bottom - GAP - 2.0 * DETAIL)
    below = paragraph(words, max(box.width, 200.0)).at(box.left, box.bottom - 2.0 * GAP - 2.0 * DETAIL)
    return sheet_around(heading + whole + scale + details + below, title)


def _cut(part: Points, wire: Points) -> Drawing:
    return shape(part, Pen.OUTLINE) + line(wire, Pen.CUT)


def _details(part: Points, wire: Points) -> Drawing:
    """The corners of the part at full size, side by side."""
    parts = []
    for i, place in enumerate(_corners(part)):
        window = Box(place[0] - DETAIL, place[1] - DETAIL, place[0] + DETAIL, place[1] + DETAIL)
        shift = (-window.left + i * (2.0 * DETAIL + 6.0), -window.bottom)
        name = Text(
            (window.left + 2.0, window.bottom + 2.0), "1:1", Lettering.NOTE, Face.FIGURES, Anchor.LEFT
        )
        view = _cut(part, wire).clipped_to(window) + frame(window, Pen.THIN) + Drawing((name,))
        parts.append(view.moved(*shift))
    return drawing_of(parts)


def _corners(part: Points) -> Points:
    """Places where the closed outline turns by more than 30 degrees."""
    ring = part[np.hypot(*np.diff(np.vstack([part, part[:1]]), axis=0).T) > 1e-6]
    before, after = ring - np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0) - ring
    turn = np.arctan2(before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0], np.sum(before * after, axis=1))
    return points_of(ring[np.abs(turn) > np.radians(30.0)][:6])
