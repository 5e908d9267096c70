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

from dataclasses import dataclass
from enum import IntEnum

import numpy as np
from scipy.interpolate import BSpline

from foamwright.shape.curves import FairCurve, Floats, dense, gauss_on


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


@dataclass(frozen=True, eq=False)
class Shape:
    """``sum_d factors[d](x) * f^(d)(x) >= 0`` at `x` (points); `factors` has one row per derivative 0..3.

    With `everywhere` set to a derivative and a sign the condition holds on the whole domain through the
    coefficients of that derivative, which is rigorous between the points too.
    """

    x: Floats | None = None
    factors: Floats | None = None
    everywhere: tuple[int, float] | None = None


def bends(sign: float) -> Shape:
    """Return the condition that the second derivative has one sign everywhere (+1: convex)."""
    return Shape(everywhere=(2, sign))


def slopes(x: Floats, sign: float) -> Shape:
    """Return the condition that the slope has one sign at the points `x`."""
    factors = np.zeros((4, x.size))
    factors[1] = sign
    return Shape(x=x, factors=factors)


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
        self.inequalities = np.vstack([self._rows_of(s) for s in shapes] or [np.zeros((0, self.size))])

    def _lay_knots(self, unit_breaks: Floats, pieces: int) -> None:
        counts = np.maximum(1, np.rint(np.diff(unit_breaks) * pieces).astype(int))
        spans = [
            np.linspace(a, b, n, endpoint=False)
            for a, b, n in zip(unit_breaks[:-1], unit_breaks[1:], counts, strict=True)
        ]
        self.unit_knots = np.append(np.concatenate(spans), 1.0)

    def _knot_vector(self, degree: int) -> Floats:
        return np.concatenate([np.zeros(degree), self.unit_knots, np.ones(degree)])

    def _build_maps(self) -> None:
        """Build `maps[d]`: unknowns to the coefficients of the d-th derivative, lowest d last."""
        low = self.degree - self.order
        count = self.unit_knots.size + low - 1
        self.size = count + self.order
        current = np.hstack([np.eye(count), np.zeros((count, self.order))])
        self.maps = {self.order: current}
        for step in range(1, self.order + 1):
            degree = low + step
            spline = BSpline(self._knot_vector(degree - 1), current, degree - 1).antiderivative()
            current = np.asarray(spline.c)[: self.unit_knots.size + degree - 1].copy()
            current[:, count + step - 1] += 1.0
            self.maps[self.order - step] = current
        # Derivatives above the batten's order, needed only for end conditions.
        top = BSpline(self._knot_vector(low), self.maps[self.order], low).derivative()
        self.maps[self.order + 1] = np.asarray(top.c)[: count - 1].copy()

    def rows(self, unit_x: Floats, derivative: int) -> Floats:
        """Return rows that turn the unknowns into ``f^(derivative)`` at unit positions."""
        degree = self.degree - derivative
        basis = BSpline.design_matrix(np.clip(unit_x, 0.0, 1.0), self._knot_vector(degree), degree)
        return np.asarray(basis @ self.maps[derivative])

    def _build_energy(self, pull: float) -> None:
        nodes, weights = gauss_on(self.unit_knots, self.degree)
        rows = self.rows(nodes, self.order)
        if pull:
            rows = rows + pull * self.span**2 * self.rows(nodes, self.order - 2)
        self.energy = rows.T @ (weights[:, None] * rows)

    def _rows_of(self, shape: Shape) -> Floats:
        if shape.everywhere is not None:
            derivative, sign = shape.everywhere
            return np.asarray(sign * self.maps[derivative])
        assert shape.x is not None
        assert shape.factors is not None
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

    def _equalities(self, conditions: tuple[Condition, ...]) -> tuple[Floats, Floats]:
        rows = [self.rows(np.array([(c.x - self.start) / self.span]), c.derivative)[0] for c in conditions]
        values = [c.value * self.span**c.derivative for c in conditions]
        return np.array(rows), np.array(values)

    def solve(self, conditions: tuple[Condition, ...]) -> tuple[FairCurve, float]:
        """Return the fairest curve that meets every condition, and its energy (heights in the caller's unit).

        Raises
        ------
        UnfairError
            No curve of the wanted shape meets them; holds the nearest curve that does have it.
        """
        unknowns = self._unknowns(conditions)
        if unknowns is None:
            raise self._unfair(conditions)
        return self._curve(unknowns), float(unknowns @ self.energy @ unknowns)

    def least_energy(self, conditions: tuple[Condition, ...]) -> float:
        """Return the energy of the fairest curve, infinite where there is none."""
        unknowns = self._unknowns(conditions)
        return np.inf if unknowns is None else float(unknowns @ self.energy @ unknowns)

    def _unknowns(self, conditions: tuple[Condition, ...]) -> Floats | None:
        rows, values = self._equalities(conditions)
        scale = float(np.max(np.abs(values))) or 1.0
        unknowns = _least(self.energy, rows, values / scale)
        if not self._holds(unknowns):
            solved = _program(self.energy, rows, values / scale, self.inequalities)
            if solved is None:
                return None
            unknowns = _meet(self.energy, rows, values / scale, solved)
        return unknowns * scale

    def _holds(self, unknowns: Floats) -> bool:
        if not self.inequalities.shape[0]:
            return True
        return bool(np.min(self.inequalities @ unknowns) >= 0.0)

    def _curve(self, unknowns: Floats) -> FairCurve:
        knots = self.start + self.span * self._knot_vector(self.degree)
        return FairCurve(BSpline(knots, self.maps[0] @ unknowns, self.degree, extrapolate=True))

    def _unfair(self, conditions: tuple[Condition, ...]) -> UnfairError:
        rows, values = self._equalities(conditions)
        scale = float(np.max(np.abs(values))) or 1.0
        unknowns = _nearest(self.energy, rows, values / scale, self.inequalities)
        missed = rows @ unknowns * scale - values
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
    kept += [b for b in breaks[1:-1] if b - kept[-1] > gap and breaks[-1] - b > gap]
    return np.array([*kept, breaks[-1]])


def _least(energy: Floats, rows: Floats, values: Floats) -> Floats:
    """Minimise the energy under equalities, by its KKT system."""
    return _meet(energy, rows, values, np.zeros(energy.shape[0]))


def _meet(energy: Floats, rows: Floats, values: Floats, guess: Floats) -> Floats:
    """Return the point nearest to `guess` in the energy's own measure that meets the equalities exactly."""
    size, count = energy.shape[0], rows.shape[0]
    system = np.zeros((size + count, size + count))
    system[:size, :size] = energy
    system[:size, size:] = rows.T
    system[size:, :size] = rows
    right = np.concatenate([energy @ guess, values])
    solution = np.linalg.lstsq(system, right, rcond=1e-14)[0][:size]
    # One step of refinement brings interpolation to rounding.
    return np.asarray(solution + np.linalg.lstsq(rows, values - rows @ solution, rcond=None)[0])


MARGIN = 1e-7
"""Share of the curve's height by which shape conditions are held, so that rounding cannot undo them."""


def _program(energy: Floats, rows: Floats, values: Floats, inequalities: Floats) -> Floats | None:
    """Minimise the energy under equalities and ``inequalities @ p >= margin``; None when infeasible."""
    for margin in (MARGIN, 0.0):
        solved = _clarabel(
            energy,
            np.zeros(energy.shape[0]),
            (rows, values),
            (inequalities, np.full(inequalities.shape[0], margin)),
        )
        if solved is not None:
            return solved
    return None


def _nearest(energy: Floats, rows: Floats, values: Floats, inequalities: Floats) -> Floats:
    """Return the curve of the right shape with the least sum of moves of the given numbers."""
    size, count = energy.shape[0], rows.shape[0]
    quadratic = np.zeros((size + 2 * count, size + 2 * count))
    quadratic[:size, :size] = energy * (1e-4 / np.trace(energy) * size)
    linear = np.concatenate([np.zeros(size), np.ones(2 * count)])
    equal = np.hstack([rows, np.eye(count), -np.eye(count)])
    shape = np.hstack([inequalities, np.zeros((inequalities.shape[0], 2 * count))])
    positive = np.hstack([np.zeros((2 * count, size)), np.eye(2 * count)])
    bounds = np.zeros(inequalities.shape[0] + 2 * count)
    solved = _clarabel(quadratic, linear, (equal, values), (np.vstack([shape, positive]), bounds), 1e-7)
    if solved is None:
        raise ArithmeticError("the nearest fair curve could not be found")
    return solved[:size]


def _clarabel(
    quadratic: Floats,
    linear: Floats,
    equal: tuple[Floats, Floats],
    atleast: tuple[Floats, Floats],
    tolerance: float = 1e-10,
) -> Floats | None:
    """Minimise ``p'Qp/2 + l'p`` with ``E p = e`` and ``G p >= g`` by the interior point solver Clarabel."""
    import clarabel
    from scipy.sparse import csc_matrix

    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = tolerance
    settings.max_iter = 200
    solver = clarabel.DefaultSolver(
        csc_matrix(np.triu(quadratic)),
        linear,
        csc_matrix(np.vstack([equal[0], -atleast[0]])),
        np.concatenate([equal[1], -atleast[1]]),
        [clarabel.ZeroConeT(equal[0].shape[0]), clarabel.NonnegativeConeT(atleast[0].shape[0])],
        settings,
    )
    answer = solver.solve()
    if answer.status not in (clarabel.SolverStatus.Solved, clarabel.SolverStatus.AlmostSolved):
        return None
    return np.asarray(answer.x)


def points_between(start: float, stop: float, count: int = 40) -> Floats:
    """Return `count` points strictly inside an interval, for shape conditions."""
    return dense(np.array([start, stop]), count + 1)[1:-1]
