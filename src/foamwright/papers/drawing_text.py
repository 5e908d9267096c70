"""Paragraphs: words wrapped to a width by the font's own metrics."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from foamwright.papers.drawing import Drawing, Text
from foamwright.papers.fonts_setting import line_width
from foamwright.papers.style import Anchor, Face, Lettering

LEADING = 1.95
"""Distance between baselines as a share of the capital height: lines with stacked fractions clear."""

_LEAST_SHRINK = 0.72


@dataclass(frozen=True, slots=True)
class TextStyle:
    """How running text is set: capital height in mm, face, baseline distance in capital heights."""

    height: float = Lettering.LABEL
    face: Face = Face.TEXT
    leading: float = LEADING


BODY = TextStyle()
HEADING = TextStyle(Lettering.HEADING, Face.TITLE, 1.5)


@dataclass(frozen=True, slots=True)
class Block:
    """A drawing hung below its top left corner, and the height it takes, mm."""

    drawing: Drawing
    height: float

    def at(self, left: float, top: float) -> Drawing:
        """Return the drawing with its top left corner at (`left`, `top`)."""
        return self.drawing.moved(left, top)


def wrapped_lines(words: str, width: float, style: TextStyle = BODY) -> tuple[str, ...]:
    """Return `words` broken at spaces into lines no wider than `width` mm (a longer word stands alone).

    Line breaks in `words` are kept. A fraction is never parted from its whole number, nor a number from
    its unit.
    """
    return tuple(line for part in words.split("\n") for line in _wrapped(part, width, style))


def _wrapped(words: str, width: float, style: TextStyle) -> list[str]:
    lines = [""]
    for piece in _unbreakable(words.split()):
        longer = f"{lines[-1]} {piece}".strip()
        if lines[-1] and line_width(longer, style.face, style.height) > width:
            lines.append(piece)
        else:
            lines[-1] = longer
    return lines


def _unbreakable(words: Sequence[str]) -> list[str]:
    """Join what belongs on one line: ``2 3/4 in``, ``70 mm``."""
    joined: list[str] = []
    for word in words:
        number_before = bool(joined) and joined[-1][-1].isdigit()
        belongs = word.rstrip(".,;:)") in {"in", "mm", "cm", "m", "kg", "l", "ft"} or "/" in word
        if number_before and belongs and (word[0].isdigit() or "/" not in word):
            joined[-1] += f" {word}"
        else:
            joined.append(word)
    return joined


def paragraph(words: str, width: float, style: TextStyle = BODY) -> Block:
    """Return `words` set ragged right in a column `width` mm wide."""
    lines = wrapped_lines(words, width, style)
    step = style.leading * style.height
    items = tuple(
        Text((0.0, -style.height - index * step), line, style.height, style.face)
        for index, line in enumerate(lines)
    )
    return Block(Drawing(items), style.height + (len(lines) - 1) * step + 0.6 * style.height)


def numbered(steps: Sequence[str], width: float, style: TextStyle = BODY) -> Block:
    """Return `steps` as a numbered list in a column `width` mm wide."""
    indent = 2.4 * style.height
    gap = 0.5 * style.height
    items: list[Drawing] = []
    top = 0.0
    for number, step in enumerate(steps, start=1):
        body = paragraph(step, width - indent, style)
        figure = Text((0.0, top - style.height), f"{number}", style.height, Face.FIGURES_STRONG)
        items += [Drawing((figure,)), body.at(indent, top)]
        top -= body.height + gap
    return stacked_drawing(items, -top)


def stacked_drawing(parts: Sequence[Drawing], height: float) -> Block:
    """Return parts that already stand in place as one block `height` mm tall."""
    return Block(Drawing(tuple(item for part in parts for item in part.items)), height)


def stacked(blocks: Sequence[Block], gap: float = 3.0) -> Block:
    """Return `blocks` one below the other, `gap` mm apart."""
    parts: list[Drawing] = []
    top = 0.0
    for block in blocks:
        parts.append(block.at(0.0, top))
        top -= block.height + gap
    return stacked_drawing(parts, max(0.0, -top - gap))


def shrunk(text: Text, width: float, least: float = 0.0) -> Text:
    """Return `text` smaller where it is wider than `width` mm, but not below `least` of its height."""
    full = text.setting().width
    return text if full <= width else replace(text, height=text.height * max(least, width / full))


def fitted(text: Text, width: float) -> Text:
    """Return `text` set no wider than `width` mm: smaller if need be, and in the end shortened."""
    small = shrunk(text, width, _LEAST_SHRINK)
    words = small.words
    while words and line_width(words, small.face, small.height) > width + 1e-9:
        words = words[:-2].rstrip() + "…" if len(words) > 2 else ""
    return replace(small, words=words) if words != small.words else small


def words_at(
    at: tuple[float, float], words: str, style: TextStyle = BODY, anchor: Anchor = Anchor.LEFT
) -> Drawing:
    """Return one line of text as a drawing."""
    return Drawing((Text(at, words, style.height, style.face, anchor),))
