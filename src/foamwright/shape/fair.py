"""The fairest curve through given numbers: a small convex program over splines.

A batten of order ``r`` minimises the integral of the squared ``r``-th derivative under exact
interpolation. Order 2 is the thin bent batten (its solution is the natural cubic spline); order 3,
minimum variation of the bending, is what the trade calls fair and is the default. The spline has
degree ``2r-1`` with knots at the given stations and between them, so the unconstrained minimiser lies
in the space exactly (natural spline; Schoenberg 1964) and shape conditions cost only refinement.

The unknowns are the coefficients of the ``r``-th derivative and the ``r`` constants of integration:
the objective is then a well conditioned Gram matrix however fine the knots.
"""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from foamwright.shape.curves import FairCurve, Floats, dense, gauss_on
from foamwright.shape.programs import MARGIN, Inequalities, Program
from foamwright.shape.splines import Spline, clamped, derived, design, integrated


class Batten(IntEnum):
    """Which derivative the batten resists."""

    BENDING = 2
    VARIATION = 3


@dataclass(frozen=True, slots=True)
class Condition:
    """``f^(derivative)(x) = value``; `name` says whose number it is."""

    x: float
    value: float
    derivative: int = 0
    name: str = ""


@dataclass(frozen=True, slots=True)
class Everywhere:
    """``sign * f^(derivative) >= 0`` on the whole domain, between any points too (by its coefficients)."""

    derivative: int
    sign: float


@dataclass(frozen=True, eq=False)
class AtPoints:
    """``sum_d factors[d](x) * f^(d)(x) >= margin`` at points `x`; `factors` has one row per derivative 0..3.

    The margin (for a curve of height 1) is what keeps the condition between the points as well.
    """

    x: Floats
    factors: Floats
    margin: Floats


Shape = Everywhere | AtPoints


def bends(sign: float) -> Shape:
    """Return the condition that the second derivative has one sign everywhere (+1: convex)."""
    return Everywhere(2, sign)


def at_points(x: Floats, factors: dict[int, Floats | float], margin: Floats | float = MARGIN) -> Shape:
    """Return a condition at points; `factors` by the derivative (0 to 3) that they multiply."""
    rows = np.zeros((4, x.size))
    for derivative, factor in factors.items():
        rows[derivative] = factor
    return AtPoints(x, rows, np.full(x.size, margin))


def slopes(x: Floats, sign: float) -> Shape:
    """Return the condition that the slope has one sign at the points `x`."""
    return at_points(x, {1: sign})


def bends_at(x: Floats, sign: float, margin: float) -> Shape:
    """Return the condition that the second derivative has one sign at the points `x`."""
    return at_points(x, {2: sign}, margin)


@dataclass(frozen=True, slots=True)
class Move:
    """How far a given number lies from the nearest fair curve: ``fair - given``, in its own unit."""

    name: str
    x: float
    given: float
    fair: float

    @property
    def amount(self) -> float:
        """The change that the number would need."""
        return self.fair - self.given


class UnfairError(ValueError):
    """No curve of the wanted shape passes through the numbers; carries the nearest one that is fair."""

    def __init__(self, nearest: FairCurve, moves: tuple[Move, ...]) -> None:
        self.nearest = nearest
        self.moves = moves
        worst = moves[0]
        super().__init__(f"{worst.name} would have to move by {worst.amount:+.6g}")


class FairProblem:
    """Curves on one set of knots, ready to be solved for many conditions.

    Parameters
    ----------
    breaks
        (M,) increasing: both ends and every given station.
    shapes
        Inequalities that every curve must meet.
    pull
        The energy is ``integral (f^(r) + pull * f^(r-2))^2``; 0 for a batten, 1 over ``[0, pi]`` for an
        outline in its stretched variable, where circles and ellipses then bend for nothing.
    pieces
        Knot intervals over the whole domain, about.
    """

    def __init__(
        self,
        breaks: Floats,
        shapes: tuple[Shape, ...] = (),
        *,
        batten: Batten = Batten.VARIATION,
        pull: float = 0.0,
        pieces: int = 40,
    ) -> None:
        breaks = _apart(np.asarray(breaks, dtype=float))
        self.start, self.span = float(breaks[0]), float(breaks[-1] - breaks[0])
        self.order = int(batten)
        self.degree = 2 * self.order - 1
        self._lay_knots((breaks - self.start) / self.span, pieces)
        self._build_maps()
        self._build_energy(pull)
        self._known: dict[Shape, Inequalities] = {}
        self.inequalities = self._all_of(shapes)

    def under(self, shapes: tuple[Shape, ...]) -> FairProblem:
        """Return the same curves under other inequalities."""
        other = copy(self)
        other.inequalities = self._all_of(shapes)
        return other

    def _lay_knots(self, unit_breaks: Floats, pieces: int) -> None:
        counts = np.maximum(1, np.rint(np.diff(unit_breaks) * pieces).astype(int))
        spans = [
            np.linspace(a, b, n, endpoint=False)
            for a, b, n in zip(unit_breaks[:-1], unit_breaks[1:], counts, strict=True)
        ]
        self.unit_knots = np.append(np.concatenate(spans), 1.0)

    def _knot_vector(self, degree: int) -> Floats:
        return clamped(self.unit_knots, degree)

    def _build_maps(self) -> None:
        """Build `maps[d]`: unknowns to the coefficients of the d-th derivative."""
        low = self.degree - self.order
        count = self.unit_knots.size + low - 1
        self.size = count + self.order
        current = np.hstack([np.eye(count), np.zeros((count, self.order))])
        self.maps = {self.order: current}
        for step in range(1, self.order + 1):
            degree = low + step
            current = integrated(current, self._knot_vector(degree - 1), degree - 1)
            current[:, count + step - 1] += 1.0
            self.maps[self.order - step] = current
        # Derivatives above the batten's order, needed only for end conditions.
        self.maps[self.order + 1] = derived(self.maps[self.order], self._knot_vector(low), low)

    def rows(self, unit_x: Floats, derivative: int) -> Floats:
        """Return rows that turn the unknowns into ``f^(derivative)`` at unit positions."""
        degree = self.degree - derivative
        basis = design(np.clip(unit_x, 0.0, 1.0), self._knot_vector(degree), degree)
        return np.asarray(basis @ self.maps[derivative])

    def _build_energy(self, pull: float) -> None:
        nodes, weights = gauss_on(self.unit_knots, self.degree)
        rows = self.rows(nodes, self.order)
        if pull:
            rows = rows + pull * self.span**2 * self.rows(nodes, self.order - 2)
        self.energy = rows.T @ (weights[:, None] * rows)

    def _all_of(self, shapes: tuple[Shape, ...]) -> Inequalities:
        for shape in shapes:
            if shape not in self._known:
                self._known[shape] = self._inequalities_of(shape)
        parts = [Inequalities(np.zeros((0, self.size)), np.zeros(0)), *(self._known[s] for s in shapes)]
        return Inequalities(np.vstack([p.rows for p in parts]), np.concatenate([p.margins for p in parts]))

    def _inequalities_of(self, shape: Shape) -> Inequalities:
        if isinstance(shape, Everywhere):
            rows = np.asarray(shape.sign * self.maps[shape.derivative])
            return Inequalities(rows, np.full(len(rows), MARGIN))
        return Inequalities(self._rows_at(shape), shape.margin)

    def _rows_at(self, shape: AtPoints) -> Floats:
        unit = (shape.x - self.start) / self.span
        # Factors are written for derivatives in the caller's x; unit derivatives are span^d larger.
        total: Floats = np.sum(
            [
                (factor / self.span**d)[:, None] * self.rows(unit, d)
                for d, factor in enumerate(shape.factors)
                if np.any(factor)
            ],
            axis=0,
        )
        return total

    def solve(self, conditions: tuple[Condition, ...]) -> tuple[FairCurve, float]:
        """Return the fairest curve that meets every condition, and its energy (heights in the caller's unit).

        Raises
        ------
        UnfairError
            No curve of the wanted shape meets them; holds the nearest curve that does have it.
        """
        program, scale = self.program(conditions)
        unknowns = program.solved()
        if unknowns is None:
            raise self._unfair(conditions)
        return self._curve(unknowns * scale), program.energy_of(unknowns) * scale**2

    def least_energy(self, conditions: tuple[Condition, ...], limit: float = np.inf) -> float:
        """Return the energy of the fairest curve; infinite where there is none, or only above `limit`."""
        program, scale = self.program(conditions)
        unknowns = program.solved(limit / scale**2)
        return np.inf if unknowns is None else program.energy_of(unknowns) * scale**2

    def energy_below(self, conditions: tuple[Condition, ...]) -> float:
        """Return a lower bound of the least energy, quickly: the energy of the batten left to itself."""
        program, scale = self.program(conditions)
        return program.energy_of(program.relaxed) * scale**2

    def program(self, conditions: tuple[Condition, ...]) -> tuple[Program, float]:
        """Return the program for values of order 1, and the height by which they were divided."""
        unit = (np.array([c.x for c in conditions]) - self.start) / self.span
        orders = np.array([c.derivative for c in conditions])
        rows = np.zeros((unit.size, self.size))
        for order in set(orders.tolist()):
            rows[orders == order] = self.rows(unit[orders == order], order)
        values = np.array([c.value for c in conditions]) * self.span**orders
        scale = float(np.max(np.abs(values))) or 1.0
        return Program(self.energy, rows, values / scale, self.inequalities), scale

    def _curve(self, unknowns: Floats) -> FairCurve:
        knots = self.start + self.span * self._knot_vector(self.degree)
        return FairCurve(Spline(knots, self.maps[0] @ unknowns, self.degree))

    def _unfair(self, conditions: tuple[Condition, ...]) -> UnfairError:
        program, scale = self.program(conditions)
        unknowns = program.nearest(np.array([bool(c.name) for c in conditions]))
        missed = (program.rows @ unknowns - program.values) * scale
        moves = [
            Move(c.name, c.x, c.value, c.value + float(m) / self.span**c.derivative)
            for c, m in zip(conditions, missed, strict=True)
            if c.name
        ]
        moves.sort(key=lambda move: -abs(move.amount))
        return UnfairError(self._curve(unknowns * scale), tuple(moves))


def _apart(breaks: Floats) -> Floats:
    """Return breaks without those nearer than a thousandth of the span to the one before (ends kept)."""
    gap = 1e-3 * (breaks[-1] - breaks[0])
    kept = [breaks[0]]
    for place in breaks[1:-1]:
        if place - kept[-1] > gap and breaks[-1] - place > gap:
            kept.append(place)
    return np.array([*kept, breaks[-1]])


def points_between(start: float, stop: float, count: int = 40) -> Floats:
    """Return `count` points strictly inside an interval, for shape conditions."""
    return dense(np.array([start, stop]), count + 1)[1:-1]
