"""Pictures of a wire's path: the whole cut in its block at 1:5, and each corner at full size."""

from __future__ import annotations

import numpy as np

from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, frame, line, shape
from foamwright.papers.drawing_box import Box, Points, points_of
from foamwright.papers.drawing_text import paragraph
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.svg import sheet_around
from foamwright.shape.curves import Floats

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


CHART = Box(0.0, 0.0, 240.0, 60.0)
"""Size of one panel of `ends_sheet`, millimetres: two of them and their words fit on A4 across."""


def ends_sheet(title: str, ends: Floats, seconds: Floats) -> Sheet:
    """Return where both ends of the wire stand over time: along the foam above, upwards below.

    Parameters
    ----------
    title
        What is cut.
    ends
        (M, 4) near end along and up, far end along and up, metres.
    seconds
        (M - 1,) seconds of each move.
    """
    time = np.concatenate([[0.0], np.cumsum(seconds)]) / 60.0
    panels = [
        _panel(time, 1000.0 * ends[:, [0, 2]], "along, mm").moved(0.0, CHART.height + 26.0),
        _panel(time, 1000.0 * ends[:, [1, 3]], "up, mm"),
    ]
    top = 2.0 * CHART.height + 26.0
    heading = Text((0.0, top + 8.0), title, Lettering.FIGURE, Face.TITLE)
    key = Text((0.0, -18.0), "Across: minutes of cutting. Solid: near end of the wire; dashed: far end.")
    return sheet_around(drawing_of([*panels, Drawing((heading, key))]), title)


def _panel(time: Floats, values: Floats, name: str) -> Drawing:
    """One quantity of both ends over time, in a frame with its marks."""
    across, up = _marks(0.0, float(time[-1])), _marks(float(values.min()), float(values.max()))
    to_x = CHART.width / (across[-1] - across[0])
    to_y = CHART.height / (up[-1] - up[0])
    parts = [frame(CHART, Pen.FRAME)]
    for minute in across:
        place = (float(minute) * to_x, -5.0)
        parts.append(Drawing((Text(place, f"{minute:g}", Lettering.NOTE, Face.FIGURES, Anchor.CENTRE),)))
    for value in up:
        y = float(value - up[0]) * to_y
        parts.append(line(points_of([(0.0, y), (CHART.width, y)]), Pen.GRID))
        parts.append(Drawing((Text((-2.0, y), f"{value:g}", Lettering.NOTE, Face.FIGURES, Anchor.RIGHT),)))
    for pen, column in ((Pen.OUTLINE, values[:, 0]), (Pen.HIDDEN, values[:, 1])):
        curve = np.column_stack((time * to_x, (column - up[0]) * to_y))
        parts.append(line(points_of(curve), pen))
    parts.append(Drawing((Text((0.0, CHART.height + 3.0), name, Lettering.LABEL),)))
    return drawing_of(parts)


def _marks(low: float, high: float) -> Floats:
    """Round numbers from at or below `low` to at or above `high`, four to ten of them."""
    span = max(high - low, 1e-9)
    power = 10.0 ** np.floor(np.log10(span))
    step = next(share * power for share in (0.1, 0.2, 0.25, 0.5, 1.0) if span / (share * power) <= 8.0)
    first, last = np.floor(low / step + 1e-9), np.ceil(high / step - 1e-9)
    return np.asarray(step * np.arange(first, last + 1.0))
