"""Ruled tables: figures aligned on their whole numbers, empty boxes where a reading is to be written."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import Block, TextStyle, fitted, wrapped_lines
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

_WHOLE = re.compile(r"\D*(?:\d+['′] ?)?\d+(?![\d/])")


class Aligned(StrEnum):
    """How a column's cells stand: words left, figures on their whole numbers, boxes to write in."""

    WORDS = "words"
    FIGURES = "figures"
    CENTRED = "centred"
    WRITE = "write"


@dataclass(frozen=True, slots=True)
class Column:
    """A column: heading, width in mm, how its cells stand."""

    heading: str
    width: float
    aligned: Aligned = Aligned.FIGURES


@dataclass(frozen=True, slots=True)
class TableStyle:
    """Row height and lettering, mm; headings are set in the narrow face."""

    row_height: float = 7.0
    height: float = Lettering.LABEL
    words_face: Face = Face.TEXT
    heading_height: float = 2.0


def table(columns: Sequence[Column], rows: Sequence[Sequence[str]], style: TableStyle | None = None) -> Block:
    """Return a ruled table.

    Parameters
    ----------
    columns
        Headings, widths and alignment.
    rows
        One string per column; a `WRITE` column draws a box, with the string as its small prompt.
    style
        Sizes.

    Returns
    -------
    Block
        Hung from its top left corner; as wide as the columns together.
    """
    style = style or TableStyle()
    lefts = _lefts(columns)
    head, head_height = _headings(columns, lefts, style)
    body = [
        _column(column, left, [row[index] for row in rows], head_height, style)
        for index, (column, left) in enumerate(zip(columns, lefts, strict=True))
    ]
    height = head_height + len(rows) * style.row_height
    return Block(
        drawing_of([head, *body, _rules(sum(c.width for c in columns), head_height, len(rows), style)]),
        height,
    )


def _lefts(columns: Sequence[Column]) -> list[float]:
    return [sum(column.width for column in columns[:index]) for index in range(len(columns))]


def _headings(columns: Sequence[Column], lefts: Sequence[float], style: TableStyle) -> tuple[Drawing, float]:
    """Headings wrapped in their columns, standing on the head rule."""
    set_as = TextStyle(style.heading_height, Face.LABEL, 1.7)
    wrapped = [wrapped_lines(column.heading, column.width - 2.0, set_as) for column in columns]
    step = set_as.leading * set_as.height
    height = max(len(lines) for lines in wrapped) * step + 1.4
    items = [
        Text(
            _heading_place(column, left, -height + 1.5 + (len(lines) - 1 - index) * step),
            words,
            set_as.height,
            set_as.face,
            _heading_anchor(column),
        )
        for column, left, lines in zip(columns, lefts, wrapped, strict=True)
        for index, words in enumerate(lines)
    ]
    return Drawing(tuple(items)), height


def _heading_place(column: Column, left: float, y: float) -> tuple[float, float]:
    places = {Aligned.WORDS: left + 1.0, Aligned.FIGURES: left + column.width - 1.5}
    return places.get(column.aligned, left + column.width / 2), y


def _heading_anchor(column: Column) -> Anchor:
    anchors = {Aligned.WORDS: Anchor.LEFT, Aligned.FIGURES: Anchor.RIGHT}
    return anchors.get(column.aligned, Anchor.CENTRE)


def _rules(width: float, head_height: float, rows: int, style: TableStyle) -> Drawing:
    """A strong rule under the head and at the foot, thin ones between rows."""
    feet = [-head_height - index * style.row_height for index in range(rows + 1)]
    return drawing_of(
        line([(0.0, y), (width, y)], Pen.CUT if index in (0, rows) else Pen.HATCH)
        for index, y in enumerate(feet)
    )


def _column(column: Column, left: float, cells: Sequence[str], top: float, style: TableStyle) -> Drawing:
    middles = [-top - (index + 0.5) * style.row_height for index in range(len(cells))]
    match column.aligned:
        case Aligned.WRITE:
            return drawing_of(
                _write_cell(left, y, column.width, words, style)
                for y, words in zip(middles, cells, strict=True)
            )
        case Aligned.FIGURES:
            return _figures(column.width, middles, cells, style).moved(left, 0.0)
        case Aligned.CENTRED:
            x, anchor = left + column.width / 2, Anchor.MIDDLE
        case Aligned.WORDS:
            x, anchor = left + 1.0, Anchor.MIDDLE_LEFT
    return Drawing(
        tuple(
            fitted(Text((x, y), words, style.height, style.words_face, anchor), column.width - 2.0)
            for y, words in zip(middles, cells, strict=True)
        )
    )


def _write_cell(left: float, y: float, width: float, words: str, style: TableStyle) -> Drawing:
    half = style.row_height / 2 - 0.6
    box = frame(Box(left + 0.8, y - half, left + width - 0.8, y + half), Pen.CUT, Tone.PAPER)
    prompt = Text((left + width - 2.0, y), words, Lettering.NOTE, Face.LABEL, Anchor.MIDDLE_RIGHT)
    return box + Drawing((prompt,) if words else ())


def _figures(width: float, middles: Sequence[float], cells: Sequence[str], style: TableStyle) -> Drawing:
    """Whole numbers end on one axis; fractions, decimals and units follow it; smaller if too wide."""
    face, room = Face.FIGURES, width - 2.0
    before, after = _reaches(cells, style.height)
    height = style.height * min(1.0, room / max(before + after, 1e-9))
    _, after = _reaches(cells, height)
    axis = width - 1.5 - after
    heads = [line_width(whole_part(cell), face, height) for cell in cells]
    return Drawing(
        tuple(
            Text((axis - head, y), cell, height, face, Anchor.MIDDLE_LEFT)
            for head, y, cell in zip(heads, middles, cells, strict=True)
        )
    )


def _reaches(cells: Sequence[str], height: float) -> tuple[float, float]:
    """Return how far the widest cells reach before and after the axis on which whole numbers end."""
    widths = [line_width(cell, Face.FIGURES, height) for cell in cells]
    heads = [line_width(whole_part(cell), Face.FIGURES, height) for cell in cells]
    tails = [width - head for width, head in zip(widths, heads, strict=True)]
    return max(heads, default=0.0), max(tails, default=0.0)


def whole_part(cell: str) -> str:
    """Return the part of a figure that stands before its fraction, decimals or unit.

    Examples
    --------
    >>> whole_part("2 3/4"), whole_part("3/4"), whole_part("12.5 mm"), whole_part("7")
    ('2', '', '12', '7')
    """
    match = _WHOLE.match(cell)
    return match[0] if match else ""
