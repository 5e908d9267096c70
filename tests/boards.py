"""Boards that many tests use, as numbers."""

from __future__ import annotations

from functools import cache

from foamwright.board.board import Board, board_of
from foamwright.board.contours.kinds import term_of
from foamwright.board.contours.terms import Stretch
from foamwright.board.numbers import BoardNumbers, DeckMark, Edge, RailMark, Tail, TailKind
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
    low_at=None,
    thickness=marks((0, 0.625), (12, 1.6875), (64, 1.5), (76, 0.5)),
    thickest=2.5 * INCH,
    thickest_at=40 * INCH,
    rails=(
        RailMark(0.0, 0.05, 0.0, "tail", Edge.HARD),
        RailMark(12 * INCH, 0.2, INCH / 4, "12 from tail", Edge.TUCKED),
        RailMark(38 * INCH, 0.4, 3 * INCH / 8, "centre"),
        RailMark(76 * INCH, 0.5, 3 * INCH / 8, "nose"),
    ),
    deck=(DeckMark(38 * INCH, 5 * INCH / 16, 2.25 * INCH, "centre"),),
    bottom=(
        term_of("concave", Stretch(58 * INCH, 38 * INCH, 12 * INCH, 1 * INCH), depth=3 * INCH / 16),
        term_of("vee", Stretch(12 * INCH, 2 * INCH, 0.0, 0.0), depth=INCH / 8),
    ),
)
"""The board of the design's example sheet."""


@cache
def groyne() -> Board:
    """Return the board made solid."""
    return board_of(GROYNE)
