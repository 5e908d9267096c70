"""Two boards, or two blanks, side by side: planning's own figures, and what lies between them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import Enum

from foamwright.jobs.check import Checked, widths
from foamwright.lay.choice import Choice
from foamwright.units import INCH


class Kind(Enum):
    """What a figure is: decides how it is written."""

    LONG = "long"
    ALONG = "along"
    LENGTH = "length"
    DEPTH = "depth"
    LITRES = "litres"
    SQUARE_METRES = "square metres"
    MINUTES = "minutes"
    MONEY = "money"


@dataclass(frozen=True, slots=True)
class Row:
    """One figure of both sides, SI (litres, minutes and money as said); ``None``: that side has none.

    Attributes
    ----------
    name, kind
        Which figure, and how it is written.
    left, right
        The figure on either side.
    """

    name: str
    kind: Kind
    left: float | None
    right: float | None

    @property
    def difference(self) -> float | None:
        """The right one less the left one."""
        return None if self.left is None or self.right is None else self.right - self.left


@dataclass(frozen=True, eq=False)
class Side:
    """What stands on one side: a board in numbers, and its choice of a blank.

    Attributes
    ----------
    board
        ``None`` while the numbers cannot stand.
    choice
        ``None`` if there is none, or if the board does not lie in it.
    """

    board: Checked | None
    choice: Choice | None


Take = tuple[str, Kind, Callable[[Checked], float]]
Lies = tuple[str, Kind, Callable[[Choice], float]]

FOOT = 12 * INCH

BOARD: Sequence[Take] = (
    ("length", Kind.LONG, lambda one: one.length),
    ("width", Kind.LENGTH, lambda one: one.width),
    ("wide-at", Kind.ALONG, lambda one: one.board.outline.wide_at),
    ("width-nose", Kind.LENGTH, lambda one: widths(one.board)["12 in from nose"]),
    ("width-tail", Kind.LENGTH, lambda one: widths(one.board)["12 in from tail"]),
    ("thickness", Kind.LENGTH, lambda one: one.thickness),
    ("thickest-at", Kind.ALONG, lambda one: one.board.thickest_at),
    ("thickness-nose", Kind.LENGTH, lambda one: float(one.board.thickness(one.length - FOOT))),
    ("thickness-tail", Kind.LENGTH, lambda one: float(one.board.thickness(FOOT))),
    ("rocker-nose", Kind.LENGTH, lambda one: float(one.board.rocker(one.length))),
    ("rocker-tail", Kind.LENGTH, lambda one: float(one.board.rocker(0.0))),
    ("volume", Kind.LITRES, lambda one: 1e3 * one.volume),
    ("area", Kind.SQUARE_METRES, lambda one: one.area),
)
"""Figures of a board."""

LAY: Sequence[Lies] = (
    ("minutes", Kind.MINUTES, lambda one: one.work_min),
    ("litres-off", Kind.LITRES, lambda one: one.foam_off.planed),
    ("litres-sawn", Kind.LITRES, lambda one: one.foam_off.saw),
    ("slide", Kind.LENGTH, lambda one: one.placed.slide),
    ("beyond", Kind.LENGTH, lambda one: one.blank.length - one.board.length - one.placed.slide),
)
"""Figures of a board in a blank, whatever the money."""

COST: Sequence[Lies] = (
    ("price", Kind.MONEY, lambda one: one.numbers.price),
    ("cost", Kind.MONEY, lambda one: one.cost),
)
"""Figures in money: only those in one currency can be held against each other."""

TIPS: Sequence[Lies] = (
    ("bottom-tail", Kind.DEPTH, lambda one: float(one.bottom_off[0])),
    ("bottom-nose", Kind.DEPTH, lambda one: float(one.bottom_off[-1])),
    ("deck-tail", Kind.DEPTH, lambda one: float(one.deck_off[0])),
    ("deck-nose", Kind.DEPTH, lambda one: float(one.deck_off[-1])),
)
"""The marks at the tips: what comes off there."""


def board_rows(left: Side, right: Side) -> tuple[Row, ...]:
    """Return the figures of the two boards."""
    return tuple(Row(name, kind, _of(left.board, take), _of(right.board, take)) for name, kind, take in BOARD)


def lay_rows(left: Side, right: Side) -> tuple[Row, ...]:
    """Return the figures of the boards in their blanks."""
    return _choice_rows(LAY, left, right)


def cost_rows(left: Side, right: Side) -> tuple[Row, ...]:
    """Return the prices; each currency in rows of its own if there are two."""
    if len({side.choice.numbers.currency for side in (left, right) if side.choice}) < 2:
        return _choice_rows(COST, left, right)
    nothing = Side(None, None)
    return (*_choice_rows(COST, left, nothing), *_choice_rows(COST, nothing, right))


def tip_rows(left: Side, right: Side) -> tuple[Row, ...]:
    """Return the marks at the tips."""
    return _choice_rows(TIPS, left, right)


def _choice_rows(figures: Sequence[Lies], left: Side, right: Side) -> tuple[Row, ...]:
    return tuple(
        Row(name, kind, _in(left.choice, take), _in(right.choice, take)) for name, kind, take in figures
    )


def _of(board: Checked | None, take: Callable[[Checked], float]) -> float | None:
    return None if board is None else take(board)


def _in(choice: Choice | None, take: Callable[[Choice], float]) -> float | None:
    return None if choice is None else take(choice)
