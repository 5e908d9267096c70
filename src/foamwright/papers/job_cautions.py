"""Cautions on a page of the job sheet: next to the step they belong to."""

from __future__ import annotations

from collections.abc import Sequence

from foamwright.cautions import Caution
from foamwright.papers.drawing import Drawing, Text, drawing_of, frame, shape
from foamwright.papers.drawing_box import Box
from foamwright.papers.drawing_text import Block, TextStyle, paragraph, stacked, stacked_drawing
from foamwright.papers.style import Anchor, Face, Lettering, Pen

_MARK = 12.0
_STYLE = TextStyle(Lettering.LABEL, Face.TEXT, 1.6)


def caution_strip(cautions: Sequence[Caution], width: float) -> Block:
    """Return cautions in a ruled frame `width` mm wide, with the usual warning triangle."""
    lines = [paragraph(caution.sentence, width - _MARK - 4.0, _STYLE) for caution in cautions]
    text = stacked(lines, 0.3)
    height = max(text.height + 2.6, 9.0)
    box = Box(0.0, -height, width, 0.0)
    top = -(height - text.height) / 2 - 0.2
    return stacked_drawing([frame(box, Pen.CUT), _triangle((6.0, -height / 2)), text.at(_MARK, top)], height)


def _triangle(centre: tuple[float, float]) -> Drawing:
    x, y = centre
    corners = [(x - 3.6, y - 2.7), (x + 3.6, y - 2.7), (x, y + 3.5)]
    mark = Text((x, y - 0.6), "!", 3.6, Face.FIGURES_STRONG, Anchor.MIDDLE)
    return drawing_of([shape(corners, Pen.OUTLINE), Drawing((mark,))])
