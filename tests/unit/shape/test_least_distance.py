"""The shortest vector: proved by its optimality conditions, and by a solver that works another way."""

import clarabel
import numpy as np
import pytest
from scipy.sparse import csc_matrix, identity

from foamwright.shape.least_distance import shortest


def feasible(seed: int, rows: int = 60, size: int = 20) -> tuple[np.ndarray, np.ndarray]:
    dice = np.random.default_rng(seed)
    matrix = dice.normal(size=(rows, size)) * dice.uniform(0.1, 10.0, (rows, 1))
    inside = dice.normal(size=size)
    return matrix, matrix @ inside - dice.uniform(0.0, 2.0, rows) * np.linalg.norm(matrix, axis=1)


def second_opinion(matrix: np.ndarray, least: np.ndarray) -> np.ndarray:
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    settings.tol_gap_abs = settings.tol_gap_rel = settings.tol_feas = 1e-12
    size = matrix.shape[1]
    solver = clarabel.DefaultSolver(
        csc_matrix(identity(size)),
        np.zeros(size),
        csc_matrix(-matrix),
        -least,
        [clarabel.NonnegativeConeT(least.size)],
        settings,
    )
    return np.asarray(solver.solve().x)


@pytest.mark.parametrize("seed", range(30))
def test_optimality(seed: int) -> None:
    matrix, least = feasible(seed)
    found = shortest(matrix, least)
    assert found is not None
    slack = (matrix @ found - least) / np.linalg.norm(matrix, axis=1)
    assert np.min(slack) >= -1e-11
    # It is a non-negative sum of the active rows: no shorter one holds them (Karush, Kuhn, Tucker).
    active = np.abs(slack) < 1e-10
    if not np.any(active):
        np.testing.assert_array_equal(found, 0.0)
        return
    weights = np.linalg.lstsq(matrix[active].T, found, rcond=None)[0]
    np.testing.assert_allclose(matrix[active].T @ weights, found, rtol=0, atol=1e-10)
    assert np.min(weights) >= -1e-10


@pytest.mark.parametrize("seed", range(12))
def test_an_interior_point_solver_agrees(seed: int) -> None:
    matrix, least = feasible(seed)
    found = shortest(matrix, least)
    assert found is not None
    np.testing.assert_allclose(found, second_opinion(matrix, least), rtol=0, atol=2e-6)


@pytest.mark.parametrize("seed", range(12))
def test_contradictions_have_no_answer(seed: int) -> None:
    matrix, least = feasible(seed)
    row = matrix[0]
    both = np.vstack([matrix, -row])
    assert shortest(both, np.append(least, -(least[0] - 0.01 * np.linalg.norm(row)))) is None


def test_nothing_asked_costs_nothing() -> None:
    np.testing.assert_array_equal(shortest(np.eye(3), np.full(3, -1.0)), np.zeros(3))
    np.testing.assert_array_equal(shortest(np.zeros((0, 3)), np.zeros(0)), np.zeros(3))


def test_limit_gives_up_only_above_it() -> None:
    matrix, least = np.eye(2), np.array([3.0, 4.0])
    assert shortest(matrix, least, limit=24.9) is None
    np.testing.assert_allclose(shortest(matrix, least, limit=25.1), [3.0, 4.0], rtol=1e-14)
