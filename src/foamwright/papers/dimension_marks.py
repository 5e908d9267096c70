"""Marks a person checks, cuts or writes by: scale bars, registration marks, arrows, boxes."""

from __future__ import annotations

import math
from itertools import pairwise

from foamwright.papers.drawing import Arc, Drawing, Text, drawing_of, frame, line, shape
from foamwright.papers.drawing_box import Box
from foamwright.papers.style import Anchor, Face, Lettering, Pen, Tone

REGISTRATION_RADIUS = 2.5
_BAR_HEIGHT = 2.0

Place = tuple[float, float]


def millimetre_bar(at: Place, length: float = 100.0) -> Drawing:
    """Return a bar of `length` mm, its lower left end at `at`, ruled every 10 mm, lettered at its ends."""
    steps = round(length / 10.0)
    ends = [index * length / steps for index in range(steps + 1)]
    return _bar(at, ends, [(0.0, "0"), (length / 2, f"{length / 2:g}"), (length, f"{length:g} mm")])


def inch_bar(at: Place, inches: int = 4) -> Drawing:
    """Return a bar of `inches` inches, its lower left end at `at`, ruled every half inch."""
    ends = [index * 12.7 for index in range(2 * inches + 1)]
    names = [(index * 25.4, f"{index}" if index < inches else f"{index} in") for index in range(inches + 1)]
    return _bar(at, ends, names)


def _bar(at: Place, ends: list[float], names: list[tuple[float, str]]) -> Drawing:
    """Fields black and white in turn between end lines that stand exactly on the measure."""
    fields = [
        shape(Box(left, 0.0, right, _BAR_HEIGHT).corners, None, Tone.INK if index % 2 == 0 else Tone.NONE)
        for index, (left, right) in enumerate(pairwise(ends))
    ]
    edge = [line([(0.0, y), (ends[-1], y)], Pen.GRID) for y in (0.0, _BAR_HEIGHT)]
    stops = [line([(x, -0.8), (x, _BAR_HEIGHT + 0.8)], Pen.GRID) for x in (0.0, ends[-1])]
    words = [
        Drawing((Text((x, _BAR_HEIGHT + 1.4), name, Lettering.NOTE, Face.FIGURES, _bar_anchor(x)),))
        for x, name in names
    ]
    return drawing_of([*fields, *edge, *stops, *words]).moved(*at)


def _bar_anchor(x: float) -> Anchor:
    return Anchor.LEFT if x == 0.0 else Anchor.CENTRE


def registration_mark(at: Place, radius: float = REGISTRATION_RADIUS) -> Drawing:
    """Return a cross in a circle; two pages are in place when these lie on each other."""
    reach = 1.5 * radius
    x, y = at
    cross = line([(x - reach, y), (x + reach, y)], Pen.GRID) + line(
        [(x, y - reach), (x, y + reach)], Pen.GRID
    )
    return cross + Drawing((Arc(at, radius, Pen.THIN),))


def way_mark(at: Place, words: str, angle: float, length: float = 14.0) -> Drawing:
    """Return an arrow starting at `at` in direction `angle`, named ("nose this way", "this side up")."""
    head, half = 4.0, 1.3
    shaft = line([(0.0, 0.0), (length - head, 0.0)], Pen.OUTLINE)
    tip = shape([(length, 0.0), (length - head, half), (length - head, -half)], None, Tone.INK)
    arrow = (shaft + tip).turned(angle).moved(*at)
    return arrow + _way_words(at, words, angle)


def _way_words(at: Place, words: str, angle: float) -> Drawing:
    """The name at the arrow's tail, on the side away from its tip."""
    if abs(math.cos(angle)) > 0.5:
        place = (at[0] - math.copysign(1.5, math.cos(angle)), at[1])
        anchor = Anchor.MIDDLE_RIGHT if math.cos(angle) > 0 else Anchor.MIDDLE_LEFT
    else:
        place, anchor = (at[0] + 2.2, at[1] + 1.0 * math.copysign(1.0, math.sin(angle))), Anchor.MIDDLE_LEFT
    return Drawing((Text(place, words, Lettering.LABEL, Face.LABEL, anchor),))


def check_box(at: Place, words: str, side: float = 4.0) -> Drawing:
    """Return a box to tick, its lower left corner at `at`, with what it stands for to its right."""
    x, y = at
    name = Text((x + side + 2.0, y + side / 2), words, Lettering.LABEL, Face.TEXT, Anchor.MIDDLE_LEFT)
    return frame(Box(x, y, x + side, y + side), Pen.CUT) + Drawing((name,))


def write_in_box(box: Box, words: str, unit: str = "") -> Drawing:
    """Return a box for a reading: what to write small in its upper left corner, the unit at its right."""
    name = Text((box.left + 1.0, box.top - 0.9), words, Lettering.NOTE, Face.LABEL, Anchor.TOP_LEFT)
    parts = (
        [frame(box, Pen.CUT, Tone.PAPER), Drawing((name,))] if words else [frame(box, Pen.CUT, Tone.PAPER)]
    )
    if unit:
        at = (box.right - 1.2, box.bottom + 1.2)
        parts.append(Drawing((Text(at, unit, Lettering.LABEL, Face.LABEL, Anchor.RIGHT),)))
    return drawing_of(parts)
