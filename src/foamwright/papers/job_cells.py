"""Strips of cells: what a number is, small, and the number, large."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import shrunk
from foamwright.papers.style import Anchor, Face, Pen

STRIP = 14.5


@dataclass(frozen=True, slots=True)
class Cell:
    """A number with its name; `share` is its part of the strip's width."""

    caption: str
    figure: str
    share: float = 1.0


def strip_of(cells: Sequence[Cell], box: Box) -> Drawing:
    """Return cells side by side, ruled."""
    total = sum(cell.share for cell in cells)
    parts = [frame(box, Pen.CUT)]
    left = box.left
    for cell in cells:
        right = left + box.width * cell.share / total
        parts.append(_cell(cell, Box(left, box.bottom, right, box.top)))
        if right < box.right - 1e-6:
            parts.append(line([(right, box.bottom), (right, box.top)], Pen.THIN))
        left = right
    return drawing_of(parts)


def _cell(cell: Cell, box: Box) -> Drawing:
    width = box.width - 2.6
    caption = Text((box.left + 1.3, box.top - 1.2), cell.caption, 2.2, Face.LABEL, Anchor.TOP_LEFT)
    place = (box.left + 1.3, box.bottom + 0.36 * box.height)
    figure = Text(place, cell.figure, 4.4, Face.FIGURES_STRONG, Anchor.MIDDLE_LEFT)
    return Drawing((shrunk(caption, width), shrunk(figure, width)))
