"""A web font of only the letters used, small enough to travel inside a drawing.

The full subsetter of fontTools takes longer to import than all papers take to write; emptying the
outlines that are not used does the same for fonts without layout tables.
"""

from __future__ import annotations

from functools import cache
from io import BytesIO
from typing import Any

from foamwright.papers.fonts import font_bytes
from foamwright.papers.style import Face

_KEPT_TABLES = ("GlyphOrder", "head", "hhea", "maxp", "OS/2", "hmtx", "cmap", "loca", "glyf", "post", "name")


@cache
def web_font(face: Face, letters: str) -> bytes:
    """Return a WOFF file of `face` with the outlines of `letters` only, the same bytes on every run."""
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    font = TTFont(BytesIO(font_bytes(face)), recalcTimestamp=False)
    for tag in set(font.keys()) - set(_KEPT_TABLES):
        del font[tag]
    _empty_outlines(font, _used_glyphs(font, letters))
    font["post"].formatType = 3.0
    font.flavor = "woff"
    buffer = BytesIO()
    font.save(buffer)
    return buffer.getvalue()


def _used_glyphs(font: Any, letters: str) -> set[str]:
    """Names of the glyphs of `letters`, with the parts of composed ones."""
    names = font.getBestCmap()
    pending = [".notdef", *(names[ord(letter)] for letter in letters)]
    used: set[str] = set()
    while pending:
        name = pending.pop()
        if name not in used:
            used.add(name)
            pending += font["glyf"][name].getComponentNames(font["glyf"])
    return used


def _empty_outlines(font: Any, kept: set[str]) -> None:
    from fontTools.ttLib.tables._g_l_y_f import Glyph  # type: ignore[import-untyped]

    for name in font.getGlyphOrder():
        if name not in kept:
            font["glyf"][name] = Glyph()
    for table in font["cmap"].tables:
        table.cmap = {code: name for code, name in table.cmap.items() if name in kept}
