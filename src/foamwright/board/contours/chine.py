"""A chine: a straight flat along the rail, turned up from the bottom."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

from foamwright.board.contours.terms import INCH, Across, Key, Stretch, Term, stretch_of
from foamwright.shape.curves import Floats


class Chine:
    """A flat turned up by an angle, `width` in from the widest edge."""

    shape = "chine"
    keys = (
        Key("width", None, 0.75 * INCH, 3 * INCH),
        Key("angle", None, 10.0, 35.0),
        Key("fade", 10 * INCH),
    )
    scanned = False
    rises = True

    def stretch(self, length: float, numbers: Mapping[str, float]) -> Stretch:
        """Return it as usual: from the nose, full after the fade, out at the tail."""
        nose, tail = (length, "nose"), (0.0, "tail")
        return stretch_of(nose, (max(length - numbers["fade"], 0.0), ""), tail, tail)

    def line(self, term: Term, across: Across) -> Floats:
        """Return (N, 1) where it begins; never nearer to the stringer than half way."""
        return np.maximum(across.half - term.numbers["width"], across.half / 2.0)

    def height(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its heights over the stringer's."""
        rise = math.tan(math.radians(term.numbers["angle"])) * amount
        return np.asarray(np.maximum(y - self.line(term, across), 0.0) * rise)

    def slope(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its slope outwards."""
        rise = math.tan(math.radians(term.numbers["angle"])) * amount
        return np.asarray(np.where(y > self.line(term, across), rise, 0.0))

    def kinks(self, term: Term, across: Across) -> list[Floats]:
        """Return its line."""
        return [self.line(term, across)]
