"""Our splines against scipy's, to rounding."""

import numpy as np
import pytest
from scipy.interpolate import BSpline

from foamwright.shape.splines import Spline, basis, clamped, derived, design, integrated

DEGREES = (1, 2, 3, 5)


def uneven(seed: int = 0, pieces: int = 20) -> np.ndarray:
    inner = np.random.default_rng(seed).uniform(0.5, 1.5, pieces)
    return np.concatenate([[0.0], np.cumsum(inner)]) / np.sum(inner)


@pytest.mark.parametrize("degree", DEGREES)
def test_values_and_derivatives_are_scipys(degree: int) -> None:
    knots = clamped(uneven(), degree)
    coefficients = np.random.default_rng(1).normal(size=knots.size - degree - 1)
    x = np.linspace(0.0, 1.0, 501)
    ours, theirs = Spline(knots, coefficients, degree), BSpline(knots, coefficients, degree)
    for derivative in range(degree + 1):
        wanted = theirs(x, derivative)
        np.testing.assert_allclose(ours(x, derivative), wanted, rtol=0, atol=4e-15 * np.max(np.abs(wanted)))


@pytest.mark.parametrize("degree", [0, *DEGREES])
def test_design_is_scipys_and_sums_to_one(degree: int) -> None:
    knots = clamped(uneven(), degree)
    x = np.linspace(0.0, 1.0, 301)
    matrix = design(x, knots, degree)
    np.testing.assert_allclose(matrix, BSpline.design_matrix(x, knots, degree).toarray(), rtol=0, atol=1e-15)
    np.testing.assert_allclose(matrix.sum(axis=1), 1.0, rtol=0, atol=1e-15)


def test_the_last_knot_belongs_to_the_last_interval() -> None:
    knots = clamped(uneven(pieces=4), 3)
    first, values = basis(np.array([1.0]), knots, 3)
    assert first[0] + 3 == knots.size - 5
    np.testing.assert_array_equal(values, [[0.0, 0.0, 0.0, 1.0]])


@pytest.mark.parametrize("degree", DEGREES)
def test_integral_and_derivative_are_each_others_inverse(degree: int) -> None:
    knots = clamped(uneven(), degree)
    coefficients = np.random.default_rng(2).normal(size=(knots.size - degree - 1, 3))
    longer = clamped(uneven(), degree + 1)
    whole = integrated(coefficients, knots, degree)
    np.testing.assert_allclose(derived(whole, longer, degree + 1), coefficients, rtol=0, atol=1e-12)
    theirs = BSpline(knots, coefficients[:, 0], degree).antiderivative()(0.7)
    assert Spline(longer, whole[:, 0], degree + 1)(np.array(0.7)) == pytest.approx(theirs, abs=1e-14)
