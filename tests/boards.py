"""Boards that many tests use, as numbers."""

from __future__ import annotations

import math
from functools import cache

from foamwright.board.board import Board, board_of
from foamwright.board.numbers import BoardNumbers, BottomMark, BottomShape, RailMark, Tail, TailKind
from foamwright.stations import Mark
from foamwright.units import INCH


def marks(*pairs: tuple[float, float]) -> tuple[Mark, ...]:
    """Marks from inches."""
    return tuple(Mark(x * INCH, value * INCH, f"{x:g} from tail") for x, value in pairs)


GROYNE = BoardNumbers(
    name="Groyne",
    length=76 * INCH,
    outline=marks((0, 5.5), (12, 14.875), (64, 12.125), (76, 0)),
    wide=20.375 * INCH,
    wide_at=39 * INCH,
    tail=Tail(TailKind.SQUARE, 0.75 * INCH),
    rocker=marks((0, 2.125), (12, 0.85), (64, 1.9), (76, 4.75)),
    apex=None,
    thickness=marks((0, 0.625), (12, 1.6875), (64, 1.5), (76, 0.5)),
    thickest=2.5 * INCH,
    thickest_at=40 * INCH,
    rails=(
        RailMark(0.0, 0.0, math.inf, 2.2, "tail"),
        RailMark(12 * INCH, 0.15, 4.0, 2.2, "12 from tail"),
        RailMark(38 * INCH, 0.4, 2.3, 2.1, "centre"),
        RailMark(76 * INCH, 0.5, 2.0, 2.0, "nose"),
    ),
    bottom=(
        BottomMark(0.0, BottomShape.VEE, INCH / 8, "tail"),
        BottomMark(12 * INCH, BottomShape.CONCAVE, 3 * INCH / 16, "12 from tail"),
        BottomMark(38 * INCH, BottomShape.CONCAVE, INCH / 8, "centre"),
        BottomMark(76 * INCH, BottomShape.FLAT, 0.0, "nose"),
    ),
)
"""The board of the design's example sheet."""


@cache
def groyne() -> Board:
    """Return the board made solid."""
    return board_of(GROYNE)
