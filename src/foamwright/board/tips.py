"""Tips of a swallow tail: the stringer's imagined thickness, so that the foam in a tip is what was asked for.

In a notch there is no stringer. The section there is still told from one, so its thickness is settled from
the foam in the middle of a tip, which a caliper can reach.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foamwright.board.foil import foil_of
from foamwright.board.numbers import BoardNumbers
from foamwright.board.outline import Outline
from foamwright.board.sections import Sections, TipLimits, sections_of
from foamwright.shape.trade_curves import Searched
from foamwright.units import INCH

MOST_CROWN = INCH / 16
"""Most crown of a tip. Common practice, no source."""

FADE = 2.0
"""Crown and roll of the tips fade into the board's over so many depths of the notch. Our own choice."""

SETTLED = 1e-7
"""Metres to which the thickness of a tip is settled."""

ROUNDS = 6
"""The imagined thickness moves a tip by nearly as much: two or three rounds settle it."""


def tip_middle(outline: Outline) -> tuple[float, float]:
    """Return where a tip is measured (x, y), metres: in its middle, as near to its end as it is whole."""
    tail, width = outline.tail, 2.0 * float(outline.drawn(np.array([0.0]))[0])
    rounded = tail.corner_radius > tail.tip_width / 4.0
    return tail.corner_radius if rounded else 0.0, width / 2.0 - tail.tip_width / 2.0


def with_tips(
    numbers: BoardNumbers, outline: Outline, foil: Searched
) -> tuple[BoardNumbers, Searched, Sections]:
    """Return a board's numbers, foil and sections with tips of the thickness that the numbers ask for.

    Raises
    ------
    UnfairError
        No fair foil ends so.
    """
    assert numbers.tail_tip is not None
    tail = outline.tail
    limits = TipLimits(MOST_CROWN, tail.tip_width / 2.0, FADE * tail.depth)
    x, y = tip_middle(outline)
    for _ in range(ROUNDS):
        sections = sections_of(numbers, outline.half_width, outline.parted, foil.curve, limits)
        off = numbers.tail_tip - _thickness(sections, foil, x, y)
        if abs(off) < SETTLED:
            break
        first = numbers.thickness[0]
        marks = (replace(first, value=first.value + off), *numbers.thickness[1:])
        numbers = replace(numbers, thickness=marks)
        foil = foil_of(numbers)
    return numbers, foil, sections


def _thickness(sections: Sections, foil: Searched, x: float, y: float) -> float:
    """Foam square to the level line at one place."""
    at = np.array([x])
    numbers = sections.at(at, np.zeros(1), foil.curve(at))
    share = np.array([[y]]) / numbers.half
    return float((numbers.deck(share) - numbers.bottom(share))[0, 0])
