"""The frame of a job sheet's page: heading, body, title block; and columns of running text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from foamwright.papers.drawing import Drawing, Sheet, Text, drawing_of, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import Block, TextStyle, fitted, paragraph, stacked
from foamwright.papers.style import Anchor, Face, Lettering, Pen
from foamwright.papers.tiling import Orientation, Page, Paper
from foamwright.papers.titleblock import TitleBlock, title_block

EDGE = 9.0
"""Bare edge of the page, mm."""

BLOCK_HEIGHT = 17.0
HEAD_HEIGHT = 14.0
BODY_TEXT = TextStyle(Lettering.LABEL, Face.TEXT, 1.8)
BODY_HEAD = TextStyle(Lettering.FIGURE, Face.TITLE, 1.5)
COLUMN_GAP = 6.0
_TITLE_SHARE = 0.55


@dataclass(frozen=True, slots=True)
class Headed:
    """A page before it is numbered.

    Attributes
    ----------
    title
        The work, large: ``Rocker``.
    purpose
        One sentence beside it.
    body
        What stands between heading and title block, in the page's frame.
    scale, refers_to
        For the title block.
    step
        Number of the step this page belongs to (0: none).
    """

    title: str
    purpose: str
    body: Drawing
    scale: str
    refers_to: str
    step: int = 0


@dataclass(frozen=True, slots=True)
class Ground:
    """The paper that every page of a job sheet stands on."""

    page: Page

    @property
    def block(self) -> Box:
        """Where the title block stands."""
        return Box(EDGE, EDGE, self.page.width - EDGE, EDGE + BLOCK_HEIGHT)

    @property
    def body(self) -> Box:
        """The room between heading and title block."""
        top = self.page.height - EDGE - HEAD_HEIGHT
        return Box(EDGE, self.block.top + 4.0, self.page.width - EDGE, top)

    def sheet(self, headed: Headed, block: TitleBlock, number: int, of: int) -> Sheet:
        """Return the finished page."""
        named = replace(block, what=headed.title, scale=headed.scale, refers_to=headed.refers_to).numbered(
            number, of
        )
        drawing = drawing_of([self._heading(headed), headed.body, title_block(named, self.block)])
        return Sheet(self.page.width, self.page.height, drawing, headed.title)

    def _heading(self, headed: Headed) -> Drawing:
        left, top, right = self.block.left, self.page.height - EDGE, self.block.right
        words = f"{headed.step}  {headed.title}" if headed.step else headed.title
        base = top - Lettering.TITLE
        title = fitted(Text((left, base), words, Lettering.TITLE, Face.TITLE), _TITLE_SHARE * (right - left))
        start = left + title.setting().width + 8.0
        purpose = fitted(Text((start, base), headed.purpose, Lettering.FIGURE, Face.LABEL), right - start)
        rule = line([(left, top - 10.5), (right, top - 10.5)], Pen.OUTLINE)
        return Drawing((title, purpose)) + rule


def ground_for(paper: Paper) -> Ground:
    """Return the ground on a paper: all pages lie landscape, as the board on the rack does."""
    return Ground(Page(paper, Orientation.LANDSCAPE))


@dataclass(frozen=True, slots=True)
class Told:
    """A short piece of running text under a heading."""

    heading: str
    words: str


@lru_cache(maxsize=256)
def told(piece: Told, width: float) -> Block:
    """Return a piece of text as a block."""
    head = paragraph(piece.heading, width, BODY_HEAD)
    return stacked([head, paragraph(piece.words, width, BODY_TEXT)], 0.4)


def in_columns(pieces: Sequence[Told], box: Box) -> Drawing:
    """Return pieces side by side under `box.top`, one column each, with thin rules between."""
    widths = _column_widths(pieces, box.width)
    lefts = [box.left + sum(widths[:i]) + i * COLUMN_GAP for i in range(len(pieces))]
    blocks = [
        told(piece, width).at(left, box.top) for piece, width, left in zip(pieces, widths, lefts, strict=True)
    ]
    rules = [
        line([(left - COLUMN_GAP / 2, box.bottom), (left - COLUMN_GAP / 2, box.top)], Pen.THIN)
        for left in lefts[1:]
    ]
    return drawing_of([*blocks, *rules])


def columns_height(pieces: Sequence[Told], width: float) -> float:
    """Return the height that `in_columns` takes at a total `width`."""
    widths = _column_widths(pieces, width)
    return max(told(piece, each).height for piece, each in zip(pieces, widths, strict=True))


def _column_widths(pieces: Sequence[Told], width: float) -> list[float]:
    """Longer pieces get wider columns, so that all come out about as tall; none gets very narrow."""
    mean = sum(len(piece.words) for piece in pieces) / len(pieces)
    shares = [max(len(piece.words), 0.7 * mean) for piece in pieces]
    room = width - (len(pieces) - 1) * COLUMN_GAP
    return [room * share / sum(shares) for share in shares]


def notes_ruled(box: Box) -> Drawing:
    """Return room to write: lines under a small heading, none where there is no room for two."""
    step = 9.0
    count = int((box.height - 4.0) / step)
    if count < 2:
        return Drawing()
    heading = Text((box.left, box.top), "Notes", Lettering.LABEL, Face.LABEL, Anchor.TOP_LEFT)
    levels = [box.top - 4.0 - (i + 1) * step for i in range(count)]
    return drawing_of(
        [Drawing((heading,)), *(line([(box.left, y), (box.right, y)], Pen.THIN) for y in levels)]
    )
