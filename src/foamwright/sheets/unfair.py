"""Numbers that no fair curve can meet, told in the shaper's terms: which station, by how much, to what."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TypeVar

from foamwright.errors import Problem
from foamwright.findings import said
from foamwright.shape.fair import Move, UnfairError
from foamwright.units import INCH, Rounding, System, format_with_unit

WORTH_SAYING = INCH / 64
"""Moves smaller than this are not told: no tape would show them."""

WANTED = {
    "rocker": (
        "curve.unfair-rocker",
        "is {given}, but no fair rocker (one curve, touching the level line once, never hollow) "
        "passes through it.",
    ),
    "thickness": (
        "curve.unfair-foil",
        "is {given}, but no fair foil (one thickest point, no bumps) passes through it.",
    ),
    "outline": (
        "curve.unfair-outline",
        "is {given}, but no fair outline (one wide point, no bumps) passes through it.",
    ),
}

HIGHER = ("curve.higher", "The nearest fair curve needs it up by {change}, to {fair}.")
LOWER = ("curve.lower", "The nearest fair curve needs it down by {change}, to {fair}.")

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Unfair(Problem):
    """A number that no fair curve takes, and what the nearest fair curve has in its place.

    Attributes
    ----------
    table, place
        The number's key in the sheet.
    fair_m, amount_m
        What it would have to be, and by how much that is more; metres, as the sheet counts it (full widths).
    """

    table: str
    place: str
    fair_m: float
    amount_m: float


@dataclass(slots=True)
class Attempts:
    """Makes curve after curve and keeps what failed, so that a person reads every problem at once."""

    name: str
    system: System
    problems: list[Problem] = field(default_factory=list)

    def make(self, table: str, curve: Callable[[], T]) -> T | None:
        """Return the curve of a table of the sheet, or ``None`` when its numbers are not fair."""
        try:
            return curve()
        except UnfairError as unfair:
            self.problems.extend(self._told(table, unfair))
            return None

    def _told(self, table: str, unfair: UnfairError) -> list[Problem]:
        factor = 2.0 if table == "outline" else 1.0
        worth = [m for m in unfair.moves if abs(m.amount) * factor > WORTH_SAYING] or [unfair.moves[0]]
        return [self._problem(table, move, factor) for move in worth]

    def _problem(self, table: str, move: Move, factor: float) -> Problem:
        given = format_with_unit(factor * move.given, self.system, 32)
        # Rounded away from what was given, so that the number on the tape is fair too.
        rounding = Rounding.UP if move.amount > 0.0 else Rounding.DOWN
        fair = format_with_unit(factor * move.fair, self.system, 32, rounding)
        change = format_with_unit(factor * abs(move.amount), self.system, 32)
        return Unfair(
            f"{self.name}, [{table}] {move.name}",
            said(*WANTED[table], given=given),
            said(*(HIGHER if move.amount > 0.0 else LOWER), change=change, fair=fair),
            table,
            move.name,
            factor * move.fair,
            factor * move.amount,
        )
