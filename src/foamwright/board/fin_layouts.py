"""Usual fin layouts by name. Every position, angle and box size here is common practice, no source."""

from __future__ import annotations

import math
from collections.abc import Iterable
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
    TWO_KEELS = "two keels"
    FOIL_MOUNT = "foil mount"


class Side(StrEnum):
    """Side of the stringer, seen from the tail towards the nose; left is +y."""

    BOTH = "both"
    LEFT = "left"
    RIGHT = "right"


Box = tuple[float, float, float, float]
"""Length, width and depth of a box, and the foam that must stay above it, in inches."""

SMALL_BOX: Box = (4.5, 1.0, 0.5, 0.25)
LARGE_BOX: Box = (10.5, 1.0, 1.0, 0.25)
KEEL_BOX: Box = (8.0, 1.0, 0.5, 0.25)
MOUNT_BOX: Box = (10.0, 0.875, 0.75, 0.5)
"""A foil's mount: two rails on 1 1/4 in of foam at least."""


@dataclass(frozen=True, slots=True)
class Usual:
    """A box or pair: trailing edge from the tail and distance from the rail in inches, angles in degrees.

    Without `from_rail` it is `from_stringer` off the stringer: on it, or a pair beside it.
    """

    name: str
    from_tail: float
    from_rail: float | None
    toe: float
    cant: float
    box: Box = SMALL_BOX
    from_stringer: float = 0.0


_SIDES = Usual("side", 12.5, 1.25, 3.0, 6.0)
_CENTRE = Usual("centre", 6.0, None, 0.0, 0.0, LARGE_BOX)
LAYOUTS = {
    Layout.ONE: (_CENTRE,),
    Layout.TWO: (Usual("side", 8.0, 1.25, 3.0, 7.0),),
    Layout.THREE: (Usual("front", 11.0, 1.125, 3.0, 6.0), Usual("centre", 3.5, None, 0.0, 0.0)),
    Layout.FOUR: (Usual("front", 11.5, 1.125, 3.0, 6.0), Usual("rear", 6.0, 1.75, 2.0, 4.0)),
    Layout.ONE_LARGE_TWO_SMALL: (_CENTRE, _SIDES),
    Layout.TWO_KEELS: (Usual("keel", 5.25, 1.0, 0.5, 3.0, KEEL_BOX),),
    Layout.FOIL_MOUNT: (Usual("mount", 7.0, None, 0.0, 0.0, MOUNT_BOX, 1.75),),
}
LAYOUT_WORDS = {str(layout): layout for layout in Layout} | {
    "keel": Layout.TWO_KEELS,
    "keels": Layout.TWO_KEELS,
}
"""Words of a sheet for a layout."""


def usual_fins(layout: Layout, outline: list[Mark]) -> tuple[FinMark, ...]:
    """Return the boxes of a layout on a board with these full widths (with the wide point, by station).

    The rail is taken on straight lines between the widths given, which lie inside an outline that bulges
    everywhere: a box comes out no nearer to its rail than the usual distance.
    """
    return boxes_at(LAYOUTS[layout], outline)


def boxes_at(wanted: Iterable[Usual], outline: list[Mark]) -> tuple[FinMark, ...]:
    """Return boxes on a board with these full widths; as `usual_fins`, for boxes of one's own."""
    return tuple(box for usual in wanted for box in _boxes(usual, outline))


def on_sides(box: FinMark, side: Side) -> tuple[FinMark, ...]:
    """Return a box as it lies on the side asked for; on both, one each, named for its side."""
    if box.y == 0:
        return (box,)
    if side is not Side.BOTH:
        return (replace(box, y=_SIGN[side] * box.y),)
    return tuple(replace(box, name=f"{box.name} {one}", y=sign * box.y) for one, sign in _SIGN.items())


_SIGN = {Side.LEFT: 1, Side.RIGHT: -1}


def _boxes(usual: Usual, outline: list[Mark]) -> tuple[FinMark, ...]:
    x, y = _metres(usual.from_tail), _metres(usual.from_stringer)
    if usual.from_rail is not None:
        y = _half_width(outline, x) - _metres(usual.from_rail)
    toe, cant = math.radians(usual.toe), math.radians(usual.cant)
    box = FinMark(usual.name, x, max(y, 0.0), toe, cant, *map(_metres, usual.box))
    return on_sides(box, Side.BOTH)


def _half_width(outline: list[Mark], x: float) -> float:
    return float(np.interp(x, [mark.x for mark in outline], [mark.value for mark in outline])) / 2


def _metres(inches: float) -> float:
    """The float that a sheet would give; `inches * INCH` may miss it by a rounding."""
    return parse_length(inches, Unit.INCH)
