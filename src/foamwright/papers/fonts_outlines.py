"""Words as outlines, for drawings that are opened where a file's own fonts are not looked at."""

from __future__ import annotations

from functools import cache
from typing import Any

from foamwright.papers.fonts import font_bytes, metrics
from foamwright.papers.style import Face

_DECIMALS = 4
"""Of an em: letters of 10 mm are true to a micrometre."""


@cache
def _font(face: Face) -> Any:
    from io import BytesIO

    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    return TTFont(BytesIO(font_bytes(face)))


@cache
def outlines(face: Face, words: str) -> str:
    """Return the path of words set plainly from x = 0, in ems with y up; `face` has every letter."""
    from fontTools.pens.svgPathPen import SVGPathPen  # type: ignore[import-untyped]
    from fontTools.pens.transformPen import TransformPen  # type: ignore[import-untyped]

    font, widths = _font(face), metrics(face).widths
    glyphs, names = font.getGlyphSet(), font.getBestCmap()
    size = 1.0 / font["head"].unitsPerEm
    pen = SVGPathPen(glyphs, ntos=lambda value: f"{value:.{_DECIMALS}f}".rstrip("0").rstrip("."))
    at = 0.0
    for letter in words:
        glyphs[names[ord(letter)]].draw(TransformPen(pen, (size, 0.0, 0.0, size, at, 0.0)))
        at += widths[ord(letter)]
    return str(pen.getCommands())
