"""Full-size drawings on one long page: from a roll of paper, or as long and as high as they are."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from foamwright.papers.dimension_marks import inch_bar, millimetre_bar
from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.tiling_pages import FullSize
from foamwright.papers.titleblock import title_block

EDGE = 12.0
"""From the page's edge to the drawing, mm; crop marks stand in its outer half."""

STRIP = 46.0
"""Height of the strip with the line to measure, the bars and the title block, mm."""

LEAST_HEIGHT = 260.0
"""Room for drawings on a long page, mm: two sticks over each other, so that it stays within 5 m."""

GAP = 10.0
CROP = 5.0
TEN_INCHES = 254.0
LONGEST = 5080.0
"""Millimetres: the longest page a PDF holds (14,400 units of 1/72 in; ISO 32000-1, annex C.2)."""


class Roll(StrEnum):
    """A roll by its name: A1 and A0 are the widths of those rolls (ISO 216), `LONG` is as high as it must."""

    A1 = "a1"
    A0 = "a0"
    MM_610 = "610"
    MM_914 = "914"
    LONG = "long"

    @property
    def width(self) -> float | None:
        """Width of the roll, mm; `None` where the page is as high as its drawing."""
        return {"a1": 594.0, "a0": 841.0, "610": 610.0, "914": 914.0}.get(self.value)


def roll_sheet(full: FullSize, roll: Roll) -> Sheet:
    """Return every part of `full` on one page, whole, with crop marks and a line to measure.

    Parameters
    ----------
    full
        The drawings, millimetres.
    roll
        What it is printed on; drawings stand in columns along it.

    Returns
    -------
    Sheet
        As high as the roll is wide and as long as the drawings need.
    """
    tallest = max(drawing.box().height for drawing in full.drawings)
    height = roll.width or max(tallest, LEAST_HEIGHT) + STRIP + 2 * EDGE
    room = height - STRIP - 2 * EDGE
    columns = _columns(full.drawings, room)
    placed, right = [], EDGE
    for column in columns:
        top = height - EDGE
        for drawing in column:
            box = drawing.box()
            placed.append(drawing.moved(right - box.left, top - box.top))
            top -= box.height + GAP
        right += max(drawing.box().width for drawing in column) + GAP
    width = max(right - GAP + EDGE, 3 * TEN_INCHES + 2 * EDGE)
    strip = Box(EDGE, EDGE, width - EDGE, EDGE + STRIP - 6.0)
    parts = [*placed, _strip(full, strip), _crop_marks(width, height)]
    return Sheet(width, height, drawing_of(parts), f"{full.block.what}, full size")


def measured_line(width: float) -> float:
    """Return how long the line to measure is on a page of `width` mm: whole tens of inches."""
    return TEN_INCHES * ((width - 2 * EDGE) // TEN_INCHES)


def _columns(drawings: Sequence[Drawing], room: float) -> list[list[Drawing]]:
    """The drawings in order, as many over each other as the room holds."""
    columns: list[list[Drawing]] = []
    left = 0.0
    for drawing in drawings:
        height = drawing.box().height
        if not columns or height > left:
            columns.append([])
            left = room
        columns[-1].append(drawing)
        left -= height + GAP
    return columns


def _strip(full: FullSize, box: Box) -> Drawing:
    """The line to measure along the top, below it the two bars, the title block and how it is used."""
    length = measured_line(box.width + 2 * EDGE)
    y = box.top
    words = f"Print at 100 %: this line is {length:g} mm, {length / 25.4:.0f} in. Measure it with your tape."
    ends = [line([(box.left + x, y - 2.0), (box.left + x, y + 2.0)], Pen.CUT) for x in (0.0, length)]
    named = Text((box.left + 6.0, y - 1.8), words, Lettering.LABEL, Face.STRONG, Anchor.TOP_LEFT)
    bars = millimetre_bar((box.left, box.bottom + 15.0)) + inch_bar((box.left, box.bottom + 2.0))
    block = title_block(
        full.block.numbered(1, 1), Box(box.left + 124.0, box.bottom, box.left + 274.0, y - 7.0)
    )
    notes = Drawing(
        tuple(
            Text((box.left + 282.0, y - 11.0 - 5.0 * index), note, 2.2, Face.TEXT)
            for index, note in enumerate((*full.notes, f"Right: {full.rightwards}. Up: {full.upwards}."))
        )
    )
    rule = line([(box.left, y), (box.left + length, y)], Pen.CUT)
    return drawing_of([rule, *ends, Drawing((named,)), bars, block, notes])


def _crop_marks(width: float, height: float) -> Drawing:
    """Two short lines at each corner, outside of what is cut out."""
    inset = 0.5 * EDGE
    marks = []
    for x, way in ((inset, -1.0), (width - inset, 1.0)):
        for y, up in ((inset, -1.0), (height - inset, 1.0)):
            marks.append(line([(x + way, y), (x + way * CROP, y)], Pen.THIN))
            marks.append(line([(x, y + up), (x, y + up * CROP)], Pen.THIN))
    return drawing_of(marks)
