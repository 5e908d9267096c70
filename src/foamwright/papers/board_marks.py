"""Marks on a board's plan, seen from above at full size: fin boxes with their places, the stringer."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.finish.boxes import BoxFit
from foamwright.papers.drawing import Drawing, Text, drawing_of, line, shape
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.units import System, format_with_unit

MM = 1000.0


def box_marks(fits: tuple[BoxFit, ...], system: System) -> Drawing:
    """Return every fin box: its rim in the bottom, its middle line, its name and place from the tail tip."""
    return drawing_of([_box(fit, system) for fit in fits])


def _box(fit: BoxFit, system: System) -> Drawing:
    place = format_with_unit(fit.fin.x, system)
    words = f"{fit.fin.name}, rear end {place} from the tail tip"
    label = Text((fit.front[0] * MM + 4.0, fit.front[1] * MM), words, 4.0, Face.LABEL, Anchor.MIDDLE_LEFT)
    middle = line([(fit.fin.x * MM, fit.fin.y * MM), (fit.front[0] * MM, fit.front[1] * MM)], Pen.STATION)
    return drawing_of([shape(rim_of(fit), Pen.CUT), middle, Drawing((label,))])


def rim_of(fit: BoxFit) -> Points:
    """Return the corners of a box's rim seen from above, millimetres, in order round it."""
    rims = {corner.name: corner.rim for corner in fit.corners}
    ring = [rims[name] for name in ("rear inner", "rear outer", "front outer", "front inner")]
    return points_of(np.array(ring) * MM)


def slot_marks(board: Board, width: float, system: System) -> Drawing:
    """Return the two sides of a stringer's slot from tip to tip, and its width with the unit."""
    start, stop = max(board.outline.start, board.outline.foot) * MM, board.length * MM
    sides = [line([(start, s * width * MM / 2.0), (stop, s * width * MM / 2.0)], Pen.HIDDEN) for s in (1, -1)]
    words = f"stringer slot, {format_with_unit(width, system)} wide"
    place = (0.5 * (start + stop), width * MM / 2.0 + 3.0)
    label = Text(place, words, Lettering.LABEL, Face.LABEL, Anchor.CENTRE)
    return drawing_of([*sides, Drawing((label,))])
