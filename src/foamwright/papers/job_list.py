"""A list of strokes to tick off: rows that flow down columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import Block, TextStyle, paragraph
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Anchor, Face, Lettering, Pen

ROW = 6.9
HEAD = 4.4
_NUMBER = 6.5
_START = 15.5
_IRON = 11.0
_TICK = 4.0
_PITCH = 4.9


@dataclass(frozen=True, slots=True)
class GroupLine:
    """Equal strokes: their number in the list, where they start (and are lifted), how many, the iron.

    `changed` says that the iron is not set as before.
    """

    number: int
    start: str
    count: int
    iron: str
    changed: bool

    def height(self, width: float) -> float:
        """Return the row's height; many strokes take a second line of boxes."""
        rows = -(-self.count // _boxes_across(width, self.start))
        return ROW + (rows - 1) * _PITCH

    def drawn(self, width: float) -> Drawing:
        """Return the row, hung from its top left corner."""
        y = -ROW / 2
        face = Face.FIGURES_STRONG if self.changed else Face.FIGURES
        across = _boxes_across(width, self.start)
        left = _boxes_left(self.start)
        height = self.height(width)
        parts = [
            _text((_NUMBER - 1.6, y), f"{self.number}", Face.LABEL, Anchor.MIDDLE_RIGHT),
            _text((_NUMBER, y), self.start, Face.FIGURES_STRONG, Anchor.MIDDLE_LEFT),
            _text((width - 1.0, y), self.iron, face, Anchor.MIDDLE_RIGHT),
            *(_tick_box(left + (i % across) * _PITCH, y - (i // across) * _PITCH) for i in range(self.count)),
            line([(0.0, -height), (width, -height)], Pen.HATCH),
        ]
        return drawing_of(parts)


@dataclass(frozen=True, slots=True)
class NoteLine:
    """A sentence between rows."""

    words: str

    def height(self, width: float) -> float:
        """Return the height it takes."""
        return self._block(width).height + 2.4

    def drawn(self, width: float) -> Drawing:
        """Return the sentence."""
        return self._block(width).at(0.6, -1.4)

    def _block(self, width: float) -> Block:
        return paragraph(self.words, width - 1.0, TextStyle(2.8, Face.STRONG, 1.6))


class Line(Protocol):
    """A row of a list."""

    def height(self, width: float) -> float:
        """Return the height it takes in a column `width` mm wide."""

    def drawn(self, width: float) -> Drawing:
        """Return it, hung from its top left corner."""


@dataclass(frozen=True, slots=True)
class ListHead:
    """Headings over a column of the list; without an iron, only the first."""

    start: str
    iron: str


def flowed(lines: Sequence[Line], columns: Sequence[Box]) -> tuple[list[tuple[Box, list[Line]]], list[Line]]:
    """Return the lines that stand in each column, and those that found no room.

    A sentence is never parted from the row after it.
    """
    filled: list[tuple[Box, list[Line]]] = []
    rest = list(lines)
    for box in columns:
        taken = _fitting(rest, box)
        filled.append((box, rest[:taken]))
        rest = rest[taken:]
    return filled, rest


def _fitting(lines: Sequence[Line], box: Box) -> int:
    """How many lines go into a column and leave a good place to part."""
    room, count = box.height - HEAD, 0
    for item in lines:
        room -= item.height(box.width)
        if room < -1e-9:
            break
        count += 1
    if count == len(lines):
        return count
    while count > 1 and isinstance(lines[count - 1], NoteLine):
        count -= 1
    return count


def list_columns(filled: Sequence[tuple[Box, Sequence[Line]]], head: ListHead) -> Drawing:
    """Return the columns of a list, each under its headings."""
    parts: list[Drawing] = []
    for box, lines in filled:
        if not lines:
            continue
        parts.append(_heading(box, head))
        top = box.top - HEAD
        for item in lines:
            parts.append(item.drawn(box.width).moved(box.left, top))
            top -= item.height(box.width)
    return drawing_of(parts)


def _heading(box: Box, head: ListHead) -> Drawing:
    y = box.top - HEAD + 1.2
    parts = [
        _small((box.left + _NUMBER, y), head.start, Anchor.LEFT),
        line([(box.left, box.top - HEAD), (box.right, box.top - HEAD)], Pen.CUT),
    ]
    if head.iron:
        parts.append(_small((box.left + _NUMBER + _START, y), "strokes", Anchor.LEFT))
        parts.append(_small((box.right - 1.0, y), head.iron, Anchor.RIGHT))
    return drawing_of(parts)


def _small(at: tuple[float, float], words: str, anchor: Anchor) -> Drawing:
    return Drawing((Text(at, words, 2.2, Face.LABEL, anchor),))


def _text(at: tuple[float, float], words: str, face: Face, anchor: Anchor) -> Drawing:
    height = Lettering.LABEL if face is Face.LABEL else Lettering.FIGURE
    return Drawing((Text(at, words, height, face, anchor),))


def _tick_box(left: float, y: float) -> Drawing:
    return frame(Box(left, y - _TICK / 2, left + _TICK, y + _TICK / 2), Pen.CUT)


def _boxes_left(start: str) -> float:
    """Boxes begin after the start's column, or after a longer text in it."""
    return _NUMBER + max(_START, line_width(start, Face.FIGURES_STRONG, Lettering.FIGURE) + 2.0)


def _boxes_across(width: float, start: str) -> int:
    return max(1, int((width - _IRON - _boxes_left(start) + _PITCH - _TICK) / _PITCH))
