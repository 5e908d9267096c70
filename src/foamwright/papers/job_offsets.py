"""The table of offsets under a view: one column for each station, tied to its place on the board."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import TextStyle, shrunk, wrapped_lines
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

LABEL_WIDTH = 41.0
ROW = 8.4
HEAD = 9.6
LEADERS = 8.0
_WIDE_COLUMN = 17.5
_LARGE = 4.2


class RowKind(StrEnum):
    """What a row is for: the key figures, other figures, a heading between them, boxes to write in."""

    KEY = "key"
    PLAIN = "plain"
    WRITE = "write"


@dataclass(frozen=True, slots=True)
class Row:
    """A row: what it tells and one cell for each station (empty for boxes)."""

    label: str
    cells: tuple[str, ...] = ()
    kind: RowKind = RowKind.PLAIN


@dataclass(frozen=True, slots=True)
class Offsets:
    """A table of offsets.

    Attributes
    ----------
    heads
        For each station the two lines of its name.
    rows
        From top to bottom.
    """

    heads: tuple[tuple[str, str], ...]
    rows: tuple[Row, ...]

    @property
    def height(self) -> float:
        """Height of the table with its leaders, mm."""
        return LEADERS + HEAD + ROW * len(self.rows)


def offsets_under(offsets: Offsets, box: Box, feet: Sequence[tuple[float, float]]) -> Drawing:
    """Return the table hung from the top of `box`, each column tied to its station's foot.

    Parameters
    ----------
    offsets
        The table.
    box
        Its room; the top is where the leaders begin.
    feet
        For each station where its line ends on the view above, mm.
    """
    count = len(offsets.heads)
    width = (box.width - LABEL_WIDTH) / count
    middles = [box.left + LABEL_WIDTH + (i + 0.5) * width for i in range(count)]
    head_top = box.top - LEADERS
    parts = [_leader(foot, (x, head_top)) for foot, x in zip(feet, middles, strict=True)]
    parts += [_head(names, x, head_top, width) for names, x in zip(offsets.heads, middles, strict=True)]
    top = head_top - HEAD
    for index, row in enumerate(offsets.rows):
        parts.append(_row(row, Box(box.left, top - ROW, box.right, top), middles, width))
        pen = Pen.CUT if index == 0 else Pen.HATCH
        parts.append(line([(box.left, top), (box.right, top)], pen))
        top -= ROW
    parts.append(line([(box.left, top), (box.right, top)], Pen.CUT))
    return drawing_of(parts)


def _leader(foot: tuple[float, float], head: tuple[float, float]) -> Drawing:
    """Down from the view, across, and into the column's head."""
    points = [foot, (foot[0], head[1] + LEADERS - 1.5), (head[0], head[1] + 1.6), (head[0], head[1] + 0.4)]
    return line(points, Pen.STATION)


def _head(names: tuple[str, str], x: float, top: float, width: float) -> Drawing:
    """The number of a station's name large, the rest below it."""
    number, rest = names
    lower = Text((x, top - HEAD + 1.6), rest, Lettering.LABEL, Face.LABEL, Anchor.CENTRE)
    lower = shrunk(lower, width - 0.8)
    if not number:
        return Drawing((shrunk(Text((x, top - 5.0), rest, Lettering.FIGURE, Face.TITLE, Anchor.MIDDLE), width),))
    upper = Text((x, top - 0.8), number, Lettering.FIGURE, Face.FIGURES_STRONG, Anchor.TOP)
    return Drawing((upper, lower))


def _row(row: Row, box: Box, middles: Sequence[float], width: float) -> Drawing:
    cell = _cell_maker(row, box, width)
    cells = row.cells or ("",) * len(middles)
    return drawing_of([_label(row, box), *(cell(x, words) for x, words in zip(middles, cells, strict=True))])


def _label(row: Row, box: Box) -> Drawing:
    """One or two lines in the middle of the row."""
    face = Face.STRONG if row.kind is RowKind.KEY else Face.TEXT
    style = TextStyle(2.3, face, 1.45)
    lines = wrapped_lines(row.label, LABEL_WIDTH - 3.0, style)
    step = style.leading * style.height
    first = box.centre[1] + (len(lines) - 1) * step / 2
    return Drawing(
        tuple(
            Text((box.left + 1.0, first - i * step), words, style.height, face, Anchor.MIDDLE_LEFT)
            for i, words in enumerate(lines)
        )
    )


def _cell_maker(row: Row, box: Box, width: float) -> Callable[[float, str], Drawing]:
    y = box.centre[1]
    if row.kind is RowKind.WRITE:
        half = width / 2 - 0.9
        return lambda x, words: frame(
            Box(x - half, box.bottom + 0.8, x + half, box.top - 0.8), Pen.CUT, Tone.PAPER
        )
    face = Face.FIGURES_STRONG if row.kind is RowKind.KEY else Face.FIGURES
    height = _LARGE if width >= _WIDE_COLUMN else Lettering.FIGURE
    return lambda x, words: Drawing(
        (shrunk(Text((x, y), words, height, face, Anchor.MIDDLE), width - 1.2),)
    )
