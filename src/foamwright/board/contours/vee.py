"""Vee and roll: powers of the distance from the stringer, as high as told where the flat ends."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foamwright.board.contours.terms import INCH, Across, Key, Stretch, Term, from_nose, from_tail, stretch_of
from foamwright.shape.curves import Floats

PANELS = {"flat": 1.0, "rolled": 1.5}
"""Panels of a vee, and the power by which they rise."""


def _power(term: Term, amount: Floats, across: Across, y: Floats, power: float) -> tuple[Floats, Floats]:
    reach = np.maximum(across.reach, 1e-12)
    share, depth = y / reach, term.numbers["depth"] * amount
    return np.asarray(depth * share**power), np.asarray(depth * power * share ** (power - 1.0) / reach)


class Vee:
    """Panels that rise from the stringer: flat, or rolled."""

    shape = "vee"
    keys = (Key("depth", None, INCH / 16, 3 * INCH / 8), Key("panels", "flat"))
    scanned = True
    rises = True

    def stretch(self, length: float, numbers: Mapping[str, float]) -> Stretch:
        """Return it as usual: from 30 in, most from 8 in to the tail (those of a spiral vee)."""
        tail = (0.0, "tail")
        return stretch_of(from_tail(length, 30), from_tail(length, 8), tail, tail)

    def height(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its heights over the stringer's."""
        return _power(term, amount, across, y, PANELS[term.words["panels"]])[0]

    def slope(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its slope outwards."""
        return _power(term, amount, across, y, PANELS[term.words["panels"]])[1]

    def kinks(self, term: Term, across: Across) -> list[Floats]:
        """Return none: it is one formula from the stringer to the edge."""
        return []


class Roll:
    """A belly: round from the stringer to the edge."""

    shape = "roll"
    keys = (Key("depth", None, INCH / 16, 3 * INCH / 8),)
    scanned = True
    rises = True

    def stretch(self, length: float, numbers: Mapping[str, float]) -> Stretch:
        """Return it as usual: full from the nose to 12 in from it, gone at the centre."""
        nose, middle = (length, "nose"), (length / 2.0, "centre")
        return stretch_of(nose, nose, from_nose(length, 12), middle)

    def height(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its heights over the stringer's."""
        return _power(term, amount, across, y, 2.0)[0]

    def slope(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its slope outwards."""
        return _power(term, amount, across, y, 2.0)[1]

    def kinks(self, term: Term, across: Across) -> list[Floats]:
        """Return none: it is one formula from the stringer to the edge."""
        return []
