"""Outlines: half-widths with one widest point, in a stretched variable in which round tips are smooth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import FairCurve, Floats, dense
from foamwright.shape.domed import against, bend_signs, sign_runs, with_top
from foamwright.shape.fair import Condition, FairProblem, Shape, UnfairError, at_points, slopes
from foamwright.shape.searching import fairest_place, least_unfair
from foamwright.shape.touching import Point, is_at

SETTLE = 1e-3
"""A free widest point is settled to this share of the span."""

Ends = tuple[float | None, float | None]
"""For each end: ``None`` leaves it free."""


@dataclass(frozen=True, eq=False)
class StretchedCurve:
    """A half-width as a function of ``u`` in ``x = start + span (1 - cos u)/2``: round tips are smooth."""

    curve: FairCurve
    start: float
    span: float

    def angle(self, x: Floats) -> Floats:
        """Return the stretched variable of stations `x`."""
        share = np.clip((np.asarray(x, float) - self.start) / self.span, 0.0, 1.0)
        return np.asarray(2.0 * np.arcsin(np.sqrt(share)))

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


@dataclass(frozen=True, slots=True)
class _Widths:
    """Given half-widths, ends included, and the greatest one; places are turned into the stretched `u`."""

    points: tuple[Point, ...]
    top: float

    @property
    def start(self) -> float:
        return self.points[0].x

    @property
    def span(self) -> float:
        return self.points[-1].x - self.points[0].x

    def turned(self, x: float) -> float:
        return float(np.arccos(np.clip(1.0 - 2.0 * (x - self.start) / self.span, -1.0, 1.0)))

    def breaks(self) -> list[float]:
        return [self.turned(p.x) for p in self.points]

    def conditions(self, at: float, end_slopes: Ends) -> tuple[Condition, ...]:
        given = [p for p in self.points if not is_at(p, at, self.top)]
        conditions = [Condition(self.turned(p.x), p.value, 0, p.name) for p in given]
        conditions += [Condition(self.turned(at), self.top, 0, "wide"), Condition(self.turned(at), 0.0, 1)]
        for slope, u in zip(end_slopes, (0.0, np.pi), strict=True):
            if slope is not None:
                conditions.append(Condition(u, slope, 1))
            if slope == 0.0:
                conditions.append(Condition(u, 0.0, 3))
        return tuple(conditions)

    def shapes(self, at: float) -> tuple[Shape, ...]:
        x, y = with_top(self.points, self.top, at)
        signs = bend_signs(x, y)
        if all(s <= 0.0 for s in signs):
            return (_PLAIN,)
        middle = self.turned(at)
        runs = sign_runs(np.array([self.turned(float(v)) for v in x]), signs)
        return (
            slopes(_spots(0.0, middle), 1.0),
            slopes(_spots(middle, np.pi), -1.0),
            *(_plan_bend(_spots(start, stop), sign) for start, stop, sign in runs),
        )


SPOTS = 384
"""Places at which a condition is asked for over the whole outline."""

STRAIGHTEST = 1e-3
"""Least plan bend where a sign is asked of it, as a share of the bend of an ellipse at its widest.

It cannot be seen (a curve a thousand times straighter than an ellipse), and it keeps the sign between the
points.
"""


def _plan_bend(u: Floats, sign: float) -> Shape:
    """Return the condition that ``d2w/dx2 = (w'' sin u - w' cos u) / sin^3 u`` has a sign, but for scale."""
    return at_points(u, {2: sign * np.sin(u), 1: -sign * np.cos(u)}, STRAIGHTEST * np.sin(u) ** 3)


def _spots(start: float, stop: float) -> Floats:
    """Return the places of a condition between two angles: nine or so for each piece of the curve."""
    return dense(np.array([start, stop]), max(8, round(SPOTS * (stop - start) / np.pi)))


_PLAIN = _plan_bend(_spots(0.0, np.pi), -1.0)


def outline(
    points: tuple[Point, ...], top: float, at: float | None, ends: Ends
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
    widths = _Widths(points, top)
    first = _first_slopes(ends, points)
    place = _fairest_width(widths, first) if at is None else at
    curve = _solved(widths, place, first)
    forced = _forced_slopes(ends, points, curve)
    if forced != (None, None):
        curve = _solved(widths, place, forced)
    return StretchedCurve(curve, widths.start, widths.span), place


def _first_slopes(ends: Ends, points: tuple[Point, ...]) -> Ends:
    """Return the first guess of the end slopes: a point or a block is forced, a share is seen free first."""
    low = 0.0 if ends[0] == 0.0 or points[0].value > 0.0 else None
    high = 0.0 if ends[1] == 0.0 or points[-1].value > 0.0 else None
    return low, high


def _forced_slopes(ends: Ends, points: tuple[Point, ...], free: FairCurve) -> Ends:
    """Return the end slopes that shares of the free roundness ask for."""
    low, high = (
        None if share is None or point.value > 0.0 else share * float(free(np.array(u), 1))
        for share, point, u in zip(ends, (points[0], points[-1]), (0.0, np.pi), strict=True)
    )
    return low, high


def _fairest_width(widths: _Widths, end_slopes: Ends) -> float:
    points, start, span = widths.points, widths.start, widths.span
    highest = max(points, key=lambda p: p.value)
    if highest.value >= widths.top:
        return highest.x
    index = points.index(highest)
    low = max(points[max(index - 1, 0)].x + 0.02 * span, start + 0.25 * span)
    high = min(points[min(index + 1, len(points) - 1)].x - 0.02 * span, start + 0.75 * span)
    curves = FairProblem(np.array(widths.breaks()), pull=1.0)
    place = fairest_place(
        lambda at: curves.under(widths.shapes(at)).program(widths.conditions(at, end_slopes))[0],
        (low, high),
        SETTLE * span,
    )
    if place is None:
        raise least_unfair(lambda at: _solved(widths, at, end_slopes), (low, high))
    return place


def _solved(widths: _Widths, at: float, end_slopes: Ends) -> FairCurve:
    breaks = np.unique([*widths.breaks(), widths.turned(at)])
    problem = FairProblem(breaks, widths.shapes(at), pull=1.0)
    conditions = widths.conditions(at, end_slopes)
    try:
        return problem.solve(conditions)[0]
    except UnfairError as failure:
        raise against(problem.under((_PLAIN,)), conditions, failure) from failure
