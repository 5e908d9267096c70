"""The shortest vector under linear inequalities, by an active set that ends at the exact vertex.

Source: Lawson and Hanson, Solving Least Squares Problems, 1974, chapter 23: problem LDP (algorithm
23.27) by non-negative least squares (algorithm 23.10). Ours alone is the early stop, by weak duality.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.splines import Floats

ZERO = 1e-12
"""Residuals and gradients below this are rounding; the problem is scaled to order 1 first."""

ENDLESS = 1e10
"""A squared length above this, in the scaled problem, is no answer but a proof that there is none."""

MOST_STEPS = 500


def shortest(matrix: Floats, least: Floats, limit: float = np.inf) -> Floats | None:
    """Return the shortest `q` with ``matrix q >= least``, or ``None`` when there is none.

    Parameters
    ----------
    matrix
        (I, N) inequalities, no row zero.
    least
        (I,) their right sides.
    limit
        Give up (``None``) as soon as the squared length is proved to be above this.

    Returns
    -------
    q
        (N,); the inequalities hold to about 1e-12 of the greatest of `least`, each row scaled to 1.
    """
    norms = np.linalg.norm(matrix, axis=1)
    right = least / norms
    scale = float(np.max(right, initial=0.0))
    if scale <= 0.0:
        return np.zeros(matrix.shape[1])
    dual = np.vstack([(matrix / norms[:, None]).T, right / scale])
    residual = _nonnegative(dual, min(limit / scale**2, ENDLESS))
    return None if residual is None else -residual[:-1] / residual[-1] * scale


def _nonnegative(dual: Floats, limit: float) -> Floats | None:
    """Return the residual ``dual u - (0,..,0,1)`` of its least squares solution with ``u >= 0``."""
    weights = np.zeros(dual.shape[1])
    free = np.zeros(dual.shape[1], dtype=bool)
    for _ in range(MOST_STEPS):
        residual = dual @ weights
        if _proved_longer(residual, limit):
            return None
        residual[-1] -= 1.0
        downhill = np.where(free, -np.inf, -(dual.T @ residual))
        steepest = int(np.argmax(downhill))
        if downhill[steepest] <= ZERO:
            return residual if -residual[-1] > ZERO else None
        free[steepest] = True
        _settle(dual, weights, free)
    return None


def _proved_longer(residual: Floats, limit: float) -> bool:
    """Weak duality: the squared length is at least ``(least'u)^2 / |matrix'u|^2`` for any ``u >= 0``."""
    return bool(residual[-1] ** 2 > limit * float(residual[:-1] @ residual[:-1]))


def _settle(dual: Floats, weights: Floats, free: NDArray[np.bool_]) -> None:
    """Move `weights` to the least squares solution of the free columns, freezing those that reach 0."""
    target = np.zeros(dual.shape[0])
    target[-1] = 1.0
    while np.any(free):
        wanted = np.zeros(weights.size)
        wanted[free] = np.linalg.lstsq(dual[:, free], target, rcond=None)[0]
        sinking = free & (wanted <= 0.0)
        if not np.any(sinking):
            weights[:] = wanted
            return
        share = np.min(weights[sinking] / (weights[sinking] - wanted[sinking]))
        weights += share * (wanted - weights)
        free &= weights > 1e-15
        weights[~free] = 0.0
