"""Usual fin layouts by name. Every position, angle and box size here is common practice, no source."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from foamwright.board.numbers import FinMark
from foamwright.stations import Mark
from foamwright.units import Unit, parse_length


class Layout(StrEnum):
    """A usual fin layout."""

    ONE = "one"
    TWO = "two"
    THREE = "three"
    FOUR = "four"
    ONE_LARGE_TWO_SMALL = "one large with two small"


class Side(StrEnum):
    """Side of the stringer, seen from the tail towards the nose; left is +y."""

    BOTH = "both"
    LEFT = "left"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class _Usual:
    """A box or pair: trailing edge from the tail and distance from the rail in inches, angles in degrees.

    `from_rail` is `None` on the stringer.
    """

    name: str
    from_tail: float
    from_rail: float | None
    toe: float
    cant: float
    large: bool = False


# Length, width, depth, foam above, in inches.
_SMALL_BOX = (4.5, 1.0, 0.5, 0.25)
_LARGE_BOX = (10.5, 1.0, 1.0, 0.25)

_SIDES = _Usual("side", 12.5, 1.25, 3.0, 6.0)
_LAYOUTS = {
    Layout.ONE: (_Usual("centre", 6.0, None, 0.0, 0.0, large=True),),
    Layout.TWO: (_Usual("side", 8.0, 1.25, 3.0, 7.0),),
    Layout.THREE: (_Usual("front", 11.0, 1.125, 3.0, 6.0), _Usual("centre", 3.5, None, 0.0, 0.0)),
    Layout.FOUR: (_Usual("front", 11.5, 1.125, 3.0, 6.0), _Usual("rear", 6.0, 1.75, 2.0, 4.0)),
    Layout.ONE_LARGE_TWO_SMALL: (_Usual("centre", 6.0, None, 0.0, 0.0, large=True), _SIDES),
}


def usual_fins(layout: Layout, outline: list[Mark]) -> tuple[FinMark, ...]:
    """Return the boxes of a layout on a board with these full widths (with the wide point, by station).

    The rail is taken on straight lines between the widths given, which lie inside an outline that bulges
    everywhere: a box comes out no nearer to its rail than the usual distance.
    """
    return tuple(box for usual in _LAYOUTS[layout] for box in _boxes(usual, outline))


def on_sides(box: FinMark, side: Side) -> tuple[FinMark, ...]:
    """Return a box as it lies on the side asked for; on both, one each, named for its side."""
    if box.y == 0:
        return (box,)
    if side is not Side.BOTH:
        return (replace(box, y=_SIGN[side] * box.y),)
    return tuple(replace(box, name=f"{box.name} {one}", y=sign * box.y) for one, sign in _SIGN.items())


_SIGN = {Side.LEFT: 1, Side.RIGHT: -1}


def _boxes(usual: _Usual, outline: list[Mark]) -> tuple[FinMark, ...]:
    x = _metres(usual.from_tail)
    y = 0.0 if usual.from_rail is None else _half_width(outline, x) - _metres(usual.from_rail)
    size = map(_metres, _LARGE_BOX if usual.large else _SMALL_BOX)
    box = FinMark(usual.name, x, max(y, 0.0), math.radians(usual.toe), math.radians(usual.cant), *size)
    return on_sides(box, Side.BOTH)


def _half_width(outline: list[Mark], x: float) -> float:
    return float(np.interp(x, [mark.x for mark in outline], [mark.value for mark in outline])) / 2


def _metres(inches: float) -> float:
    """The float that a sheet would give; `inches * INCH` may miss it by a rounding."""
    return parse_length(inches, Unit.INCH)
