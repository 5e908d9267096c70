"""A blank made solid: fair curves through the supplier's numbers, in the blank's own frame."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np
from numpy.typing import ArrayLike

from foamwright.blank.numbers import BlankNumbers, Section
from foamwright.errors import InputError, Problem, attempt
from foamwright.shape.curves import FairCurve, Floats
from foamwright.shape.fair import Batten, Condition, FairProblem
from foamwright.shape.trade_curves import Point, StretchedCurve, domed, outline, touching
from foamwright.sheets.unfair import Attempts
from foamwright.stations import Mark
from foamwright.units import System


@dataclass(frozen=True, eq=False)
class Blank:
    """A blank: bottom flat across, deck flat (square) or domed by a parabola (domed), SI.

    ``deck(x, y) = deck(x) - dome(x) * y^2``.
    """

    numbers: BlankNumbers
    rocker_curve: FairCurve
    thickness_curve: FairCurve | None
    side: StretchedCurve | None
    edge_share: FairCurve | None

    @property
    def id(self) -> str:
        """The supplier's name for it."""
        return self.numbers.id

    @property
    def length(self) -> float:
        """Tail to nose along the blank's level line."""
        return self.numbers.length

    def bottom(self, x: ArrayLike) -> Floats:
        """Return the bottom at `x` from the blank's tail above its level line."""
        return self.rocker_curve(x)

    def thickness(self, x: ArrayLike) -> Floats:
        """Return the thickness at the stringer at `x`."""
        if self.thickness_curve is None:
            return np.full(np.shape(x), self.numbers.thickness[0].value)
        return self.thickness_curve(x)

    def deck(self, x: ArrayLike) -> Floats:
        """Return the deck at the stringer at `x`."""
        return np.asarray(self.bottom(x) + self.thickness(x))

    def half_width(self, x: ArrayLike) -> Floats:
        """Return the half-width at `x`, 0 off the blank."""
        at = np.asarray(x, dtype=float)
        inside = (at >= 0.0) & (at <= self.length)
        if self.side is None:
            return np.where(inside, self.numbers.outline[0].value / 2.0, 0.0)
        return np.where(inside, self.side(at), 0.0)

    def dome(self, x: ArrayLike) -> Floats:
        """Return the deck's drop per square of the distance from the stringer at `x`, 1/m; 0 if square."""
        if self.edge_share is None:
            return np.zeros(np.shape(x))
        drop = self.thickness(x) * (1.0 - self.edge_share(x))
        return np.asarray(drop / np.maximum(self.half_width(np.clip(x, 0.0, self.length)), 0.02) ** 2)


def blank_of(numbers: BlankNumbers, system: System = System.INCH) -> Blank:
    """Return the blank with fair curves through its numbers.

    Parameters
    ----------
    numbers
        What the supplier says of it.
    system
        Units in which a failure is told.

    Raises
    ------
    InputError
        Numbers that no fair curve can meet, with the amount by which they miss it.
    """
    attempts = Attempts(f"blank {numbers.id}", system)
    rocker = attempts.make("rocker", lambda: _rocker(numbers))
    thickness = attempts.make("thickness", lambda: _thickness(numbers))
    side = attempts.make("outline", lambda: _outline(numbers))
    if rocker is None or attempts.problems:
        raise InputError(attempts.problems)
    return Blank(numbers, rocker, thickness, side, _edge_share(numbers))


def blanks_of(numbers: Sequence[BlankNumbers]) -> tuple[Blank, ...]:
    """Return blanks with fair curves through their numbers.

    Raises
    ------
    InputError
        With every problem of every blank.
    """
    problems: list[Problem] = []
    made = [attempt(problems, partial(blank_of, one)) for one in numbers]
    if problems:
        raise InputError(problems)
    return tuple(blank for blank in made if blank is not None)


def _points(marks: tuple[Mark, ...], factor: float = 1.0) -> tuple[Point, ...]:
    return tuple(Point(m.x, m.value * factor, m.place) for m in marks)


def _rocker(numbers: BlankNumbers) -> FairCurve:
    return _touching(_points(numbers.rocker))


@lru_cache(maxsize=512)
def _touching(points: tuple[Point, ...]) -> FairCurve:
    # A stock has each rocker in many thicknesses: the search for its lowest point is made once.
    return touching(points, None).curve


def _even(marks: tuple[Mark, ...]) -> bool:
    return len({m.value for m in marks}) == 1


def _thickness(numbers: BlankNumbers) -> FairCurve | None:
    marks = numbers.thickness
    if _even(marks):
        return None
    highest = max(marks, key=lambda m: m.value)
    if highest in (marks[0], marks[-1]):
        return _through(marks)
    return domed(_points(marks), highest.value, highest.x).curve


def _through(marks: tuple[Mark, ...]) -> FairCurve:
    """Return the fair curve through marks with no shape asked of it (a tapered blank, the dome's share)."""
    batten = Batten.VARIATION if len(marks) > 2 else Batten.BENDING
    problem = FairProblem(np.array([m.x for m in marks]), batten=batten)
    return problem.solve(tuple(Condition(m.x, m.value, 0, m.place) for m in marks))[0]


def _outline(numbers: BlankNumbers) -> StretchedCurve | None:
    marks = numbers.outline
    if numbers.wide is None and _even(marks):
        return None
    highest = max(marks, key=lambda m: m.value)
    wide = highest.value if numbers.wide is None else numbers.wide
    at = highest.x if numbers.wide is None else numbers.wide_at
    return outline(_points(marks, 0.5), wide / 2.0, at, (None, None))[0]


def _edge_share(numbers: BlankNumbers) -> FairCurve | None:
    if numbers.section is not Section.DOMED:
        return None
    return _through(numbers.dome)
