"""The table of offsets under a view: one column for each station, tied to its place on the board."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import groupby

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line, on_paper
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import TextStyle, shrunk, wrapped_lines
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

LABEL_WIDTH = 44.0
ROW = 8.4
PAIR_ROW = 11.4
HEAD = 9.6
LEADERS = 8.0
_WIDE_COLUMN = 17.5
_LARGE = 4.2


class RowKind(StrEnum):
    """What a row is for: the key figures, other figures, boxes to write in, or a figure over a small one."""

    KEY = "key"
    PLAIN = "plain"
    WRITE = "write"
    PAIR = "pair"


@dataclass(frozen=True, slots=True)
class Row:
    """A row: what it tells and one cell for each station (empty for boxes)."""

    label: str
    cells: tuple[str, ...] = ()
    kind: RowKind = RowKind.PLAIN

    @property
    def height(self) -> float:
        """Height of the row, mm."""
        return PAIR_ROW if self.kind is RowKind.PAIR else ROW


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
        return LEADERS + HEAD + sum(row.height for row in self.rows)


def offsets_under(offsets: Offsets, box: Box, feet: Sequence[tuple[float, float]]) -> Drawing:
    """Return the table hung from the top of `box`, each column tied to its station's foot.

    Parameters
    ----------
    offsets
        The table.
    box
        Its room; the top is where the leaders begin.
    feet
        For each station where its line ends on the view above, mm; empty where no view is tied to it.
    """
    count = len(offsets.heads)
    width = (box.width - LABEL_WIDTH) / count
    middles = [box.left + LABEL_WIDTH + (i + 0.5) * width for i in range(count)]
    head_top = box.top - LEADERS
    parts = [_leader(foot, (x, head_top)) for foot, x in zip(feet, middles, strict=False)]
    parts += [_head(names, x, head_top, width) for names, x in zip(offsets.heads, middles, strict=True)]
    top = head_top - HEAD
    parts.append(_spans(offsets.heads, middles, top, width))
    for index, row in enumerate(offsets.rows):
        parts.append(_row(row, Box(box.left, top - row.height, box.right, top), middles, width))
        pen = Pen.CUT if index == 0 else Pen.HATCH
        parts.append(line([(box.left, top), (box.right, top)], pen))
        top -= row.height
    parts.append(line([(box.left, top), (box.right, top)], Pen.CUT))
    return drawing_of(parts)


def _leader(foot: tuple[float, float], head: tuple[float, float]) -> Drawing:
    """Down from the view, across, and into the column's head."""
    points = [foot, (foot[0], head[1] + LEADERS - 1.5), (head[0], head[1] + 1.6), (head[0], head[1] + 0.4)]
    return line(points, Pen.STATION)


def _head(names: tuple[str, str], x: float, top: float, width: float) -> Drawing:
    """The number of a station's name, or the name of a tip."""
    number, rest = names
    if not number:
        tip = Text((x, top - 1.0), rest, Lettering.FIGURE, Face.TITLE, Anchor.TOP)
        return Drawing((shrunk(tip, width - 0.6),))
    figure = Text((x, top - 1.0), number, Lettering.FIGURE, Face.FIGURES_STRONG, Anchor.TOP)
    return Drawing((shrunk(figure, width - 1.4),))


def _spans(heads: Sequence[tuple[str, str]], middles: Sequence[float], foot: float, width: float) -> Drawing:
    """Under the numbers that are measured from one tip: a line over all of them, with its words."""
    parts = []
    for rest, group in groupby(zip(heads, middles, strict=True), key=lambda pair: pair[0][1]):
        members = list(group)
        if members[0][0][0]:
            ends = members[0][1] - width / 2 + 1.2, members[-1][1] + width / 2 - 1.2
            words = Text((sum(ends) / 2, foot + 1.9), rest, Lettering.LABEL, Face.LABEL, Anchor.MIDDLE)
            parts += [line([(x, foot + 1.9) for x in ends], Pen.THIN), on_paper(words, 1.0)]
    return drawing_of(parts)


def _row(row: Row, box: Box, middles: Sequence[float], width: float) -> Drawing:
    cell = _cell_maker(row, box, width)
    cells = row.cells or ("",) * len(middles)
    return drawing_of([_label(row, box), *(cell(x, words) for x, words in zip(middles, cells, strict=True))])


def _label(row: Row, box: Box) -> Drawing:
    """One or two lines in the middle of the row."""
    face = Face.STRONG if row.kind is RowKind.KEY else Face.TEXT
    style = TextStyle(2.2, face, 1.5)
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
    if row.kind is RowKind.PAIR:
        return lambda x, words: _pair(x, box, words, width)
    face = Face.FIGURES_STRONG if row.kind is RowKind.KEY else Face.FIGURES
    height = _LARGE if width >= _WIDE_COLUMN else Lettering.FIGURE
    return lambda x, words: Drawing((shrunk(Text((x, y), words, height, face, Anchor.MIDDLE), width - 2.2),))


def _pair(x: float, box: Box, words: str, width: float) -> Drawing:
    """A figure, and under it in small how far out it holds; nothing where nothing comes off."""
    figure, _, place = words.partition("|")
    if figure == "0":
        return Drawing((Text((x, box.centre[1]), "0", Lettering.LABEL, Face.FIGURES, Anchor.MIDDLE),))
    upper = Text((x, box.top - 3.5), figure, Lettering.FIGURE, Face.FIGURES_STRONG, Anchor.MIDDLE)
    if not place:
        upper = Text((x, box.centre[1]), figure, Lettering.FIGURE, Face.FIGURES_STRONG, Anchor.MIDDLE)
        return Drawing((shrunk(upper, width - 1.0),))
    lower = Text((x, box.bottom + 2.4), place, 2.2, Face.FIGURES, Anchor.MIDDLE)
    return Drawing((shrunk(upper, width - 1.0), shrunk(lower, width - 0.6)))
