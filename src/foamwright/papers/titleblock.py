"""The title block: what a sheet is, whose it is, at which scale, and what its dimensions refer to."""

from __future__ import annotations

from dataclasses import dataclass, replace

from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, line
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import fitted
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

_INSET = 1.3
_CAPTION = Lettering.NOTE
_FOOT = 0.4
"""Below the letters' frame in a row, mm."""
_LEAST_WORDS = 2.2
"""Capital height under which words stand beside their caption instead of under it, mm."""
_GAP = 1.2
"""Between a caption and the words after it, mm."""


@dataclass(frozen=True, slots=True)
class TitleBlock:
    """What stands in the title block; an empty string leaves its field out.

    Attributes
    ----------
    what
        What the sheet shows.
    job, board, blank, date
        Whose it is and when; the date as the caller writes it (papers add none of their own).
    refers_to
        What the dimensions refer to.
    scale
        ``1:1``, ``1:10`` …
    page
        Label of this page where pages are put together.
    sheet, sheets
        Number of this sheet and how many there are.
    """

    what: str
    job: str = ""
    board: str = ""
    blank: str = ""
    date: str = ""
    refers_to: str = ""
    scale: str = "1:1"
    page: str = ""
    sheet: int = 1
    sheets: int = 1

    def numbered(self, sheet: int, sheets: int) -> TitleBlock:
        """Return the block for sheet `sheet` of `sheets`."""
        return replace(self, sheet=sheet, sheets=sheets)


@dataclass(frozen=True, slots=True)
class _Field:
    caption: str
    words: str
    share: float
    height: float = Lettering.LABEL
    face: Face = Face.LABEL


def title_block(block: TitleBlock, box: Box) -> Drawing:
    """Return `block` ruled into `box`: the sheet's name above, whose it is below, then the reference."""
    rows = [row for row in _rows(block) if row]
    heights = _row_heights(len(rows), box.height)
    parts = [frame(box, Pen.FRAME, Tone.PAPER)]
    top = box.top
    for row, height in zip(rows, heights, strict=True):
        parts.append(_row(row, Box(box.left, top - height, box.right, top)))
        top -= height
        if top > box.bottom + 1e-6:
            parts.append(line([(box.left, top), (box.right, top)], Pen.THIN))
    return drawing_of(parts)


def _rows(block: TitleBlock) -> list[list[_Field]]:
    name = [
        _Field("", block.what, 2.6, Lettering.FIGURE, Face.TITLE),
        _Field("page", block.page, 0.9, Lettering.FIGURE, Face.FIGURES_STRONG),
        _Field("scale", block.scale, 0.7, Lettering.LABEL, Face.FIGURES),
        _Field("sheet", f"{block.sheet} of {block.sheets}", 1.0, Lettering.LABEL, Face.FIGURES),
    ]
    owners = [
        _Field("board", block.board, 1.2),
        _Field("job", block.job, 1.1),
        _Field("blank", block.blank, 1.1),
        _Field("date", block.date, 1.1),
    ]
    reference = [_Field("dimensions refer to", block.refers_to, 1.0, 2.0)]
    return [[field for field in row if field.words] for row in (name, owners, reference)]


def _row_heights(rows: int, height: float) -> list[float]:
    """The first row is a little taller than the others."""
    shares = [1.15, *([1.0] * (rows - 1))]
    return [height * share / sum(shares) for share in shares]


def _row(fields: list[_Field], box: Box) -> Drawing:
    total = sum(field.share for field in fields)
    parts = []
    left = box.left
    for field in fields:
        right = left + box.width * field.share / total
        parts.append(_field(field, Box(left, box.bottom, right, box.top)))
        if right < box.right - 1e-6:
            parts.append(line([(right, box.bottom), (right, box.top)], Pen.THIN))
        left = right
    return drawing_of(parts)


def _field(field: _Field, box: Box) -> Drawing:
    """Caption small above what it names, or before it where the row is low; without one, in the middle."""
    words = Text((0.0, 0.0), field.words, field.height, field.face)
    if not field.caption:
        return Drawing((_beside(words, box, 0.0),))
    return _two_lines(field.caption, words, box) or _one_line(field.caption, words, box)


def _two_lines(caption: str, words: Text, box: Box) -> Drawing | None:
    """Return the caption over the words; none where they would stand too small under it."""
    above = Text((box.left + _INSET, box.top - 0.9), caption, _CAPTION, Face.LABEL, Anchor.TOP_LEFT)
    foot = box.bottom + _FOOT
    # Letters reach above and below their capitals, fractions more so: their frame is what must fit.
    room = above.box().bottom - foot
    low, tall = words.box().bottom / words.height, words.box().height / words.height
    height = min(words.height, room / tall)
    if height < _LEAST_WORDS:
        return None
    placed = replace(words, at=(box.left + _INSET, foot - low * height), height=height)
    return Drawing((above, fitted(placed, box.width - 2.0 * _INSET)))


def _one_line(caption: str, words: Text, box: Box) -> Drawing:
    """Return the caption before the words, or the words alone where both have no room."""
    before = Text((box.left + _INSET, box.centre[1]), caption, _CAPTION, Face.LABEL, Anchor.MIDDLE_LEFT)
    beside = _beside(words, box, before.setting().width + _GAP)
    if beside.words != words.words:
        return Drawing((_beside(words, box, 0.0),))
    return Drawing((before, beside))


def _beside(words: Text, box: Box, before: float) -> Text:
    """Return the words in the middle of the row, after what stands `before` them."""
    left, height = box.left + _INSET + before, min(words.height, 0.55 * box.height)
    placed = replace(words, at=(left, box.centre[1]), height=height, anchor=Anchor.MIDDLE_LEFT)
    return fitted(placed, box.right - _INSET - left)
