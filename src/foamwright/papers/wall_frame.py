"""What the sheets that hang share: their frame, tables that read at 2 m, and lines to write on.

Figures are 5 mm high or more: 22 arc minutes at 2 m would be 12.8 mm, but nobody plans a cut from there; at
2 m a figure of 5 mm still subtends 8.6 arc minutes, the size of a newspaper's text at reading distance.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import TextStyle, fitted, paragraph
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Anchor, Face, Pen, Tone
from foamwright.papers.tiling import Orientation, Page, Paper

EDGE = 9.0
"""Bare edge of the page, mm."""

FIGURE = 5.0
"""Capital height of every figure, mm."""

WORDS = 3.0
"""Capital height of words, mm."""

ROW = 9.3
"""Height of a row of figures, stacked fractions included, mm."""

TITLE = 10.0
SAFETY_HEIGHT = 6.0


class Kind(Enum):
    """How a row of a table stands: named stations, figures, or boxes to write in."""

    HEAD = "head"
    FIGURES = "figures"
    WRITE = "write"


@dataclass(frozen=True, slots=True)
class Row:
    """A row of a table: its name and a cell for each station; boxes to write in have none."""

    name: str
    cells: tuple[str, ...] = ()
    kind: Kind = Kind.FIGURES


@dataclass(frozen=True, slots=True)
class Hung:
    """One sheet before it is put on its page: number, title, and what stands in the body."""

    number: str
    title: str
    body: Drawing


def wall_page(paper: Paper) -> Page:
    """Return the page that every sheet stands on: across, as the board lies on the rack."""
    return Page(paper, Orientation.LANDSCAPE)


def body_of(page: Page) -> Box:
    """Return the room between title and safety line."""
    return Box(EDGE, EDGE + SAFETY_HEIGHT, page.width - EDGE, page.height - EDGE - TITLE)


def hung(sheet: Hung, page: Page, board: str, safety: str) -> Sheet:
    """Return a finished sheet: title above, one line of safety at the foot."""
    left, right, top = EDGE, page.width - EDGE, page.height - EDGE
    number = Text((left, top - 7.0), sheet.number, 7.0, Face.FIGURES_STRONG)
    start = left + number.setting().width + 6.0
    title = Text((start, top - 7.0), sheet.title, 7.0, Face.TITLE)
    room = right - start - title.setting().width - 8.0
    name = fitted(Text((right, top - 7.0), board, 5.0, Face.TITLE, Anchor.RIGHT), room)
    rule = line([(left, top - 9.0), (right, top - 9.0)], Pen.OUTLINE)
    foot_rule = line([(left, EDGE + 5.2), (right, EDGE + 5.2)], Pen.CUT)
    foot = fitted(Text((left, EDGE + 0.6), safety, WORDS, Face.STRONG), right - left)
    drawing = drawing_of([Drawing((number, title, name, foot)), rule, foot_rule, sheet.body])
    return Sheet(page.width, page.height, drawing, f"{sheet.number}  {sheet.title}")


def station_table(rows: Sequence[Row], box: Box, names: float) -> tuple[Drawing, float]:
    """Return a table over the stations, and how high it stands.

    Parameters
    ----------
    rows
        From the top; every row but those to write in has as many cells.
    box
        Its top and its sides.
    names
        Width of the column of names, mm.
    """
    columns = max(len(row.cells) for row in rows)
    width = (box.width - names) / columns
    bottom = box.top - ROW * len(rows)
    lefts = [box.left + names + width * index for index in range(columns)]
    parts = [line([(box.left, box.top), (box.right, box.top)], Pen.CUT)]
    for index, row in enumerate(rows):
        low = box.top - ROW * (index + 1)
        name_box = Box(box.left, low, box.left + names, low + ROW)
        parts.append(_name(row.name, name_box, strong=row.kind is Kind.FIGURES))
        cells = row.cells or ("",) * columns
        for left, cell in zip(lefts, cells, strict=True):
            parts.append(_cell(cell, Box(left, low, left + width, low + ROW), row.kind))
        pen = Pen.CUT if row.kind is Kind.HEAD or index == len(rows) - 1 else Pen.HATCH
        parts.append(line([(box.left, low), (box.right, low)], pen))
    return drawing_of(parts), box.top - bottom


def _name(words: str, box: Box, *, strong: bool) -> Drawing:
    face = Face.STRONG if strong else Face.TEXT
    lines = paragraph(words, box.width - 1.5, TextStyle(2.6, face, 1.25))
    # A paragraph ends in a little air below its last line, which is not to be centred with it.
    return lines.at(box.left, box.centre[1] + (lines.height - 1.2) / 2)


def _cell(words: str, box: Box, kind: Kind) -> Drawing:
    if kind is Kind.WRITE:
        return frame(
            Box(box.left + 0.8, box.bottom + 0.6, box.right - 0.8, box.top - 0.6), Pen.THIN, Tone.PAPER
        )
    face = Face.TITLE if kind is Kind.HEAD else Face.FIGURES_STRONG
    text = Text(box.centre, words, FIGURE, face, Anchor.MIDDLE)
    return Drawing((text if text.setting().width <= box.width - 0.6 else _narrow(text),))


def _narrow(text: Text) -> Text:
    """The same figure in the narrow face, which keeps its height where a column is tight."""
    return Text(text.at, text.words, text.height, Face.TITLE, text.anchor)


def write_line(words: str, box: Box) -> Drawing:
    """Return a name, and a line to write on that runs to the right of the box."""
    name = Text((box.left, box.bottom + 1.2), words, WORDS, Face.LABEL)
    start = box.left + name.setting().width + 1.5
    return Drawing((name,)) + line([(start, box.bottom + 0.6), (box.right, box.bottom + 0.6)], Pen.THIN)


def tick_box(words: str, at: tuple[float, float], width: float, *, initials: bool = False) -> Drawing:
    """Return a box to tick with its words, and where it matters room for the teacher's initials."""
    x, y = at
    parts = [frame(Box(x, y, x + 4.0, y + 4.0), Pen.CUT)]
    room = width - 6.0 - (13.0 if initials else 0.0)
    parts.append(Drawing((fitted(Text((x + 5.5, y + 0.6), words, WORDS, Face.TEXT), room),)))
    if initials:
        right = x + width - 1.5
        parts.append(line([(right - 10.0, y), (right, y)], Pen.THIN))
    return drawing_of(parts)


def figures_in_lines(figures: Sequence[str], width: float) -> list[str]:
    """Return figures as lines no wider than `width` mm at the wall's size, three spaces apart."""
    lines: list[str] = []
    for figure in figures:
        longer = f"{lines[-1]}   {figure}" if lines else figure
        if lines and line_width(longer, Face.TITLE, FIGURE) <= width:
            lines[-1] = longer
        else:
            lines.append(figure)
    return lines
