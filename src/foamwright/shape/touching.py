"""Curves that hang from their ends and touch 0 once: convex everywhere."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import FairCurve
from foamwright.shape.fair import Condition, FairProblem, bends
from foamwright.shape.searching import fairest_place, least_unfair

SETTLE = 1e-4
"""A free touching point is settled to this share of the span."""


@dataclass(frozen=True, slots=True)
class Point:
    """A number at a place, with the name by which a person knows it."""

    x: float
    value: float
    name: str


def is_at(point: Point, x: float, value: float) -> bool:
    """Return whether a point says what is said already: this value at this place."""
    return abs(point.x - x) <= 1e-9 and abs(point.value - value) <= 1e-9


@dataclass(frozen=True, eq=False)
class Searched:
    """The fairest curve and where its free point (apex, top) came out."""

    curve: FairCurve
    at: float


def touching(points: tuple[Point, ...], at: float | None) -> Searched:
    """Return the fairest convex curve through `points` whose lowest point is 0, at `at` or where fairest.

    Raises
    ------
    UnfairError
        No convex curve through the points touches 0.
    """
    problem = FairProblem(np.unique([p.x for p in points]), (bends(1.0),))
    apex = _fairest_apex(problem, points) if at is None else at
    return Searched(problem.solve(_conditions(points, apex))[0], apex)


def _fairest_apex(problem: FairProblem, points: tuple[Point, ...]) -> float:
    low, high = _bracket_lowest(points)
    if high <= low:
        return low
    place = fairest_place(
        lambda x: problem.program(_conditions(points, x))[0], (low, high), SETTLE * problem.span
    )
    if place is None:
        raise least_unfair(lambda x: problem.solve(_conditions(points, x))[0], (low, high))
    return place


def _conditions(points: tuple[Point, ...], apex: float) -> tuple[Condition, ...]:
    given = tuple(Condition(p.x, p.value, 0, p.name) for p in points if not is_at(p, apex, 0.0))
    return (*given, Condition(apex, 0.0), Condition(apex, 0.0, 1))


def _bracket_lowest(points: tuple[Point, ...]) -> tuple[float, float]:
    """Return where the touching point may be: at a given zero, else between its lowest neighbours."""
    lowest = min(range(len(points)), key=lambda i: points[i].value)
    if points[lowest].value == 0.0:
        return points[lowest].x, points[lowest].x
    span = points[-1].x - points[0].x
    low = points[max(lowest - 1, 0)].x
    high = points[min(lowest + 1, len(points) - 1)].x
    return low + 0.02 * span, high - 0.02 * span
