"""Rows of a walk: its marks in order, and after a few of them what to read, and the foam that comes down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import shrunk
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

MARKS_ROW = 7.4
CHECK_ROW = 16.6
_NUMBER = 6.5


@dataclass(frozen=True, slots=True)
class _Marks:
    """Marks of a few strokes, one from each, and the number of the first."""

    number: int
    marks: Sequence[str]

    def drawn(self, width: float) -> Drawing:
        """Return the row, hung from its top left corner: each mark over an even share of the width."""
        y, share = -MARKS_ROW / 2, (width - _NUMBER) / max(4, len(self.marks))
        number = Text((_NUMBER - 1.6, y), f"{self.number}", Lettering.LABEL, Face.LABEL, Anchor.MIDDLE_RIGHT)
        marks = [
            shrunk(
                Text(
                    (_NUMBER + i * share, y), mark, Lettering.FIGURE, Face.FIGURES_STRONG, Anchor.MIDDLE_LEFT
                ),
                share - 1.0,
            )
            for i, mark in enumerate(self.marks)
        ]
        return Drawing((number, *marks))


@dataclass(frozen=True, slots=True)
class Check:
    """One place of a stop: its name, what should be read, and what it must not be under."""

    place: str
    expected: str
    not_under: str


@dataclass(frozen=True, slots=True)
class _Checks:
    """A stop under the marks before it: what is done first, and up to three places."""

    words: str
    checks: Sequence[Check]

    def drawn(self, width: float) -> Drawing:
        """Return the row, hung from its top left corner."""
        box = Box(0.0, -CHECK_ROW + 0.8, width, -0.4)
        head = shrunk(Text((1.2, box.top - 3.2), self.words, 2.5, Face.STRONG), width - 2.4)
        share = width / 3.0
        cells = [_cell(one, i * share, share, box.bottom) for i, one in enumerate(self.checks)]
        return drawing_of([frame(box, Pen.CUT, Tone.PAPER), Drawing((head,)), *cells])


@dataclass(frozen=True, slots=True)
class WalkLine:
    """Marks up to a stop, and the stop under them: a block that stays together."""

    number: int
    marks: Sequence[str]
    words: str
    checks: Sequence[Check]

    def height(self, width: float) -> float:
        """Return the block's height."""
        return MARKS_ROW + CHECK_ROW

    def drawn(self, width: float) -> Drawing:
        """Return the block, hung from its top left corner."""
        stop = _Checks(self.words, self.checks).drawn(width).moved(0.0, -MARKS_ROW)
        return _Marks(self.number, self.marks).drawn(width) + stop


def _cell(check: Check, left: float, width: float, foot: float) -> Drawing:
    """The place in small letters, what should be read in large figures, and under them the least."""
    y = foot + 5.6
    place = Text((left + 1.0, y), check.place, 2.2, Face.LABEL)
    after = left + 1.0 + place.setting().width + 1.2
    expected = shrunk(
        Text((after, y), check.expected, Lettering.FIGURE, Face.FIGURES_STRONG), left + width - after - 0.5
    )
    least = shrunk(
        Text((left + 1.0, foot + 1.1), f"not under {check.not_under}", 2.2, Face.LABEL), width - 1.6
    )
    stem = [] if left == 0.0 else [line([(left, foot), (left, foot + 9.0)], Pen.HATCH)]
    return drawing_of([Drawing((place, expected, least)), *stem])
