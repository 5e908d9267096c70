"""Curves with one greatest height: rising to it, falling from it, hollow only where the points demand it."""

from __future__ import annotations

import numpy as np

from foamwright.shape.curves import FairCurve, Floats, dense
from foamwright.shape.fair import Condition, FairProblem, Shape, UnfairError, bends, bends_at, slopes
from foamwright.shape.searching import fairest_place, least_unfair
from foamwright.shape.touching import Point, Searched, is_at

SETTLE = 1e-3
"""A free top is settled to this share of the span."""


SPOTS = 320
"""Places at which a condition is asked for over the whole curve, eight or so for each piece."""

STRAIGHTEST = 1e-2
"""Least bend where a sign is asked of it, as a share of height over span squared (a parabola has 8).

It cannot be seen (a thousandth of a parabola's bulge), and it keeps the sign between the points.
"""


def domed(points: tuple[Point, ...], top: float, at: float | None) -> Searched:
    """Return the fairest curve through `points` with one maximum `top`, at `at` or where fairest.

    It is concave where the points allow; where they demand a hollow part near an end, it has one
    inflection there and no more.

    Raises
    ------
    UnfairError
        No such curve passes through the points.
    """
    place = _fairest_top(points, top) if at is None else at
    return Searched(_solved(points, top, place), place)


def _solved(points: tuple[Point, ...], top: float, at: float) -> FairCurve:
    breaks = np.unique([*(p.x for p in points), at])
    conditions = _conditions(points, top, at)
    problem = FairProblem(breaks, _shapes(points, top, at))
    try:
        return problem.solve(conditions)[0]
    except UnfairError as failure:
        raise against(problem.under((bends(-1.0),)), conditions, failure) from failure


def against(ideal: FairProblem, conditions: tuple[Condition, ...], failure: UnfairError) -> UnfairError:
    """Return the failure told against the plain shape, whose nearest curve is the one a person would draw."""
    try:
        ideal.solve(conditions)
    except UnfairError as plain:
        return plain
    return failure


def _conditions(points: tuple[Point, ...], top: float, at: float) -> tuple[Condition, ...]:
    given = tuple(Condition(p.x, p.value, 0, p.name) for p in points if not is_at(p, at, top))
    return (*given, Condition(at, top, 0, "thickest"), Condition(at, 0.0, 1))


def _fairest_top(points: tuple[Point, ...], top: float) -> float:
    """Return where the maximum comes out fairest: between the neighbours of the highest given points."""
    highest = max(range(len(points)), key=lambda i: points[i].value)
    if points[highest].value == top:
        return points[highest].x
    x = [p.x for p in points]
    span = x[-1] - x[0]
    low, high = x[max(highest - 1, 0)] + 0.05 * span, x[min(highest + 1, len(x) - 1)] - 0.05 * span
    curves = FairProblem(np.array(x))
    place = fairest_place(
        lambda at: curves.under(_shapes(points, top, at)).program(_conditions(points, top, at))[0],
        (low, high),
        SETTLE * span,
    )
    if place is None:
        raise least_unfair(lambda at: _solved(points, top, at), (low, high))
    return place


def _shapes(points: tuple[Point, ...], top: float, at: float) -> tuple[Shape, ...]:
    x, y = with_top(points, top, at)
    signs = bend_signs(x, y)
    if all(s <= 0.0 for s in signs):
        return (bends(-1.0),)
    runs = sign_runs(x, signs)
    span = float(x[-1] - x[0])
    margin = STRAIGHTEST / span**2

    def spots(start: float, stop: float) -> Floats:
        return dense(np.array([start, stop]), max(8, round(SPOTS * (stop - start) / span)))

    return (
        slopes(spots(float(x[0]), at), 1.0),
        slopes(spots(at, float(x[-1])), -1.0),
        *(bends_at(spots(start, stop), sign, margin) for start, stop, sign in runs),
    )


def with_top(points: tuple[Point, ...], top: float, at: float) -> tuple[Floats, Floats]:
    """Return places and heights of the points and the top together, in order."""
    others = [(p.x, p.value) for p in points if abs(p.x - at) > 1e-9]
    pairs = sorted([*others, (at, top)])
    return np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])


def bend_signs(x: Floats, y: Floats, level: float = 1e-9) -> list[float]:
    """Return the sign of the second difference at each interior point (0 where the chord is straight)."""
    rise = np.diff(y) / np.diff(x)
    bend = np.diff(rise)
    floor = level * float(np.max(np.abs(rise)) or 1.0)
    return [0.0 if abs(b) <= floor else float(np.sign(b)) for b in bend]


def sign_runs(x: Floats, signs: list[float]) -> list[tuple[float, float, float]]:
    """Return ``(start, stop, sign)`` where neighbouring points bend alike; mixed intervals are left free."""
    ends = [signs[0], *signs, signs[-1]]
    runs = []
    for i in range(len(x) - 1):
        left, right = ends[i], ends[i + 1]
        sign = left or right
        if left * right >= 0.0 and sign:
            runs.append((float(x[i]), float(x[i + 1]), sign))
    return runs
