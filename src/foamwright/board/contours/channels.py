"""Channels: grooves along the stringer or the rail, square or ramped."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foamwright.board.contours.terms import INCH, Across, Key, Stretch, Term, stretch_of
from foamwright.shape.curves import Floats

FADE = 7.0
"""Inches over which they begin, where the sheet says nothing."""


class Channels:
    """Grooves side by side, half of them on each side of the stringer."""

    shape = "channels"
    keys = (
        Key("count", None, 2.0, 8.0),
        Key("depth", None, INCH / 8, INCH / 4),
        Key("width", 2 * INCH, 1.25 * INCH, 2.5 * INCH),
        Key("first", 1.75 * INCH),
        Key("pitch", 2.5 * INCH),
        Key("wall", INCH / 8),
        Key("fade", FADE * INCH),
        Key("profile", "square"),
        Key("along", "stringer"),
    )
    scanned = False
    rises = True

    def stretch(self, length: float, numbers: Mapping[str, float]) -> Stretch:
        """Return them as usual: from 28 in, full after the fade, out at the tail."""
        begin = min(28 * INCH, length)
        full, tail = max(begin - numbers["fade"], 0.0), (0.0, "tail")
        return stretch_of((begin, "28 in from tail"), (full, ""), tail, tail)

    def _grooves(self, term: Term, across: Across) -> list[Floats]:
        """Inner walls (N, 1) of the grooves of one side."""
        first, pitch = term.numbers["first"], term.numbers["pitch"]
        off = across.edge - term.numbers["anchor"] if "anchor" in term.numbers else np.zeros_like(across.edge)
        return [off + first + pitch * k for k in range(int(term.numbers["count"]) // 2)]

    def height(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return their heights over the stringer's."""
        return self._both(term, amount, across, y)[0]

    def slope(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return their slope outwards."""
        return self._both(term, amount, across, y)[1]

    def _both(self, term: Term, amount: Floats, across: Across, y: Floats) -> tuple[Floats, Floats]:
        depth, width, wall = (term.numbers[key] for key in ("depth", "width", "wall"))
        rise = wall if term.words["profile"] == "square" else width - wall
        height, slope = np.zeros_like(y), np.zeros_like(y)
        for inner in self._grooves(term, across):
            s = y - inner
            height = height + np.clip(np.minimum(s / rise, (width - s) / wall), 0.0, 1.0)
            slope = slope + np.where((s > 0.0) & (s < rise), 1.0 / rise, 0.0)
            slope = slope - np.where((s > width - wall) & (s < width), 1.0 / wall, 0.0)
        return depth * amount * height, depth * amount * slope

    def kinks(self, term: Term, across: Across) -> list[Floats]:
        """Return the corners of the grooves."""
        width, wall = term.numbers["width"], term.numbers["wall"]
        corners = (
            (0.0, wall, width - wall, width)
            if term.words["profile"] == "square"
            else (0.0, width - wall, width)
        )
        return [inner + corner for inner in self._grooves(term, across) for corner in corners]
