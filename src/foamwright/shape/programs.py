"""Small dense quadratic programs: least energy under equalities, and under inequalities too.

The equalities are taken out first, and what is left is measured in the energy itself: the program is then
to find the shortest vector under inequalities, well conditioned whatever the knots, and solved exactly.
The nearest program with an answer, for telling a person what would have to move, is Clarabel's to solve
(interior point; Goulart and Chen, arXiv 2405.12762), as is the second opinion in the tests.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.least_distance import shortest
from foamwright.shape.splines import Floats

MARGIN = 1e-7
"""By this much inequalities are held above 0, in units of the values, so that rounding cannot undo them.

Where only a straight part will do (two stations at 0 height), they may be this much below it instead.
"""


CONTRADICTION = 1e-9
"""Equalities that the nearest unknowns miss by more contradict each other."""

TIE = 1e-6
"""Weight of the energy against the moves where the nearest values are sought: it only settles ties."""


@dataclass(frozen=True, eq=False)
class Inequalities:
    """``rows p >= margins`` if that can be, else ``>= 0``; `rows` (I, N), `margins` (I,), positive."""

    rows: Floats
    margins: Floats


@dataclass(frozen=True, eq=False)
class Program:
    """Minimise ``p' energy p`` with ``rows p = values`` and inequalities.

    Attributes
    ----------
    energy
        (N, N) symmetric, positive definite where ``rows p = 0``.
    rows, values
        (E, N) and (E,) equalities; values of order 1.
    inequalities
        On the unknowns, possibly none.
    """

    energy: Floats
    rows: Floats
    values: Floats
    inequalities: Inequalities

    @cached_property
    def relaxed(self) -> Floats:
        """The minimiser when the inequalities are forgotten."""
        return self._meeting(self._response @ self.values)

    def holds(self, unknowns: Floats) -> bool:
        """Return whether every inequality holds with its margin (those that nothing can change: at all)."""
        heights, settled = self.inequalities.rows @ unknowns, self._settled
        return bool(np.all(heights >= np.where(settled, -MARGIN, self.inequalities.margins)))

    def energy_of(self, unknowns: Floats) -> float:
        """Return ``p' energy p``."""
        return float(unknowns @ self.energy @ unknowns)

    def solved(self, limit: float = np.inf) -> Floats | None:
        """Return the minimiser that meets everything; ``None`` when nothing does, or only above `limit`.

        Under a finite limit the margins are not given up: whoever asks has a better answer already.
        """
        if np.max(np.abs(self.rows @ self.relaxed - self.values)) > CONTRADICTION:
            return None
        if self.holds(self.relaxed):
            return self.relaxed
        margins = self.inequalities.margins
        weaker = (np.minimum(margins, MARGIN), np.full(margins.size, -MARGIN))
        for least in (margins, *weaker) if limit == np.inf else (margins,):
            unknowns = self._shortest(least, limit)
            if unknowns is not None:
                return unknowns
        return None

    def nearest(self, movable: NDArray[np.bool_]) -> Floats:
        """Return the unknowns that hold every inequality and miss the `movable` values by the least sum.

        Raises
        ------
        ArithmeticError
            The values that may not move contradict the inequalities.
        """
        whitened, matrix = self._measured
        response = self._response[:, movable]
        stretch = max(self.energy_of(self.relaxed), 1e-12) ** 0.5
        rows = self.inequalities.rows @ response
        least = (
            np.where(self._settled, 0.0, self.inequalities.margins) - self.inequalities.rows @ self.relaxed
        )
        moved = _least_moves(rows, matrix * stretch, least)
        if moved is None:
            raise ArithmeticError("the nearest fair curve could not be found")
        moves, bent = moved
        return np.asarray(self.relaxed + response @ moves + whitened @ bent * stretch)

    @cached_property
    def _split(self) -> tuple[Floats, Floats]:
        """The inverse of the rows (N, E), and a basis of what they leave free (N, N - rank)."""
        left, sizes, right = np.linalg.svd(self.rows)
        rank = int(np.sum(sizes > 1e-12 * sizes[0]))
        return right[:rank].T @ (left[:, :rank] / sizes[:rank]).T, right[rank:].T

    def _meeting(self, unknowns: Floats) -> Floats:
        """Return the unknowns moved so that the equalities hold to rounding."""
        inverse, _ = self._split
        return np.asarray(unknowns + inverse @ (self.values - self.rows @ unknowns))

    @cached_property
    def _response(self) -> Floats:
        """How the relaxed minimiser moves with each of the values (N, E)."""
        inverse, free = self._split
        stiff = free.T @ self.energy
        return np.asarray(inverse - free @ np.linalg.solve(stiff @ free, stiff @ inverse))

    @cached_property
    def _settled(self) -> NDArray[np.bool_]:
        """Which inequalities the equalities have already settled: nothing that is left free changes them."""
        return np.asarray(np.linalg.norm(self._measured[1], axis=1) <= 1e-10)

    def _shortest(self, least: Floats, limit: float) -> Floats | None:
        """Return the relaxed minimiser plus the least added energy that lifts inequalities to `least`."""
        whitened, matrix = self._measured
        heights, settled = self.inequalities.rows @ self.relaxed, self._settled
        if np.any(heights[settled] < -MARGIN):
            return None
        above = limit - self.energy_of(self.relaxed)
        added = shortest(matrix[~settled], (least - heights)[~settled], above)
        return None if added is None else self._meeting(self.relaxed + whitened @ added)

    @cached_property
    def _measured(self) -> tuple[Floats, Floats]:
        """A basis of the free part, orthonormal in the energy, and the inequalities on it."""
        _, free = self._split
        lower = np.linalg.cholesky(free.T @ self.energy @ free)
        whitened = np.linalg.solve(lower, free.T).T
        return whitened, self.inequalities.rows @ whitened


def _least_moves(rows: Floats, bending: Floats, least: Floats) -> tuple[Floats, Floats] | None:
    """Minimise ``sum |m| + TIE |q|^2`` with ``rows m + bending q >= least``; return `m` and `q`."""
    count, size = rows.shape[1], bending.shape[1]
    linear = np.concatenate([np.ones(2 * count), np.zeros(size)])
    quadratic = np.diag(np.concatenate([np.zeros(2 * count), np.full(size, 2.0 * TIE)]))
    positive = np.hstack([np.eye(2 * count), np.zeros((2 * count, size))])
    above = np.vstack([np.hstack([rows, -rows, bending]), positive])
    right = np.concatenate([least, np.zeros(2 * count)])
    none = np.zeros((0, linear.size)), np.zeros(0)
    solved = clarabel_minimum(quadratic, linear, none, (above, right))
    return None if solved is None else (solved[:count] - solved[count : 2 * count], solved[2 * count :])


@dataclass(frozen=True, eq=False)
class _Columns:
    """A matrix by compressed columns, as Clarabel reads it; spares the import of ``scipy.sparse``."""

    shape: tuple[int, int]
    data: Floats
    indices: NDArray[np.int64]
    indptr: NDArray[np.int64]
    has_sorted_indices: bool = True
    has_canonical_format: bool = True

    @property
    def nnz(self) -> int:
        return self.data.size


def _columns(matrix: Floats) -> _Columns:
    columns, rows = np.nonzero(matrix.T)
    starts = np.concatenate([[0], np.cumsum(np.bincount(columns, minlength=matrix.shape[1]))])
    shape = (matrix.shape[0], matrix.shape[1])
    return _Columns(shape, matrix[rows, columns], rows.astype(np.int64), starts.astype(np.int64))


def clarabel_minimum(
    quadratic: Floats,
    linear: Floats,
    equal: tuple[Floats, Floats],
    above: tuple[Floats, Floats],
    tolerance: float = 1e-9,
) -> Floats | None:
    """Return the `p` that minimises ``p'Qp/2 + l'p`` with ``E p = e`` and ``G p >= g``."""
    import clarabel

    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = tolerance
    solver = clarabel.DefaultSolver(
        _columns(np.triu(quadratic)),
        linear,
        _columns(np.vstack([equal[0], -above[0]])),
        np.concatenate([equal[1], -above[1]]),
        [clarabel.ZeroConeT(len(equal[1])), clarabel.NonnegativeConeT(len(above[1]))],
        settings,
    )
    answer = solver.solve()
    if answer.status not in (clarabel.SolverStatus.Solved, clarabel.SolverStatus.AlmostSolved):
        return None
    return np.asarray(answer.x)
