"""The three kinds of long curve: hollow with a touching point, domed with one top, and outlines.

No word of the trade beyond that: callers give points and get the fairest curve of the kind, or an
`UnfairError` with the nearest one.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import FairCurve, Floats, dense
from foamwright.shape.fair import Condition, FairProblem, Shape, UnfairError, bends, slopes

SETTLE = 1e-4
"""Where a free station is searched it is settled to this share of the span."""


@dataclass(frozen=True, slots=True)
class Point:
    """A number at a place, with the name by which a person knows it."""

    x: float
    value: float
    name: str


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
    low, high = _bracket_lowest(points) if at is None else (at, at)
    breaks = np.unique([p.x for p in points])
    problem = FairProblem(breaks, (bends(1.0),))

    def conditions(apex: float) -> tuple[Condition, ...]:
        given = tuple(Condition(p.x, p.value, 0, p.name) for p in points if abs(p.x - apex) > 1e-9)
        return (*given, Condition(apex, 0.0), Condition(apex, 0.0, 1))

    return _fairest_place(problem, conditions, (low, high))


def _bracket_lowest(points: tuple[Point, ...]) -> tuple[float, float]:
    """Return where the touching point may be: at a given zero, else between its lowest neighbours."""
    lowest = min(range(len(points)), key=lambda i: points[i].value)
    if points[lowest].value == 0.0:
        return points[lowest].x, points[lowest].x
    span = points[-1].x - points[0].x
    low = points[max(lowest - 1, 0)].x
    high = points[min(lowest + 1, len(points) - 1)].x
    return low + 0.02 * span, high - 0.02 * span


def _fairest_place(
    problem: FairProblem, conditions: Callable[[float], tuple[Condition, ...]], bracket: tuple[float, float]
) -> Searched:
    """Return the solution at the place of least energy within `bracket` (one place: no search)."""
    low, high = bracket
    if high <= low:
        return Searched(problem.solve(conditions(low))[0], low)
    trials = np.linspace(low, high, 13)
    energies = [problem.least_energy(conditions(float(t))) for t in trials]
    best = int(np.argmin(energies))
    if not np.isfinite(energies[best]):
        return Searched(_least_unfair(problem, conditions, trials), low)
    settle = SETTLE * (problem.span)
    place = _golden(
        lambda x: problem.least_energy(conditions(x)),
        (float(trials[max(best - 1, 0)]), float(trials[min(best + 1, 12)])),
        settle,
    )
    place = float(np.rint(place / settle) * settle)
    if problem.least_energy(conditions(place)) > energies[best]:
        place = float(trials[best])
    return Searched(problem.solve(conditions(place))[0], place)


def _least_unfair(
    problem: FairProblem, conditions: Callable[[float], tuple[Condition, ...]], trials: Floats
) -> FairCurve:
    """Raise the failure whose given numbers would have to move least in all."""
    failures: list[UnfairError] = []
    for trial in trials:
        try:
            return problem.solve(conditions(float(trial)))[0]
        except UnfairError as failure:
            failures.append(failure)
    raise min(failures, key=lambda f: sum(abs(m.amount) for m in f.moves))


def _golden(function: Callable[[float], float], bracket: tuple[float, float], tolerance: float) -> float:
    """Return the minimiser of a function with one valley, by golden section (deterministic)."""
    ratio = (np.sqrt(5.0) - 1.0) / 2.0
    low, high = bracket
    a, b = high - ratio * (high - low), low + ratio * (high - low)
    fa, fb = function(a), function(b)
    while high - low > tolerance:
        if fa <= fb:
            high, b, fb = b, a, fa
            a = high - ratio * (high - low)
            fa = function(a)
        else:
            low, a, fa = a, b, fb
            b = low + ratio * (high - low)
            fb = function(b)
    return float((low + high) / 2.0)


def domed(points: tuple[Point, ...], top: float, at: float | None) -> Searched:
    """Return the fairest curve through `points` with one maximum `top`, at `at` or where fairest.

    It is concave where the points allow; where they demand a hollow part near an end, it has one
    inflection there and no more.

    Raises
    ------
    UnfairError
        No such curve passes through the points.
    """
    if at is None:
        at = _fairest_top(points, top)
    conditions = _top_conditions(points, top, at)
    try:
        return Searched(_domed_at(points, top, at).solve(conditions)[0], at)
    except UnfairError as failure:
        breaks = np.unique([*[p.x for p in points], at])
        raise _against(FairProblem(breaks, (bends(-1.0),)), conditions, failure) from failure


def _against(ideal: FairProblem, conditions: tuple[Condition, ...], failure: UnfairError) -> UnfairError:
    """Return the failure told against the plain shape, whose nearest curve is the one a person would draw."""
    try:
        ideal.solve(conditions)
    except UnfairError as plain:
        return plain
    return failure


def _top_conditions(points: tuple[Point, ...], top: float, at: float) -> tuple[Condition, ...]:
    given = tuple(Condition(p.x, p.value, 0, p.name) for p in points if abs(p.x - at) > 1e-9)
    return (*given, Condition(at, top, 0, "thickest"), Condition(at, 0.0, 1))


def _domed_at(points: tuple[Point, ...], top: float, at: float) -> FairProblem:
    breaks = np.unique([*[p.x for p in points], at])
    return FairProblem(breaks, _dome_shapes(points, top, at))


def _dome_shapes(points: tuple[Point, ...], top: float, at: float) -> tuple[Shape, ...]:
    x, y = _with_top(points, top, at)
    signs = bend_signs(x, y)
    if all(s <= 0.0 for s in signs):
        return (bends(-1.0),)
    shapes = [slopes(np.linspace(x[0], at, 80), 1.0), slopes(np.linspace(at, x[-1], 80), -1.0)]
    for start, stop, sign in sign_runs(x, signs):
        shapes.append(_bend_at(np.linspace(start, stop, 40), sign))
    return tuple(shapes)


def _bend_at(x: Floats, sign: float) -> Shape:
    factors = np.zeros((4, x.size))
    factors[2] = sign
    return Shape(x=x, factors=factors)


def _with_top(points: tuple[Point, ...], top: float, at: float) -> tuple[Floats, Floats]:
    others = [(p.x, p.value) for p in points if abs(p.x - at) > 1e-9]
    pairs = sorted([*others, (at, top)])
    return np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])


def _fairest_top(points: tuple[Point, ...], top: float) -> float:
    """Return where the maximum comes out fairest: between the neighbours of the highest given points."""
    highest = max(range(len(points)), key=lambda i: points[i].value)
    if points[highest].value == top:
        return points[highest].x
    x = [p.x for p in points]
    span = x[-1] - x[0]
    low, high = x[max(highest - 1, 0)] + 0.05 * span, x[min(highest + 1, len(x) - 1)] - 0.05 * span

    def energy(at: float) -> float:
        return _domed_at(points, top, at).least_energy(_top_conditions(points, top, at))

    trials = np.linspace(low, high, 13)
    energies = [energy(float(t)) for t in trials]
    best = int(np.argmin(energies))
    if not np.isfinite(energies[best]):
        return float(trials[6])
    settle = 1e-3 * span
    place = _golden(energy, (float(trials[max(best - 1, 0)]), float(trials[min(best + 1, 12)])), settle)
    place = float(np.rint(place / settle) * settle)
    return place if energy(place) <= energies[best] else float(trials[best])


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
        if left * right >= 0.0:
            sign = left or right
            if sign:
                runs.append((float(x[i]), float(x[i + 1]), sign))
    return runs


@dataclass(frozen=True, eq=False)
class StretchedCurve:
    """A half-width as a function of ``u`` in ``x = start + span (1 - cos u)/2``: round tips are smooth."""

    curve: FairCurve
    start: float
    span: float

    def angle(self, x: Floats) -> Floats:
        """Return the stretched variable of stations `x`."""
        return np.asarray(
            2.0 * np.arcsin(np.sqrt(np.clip((np.asarray(x, float) - self.start) / self.span, 0.0, 1.0)))
        )

    def __call__(self, x: Floats) -> Floats:
        """Return the half-width at `x`, never below 0."""
        return np.maximum(self.curve(self.angle(x)), 0.0)

    def slope(self, x: Floats) -> Floats:
        """Return dw/dx at `x` (large, not infinite, at round tips)."""
        u = self.angle(x)
        return np.asarray(self.curve(u, 1) / np.maximum(self.span / 2.0 * np.sin(u), 1e-9))

    def bend(self, x: Floats) -> Floats:
        """Return d2w/dx2 at `x` (not at the tips themselves)."""
        u = self.angle(x)
        stretch = np.maximum(self.span / 2.0 * np.sin(u), 1e-9)
        return np.asarray(
            (self.curve(u, 2) * np.sin(u) - self.curve(u, 1) * np.cos(u)) * (self.span / 2.0) / stretch**3
        )


def outline(
    points: tuple[Point, ...], top: float, at: float | None, ends: tuple[float | None, float | None]
) -> tuple[StretchedCurve, float]:
    """Return the fairest half-width through `points` (ends included), and its widest station.

    Parameters
    ----------
    points
        Half-widths; first and last are the ends of the span.
    top, at
        Greatest half-width and its station, or ``None`` for where it comes out fairest.
    ends
        For each end: ``None`` lets the tip be as round as is fairest; a share 0..1 of that roundness
        forces it (0 is a point, or a square block where the end has width).

    Raises
    ------
    UnfairError
        No outline with one widest point and no unwanted hollow passes through the points.
    """
    start, span = points[0].x, points[-1].x - points[0].x
    if at is None:
        at = _fairest_width(points, top, ends)
    free = _outline_solve(points, top, at, _round_ends(ends, points))
    forced = tuple(
        None if share is None or point.value > 0.0 else share * float(free(np.array(u), 1))
        for share, point, u in zip(ends, (points[0], points[-1]), (0.0, np.pi), strict=True)
    )
    if any(slope is not None for slope in forced):
        free = _outline_solve(points, top, at, (forced[0], forced[1]))
    return StretchedCurve(free, start, span), at


def _round_ends(
    ends: tuple[float | None, float | None], points: tuple[Point, ...]
) -> tuple[float | None, float | None]:
    """Return the first guess of the end slopes: a point or a block is forced, a share is seen free first."""
    low = 0.0 if ends[0] == 0.0 or points[0].value > 0.0 else None
    high = 0.0 if ends[1] == 0.0 or points[-1].value > 0.0 else None
    return low, high


def _fairest_width(points: tuple[Point, ...], top: float, ends: tuple[float | None, float | None]) -> float:
    start, span = points[0].x, points[-1].x - points[0].x

    def energy(at: float) -> float:
        problem, conditions = _outline_problem(points, top, at, _round_ends(ends, points))
        return problem.least_energy(conditions)

    highest = max(points, key=lambda p: p.value)
    if highest.value >= top:
        return highest.x
    index = points.index(highest)
    low = max(points[max(index - 1, 0)].x, start + 0.25 * span)
    high = min(points[min(index + 1, len(points) - 1)].x, start + 0.75 * span)
    trials = np.linspace(low, high, 13)
    energies = [energy(float(t)) for t in trials]
    best = int(np.argmin(energies))
    if not np.isfinite(energies[best]):
        return start + span / 2.0
    place = _golden(energy, (float(trials[max(best - 1, 0)]), float(trials[min(best + 1, 12)])), 1e-3 * span)
    place = float(np.rint(place / (1e-3 * span)) * 1e-3 * span)
    return place if energy(place) <= energies[best] else float(trials[best])


def _outline_solve(
    points: tuple[Point, ...], top: float, at: float, slopes_at_ends: tuple[float | None, float | None]
) -> FairCurve:
    problem, conditions = _outline_problem(points, top, at, slopes_at_ends)
    try:
        return problem.solve(conditions)[0]
    except UnfairError as failure:
        bent = _plan_bend(dense(np.array([0.0, np.pi]), 96), -1.0)
        ideal = FairProblem(problem.start + problem.span * problem.unit_knots, (bent,), pull=1.0)
        raise _against(ideal, conditions, failure) from failure


def _outline_problem(
    points: tuple[Point, ...], top: float, at: float, slopes_at_ends: tuple[float | None, float | None]
) -> tuple[FairProblem, tuple[Condition, ...]]:
    start, span = points[0].x, points[-1].x - points[0].x

    def turned(x: float) -> float:
        return float(np.arccos(np.clip(1.0 - 2.0 * (x - start) / span, -1.0, 1.0)))

    given = [p for p in points if abs(p.x - at) > 1e-9]
    conditions = [Condition(turned(p.x), p.value, 0, p.name) for p in given]
    conditions += [Condition(turned(at), top, 0, "wide"), Condition(turned(at), 0.0, 1)]
    for slope, u in zip(slopes_at_ends, (0.0, np.pi), strict=True):
        if slope is not None:
            conditions.append(Condition(u, slope, 1))
            if slope == 0.0:
                conditions.append(Condition(u, 0.0, 3))
    breaks = np.unique([turned(p.x) for p in points] + [turned(at)])
    return FairProblem(breaks, _outline_shapes(points, top, at, turned), pull=1.0), tuple(conditions)


def _outline_shapes(
    points: tuple[Point, ...], top: float, at: float, turned: Callable[[float], float]
) -> tuple[Shape, ...]:
    x, y = _with_top(points, top, at)
    u = np.array([turned(v) for v in x])
    signs = bend_signs(x, y)
    middle = turned(at)
    if all(s <= 0.0 for s in signs):
        return (_plan_bend(dense(np.array([0.0, np.pi]), 96), -1.0),)
    shapes = [
        slopes(dense(np.array([0.0, middle]), 40), 1.0),
        slopes(dense(np.array([middle, np.pi]), 40), -1.0),
    ]
    for start, stop, sign in sign_runs(u, signs):
        shapes.append(_plan_bend(np.linspace(start, stop, 40), sign))
    return tuple(shapes)


def _plan_bend(u: Floats, sign: float) -> Shape:
    """Return the condition that ``d2w/dx2`` has a sign: ``w'' sin u - w' cos u`` in u."""
    factors = np.zeros((4, u.size))
    factors[2] = sign * np.sin(u)
    factors[1] = -sign * np.cos(u)
    return Shape(x=u, factors=factors)
