"""Concaves: one arc from edge to edge, or one arc on each side of the stringer."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foamwright.board.contours.terms import (
    INCH,
    RAIL_TO_RAIL,
    Across,
    Key,
    Stretch,
    Term,
    from_nose,
    from_tail,
    stretch_of,
)
from foamwright.shape.curves import Floats


def sag(y: Floats, chord: Floats, depth: Floats) -> tuple[Floats, Floats]:
    """Return how far a circular arc lies below its top at `y` from it, and its slope.

    `chord` is half of its chord, `depth` its rise over that. Written so that no radius is needed, which a
    vanishing depth would make infinite.
    """
    square = chord * chord + depth * depth
    root = np.sqrt(np.maximum(square * square - 4.0 * depth * depth * y * y, 1e-30))
    return 2.0 * depth * y * y / np.maximum(square + root, 1e-15), 2.0 * depth * y / root


class Concave:
    """A single concave: the stringer keeps its rocker, the sides hang lower by the depth."""

    shape = "concave"
    keys = (
        Key("depth", None, INCH / 16, 5 * INCH / 16),
        Key("width", RAIL_TO_RAIL, 8 * INCH),
        Key("blend", INCH),
    )
    scanned = True
    rises = False

    def stretch(self, length: float, numbers: Mapping[str, float]) -> Stretch:
        """Return it as usual: out of the nose, full to 12 in from the tail, out 1 in from the tail."""
        aft = max(length / 2.0 - 6 * INCH, 0.0), "6 in aft of centre"
        return stretch_of(from_nose(length, 18), aft, from_tail(length, 12), from_tail(length, 1))

    def _chord(self, term: Term, across: Across) -> tuple[Floats, Floats]:
        """Half of the chord, and what its sides are softened over to each side of it."""
        chord = np.minimum(term.numbers["width"] / 2.0, across.edge)
        blend = np.minimum(np.minimum(term.numbers["blend"], across.edge - chord), chord)
        return chord, np.maximum(blend, 0.0)

    def height(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its heights over the stringer's."""
        return self._both(term, amount, across, y)[0]

    def slope(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its slope outwards."""
        return self._both(term, amount, across, y)[1]

    def _both(self, term: Term, amount: Floats, across: Across, y: Floats) -> tuple[Floats, Floats]:
        depth = term.numbers["depth"] * amount
        chord, blend = self._chord(term, across)
        fall, steep = sag(np.minimum(y, chord), chord, depth)
        height, slope = np.where(y < chord, -fall, -depth), np.where(y < chord, -steep, 0.0)
        if not np.any(blend > 0.0):
            return height, slope
        begin, span = chord - blend, 2.0 * np.maximum(blend, 1e-12)
        first, tilt = sag(begin, chord, depth)
        s = (y - begin) / span
        # The cubic with the arc's height and slope where it begins, level at the depth where it ends.
        rise, run = first - depth, -tilt * span
        cubic = -first + s * (run + s * (3.0 * rise - 2.0 * run + s * (run - 2.0 * rise)))
        bent = (run + s * (2.0 * (3.0 * rise - 2.0 * run) + 3.0 * s * (run - 2.0 * rise))) / span
        soft = (s > 0.0) & (s < 1.0) & (blend > 0.0)
        return np.where(soft, cubic, height), np.where(soft, bent, slope)

    def kinks(self, term: Term, across: Across) -> list[Floats]:
        """Return where the arc, and its softened side, end."""
        if term.numbers["width"] == RAIL_TO_RAIL:
            return []
        chord, blend = self._chord(term, across)
        return [chord - blend, chord + blend]


class DoubleConcave:
    """One arc a side from the stringer, deepest half way; stringer and edges stay on one plane."""

    shape = "double concave"
    keys = (Key("depth", None, INCH / 16, 3 * INCH / 16), Key("width", RAIL_TO_RAIL, 3 * INCH))
    scanned = True
    rises = True

    def stretch(self, length: float, numbers: Mapping[str, float]) -> Stretch:
        """Return it as usual in the last two feet, fading out before the tail."""
        return stretch_of(
            from_tail(length, 24), from_tail(length, 12), from_tail(length, 8), from_tail(length, 1)
        )

    def _chord(self, term: Term, across: Across) -> Floats:
        return np.minimum(term.numbers["width"], across.edge) / 2.0

    def height(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its heights over the stringer's."""
        depth, chord = term.numbers["depth"] * amount, self._chord(term, across)
        away = np.minimum(np.abs(y - chord), chord)
        return np.asarray(np.where(y < 2.0 * chord, depth - sag(away, chord, depth)[0], 0.0))

    def slope(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its slope outwards."""
        depth, chord = term.numbers["depth"] * amount, self._chord(term, across)
        away = np.clip(y - chord, -chord, chord)
        return np.asarray(np.where(y < 2.0 * chord, -sag(away, chord, depth)[1], 0.0))

    def kinks(self, term: Term, across: Across) -> list[Floats]:
        """Return where each arc ends."""
        return [] if term.numbers["width"] == RAIL_TO_RAIL else [2.0 * self._chord(term, across)]
