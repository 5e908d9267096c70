"""Curves: continuation, curvature, inflections, fairness."""

import numpy as np
import pytest

from foamwright.shape.conic import conic_from, middle_weight
from foamwright.shape.curves import FairCurve, dense, gauss_on
from foamwright.shape.fair import Batten, Condition, FairProblem
from foamwright.shape.splines import Spline, clamped, design


def through(function, start: float, stop: float, pieces: int = 40, degree: int = 5) -> FairCurve:
    """The spline that interpolates a function at the averages of its knots (Greville)."""
    knots = clamped(np.linspace(start, stop, pieces + 1), degree)
    spots = np.array([np.mean(knots[i + 1 : i + degree + 1]) for i in range(knots.size - degree - 1)])
    return FairCurve(Spline(knots, np.linalg.solve(design(spots, knots, degree), function(spots)), degree))


def test_beyond_its_ends_it_goes_on_straight() -> None:
    curve = through(lambda x: x**3, 1.0, 2.0)
    np.testing.assert_allclose(curve([0.5, 2.5]), [1.0 - 3 * 0.5, 8.0 + 12 * 0.5], rtol=1e-12)
    np.testing.assert_allclose(curve([0.5, 2.5], 1), [3.0, 12.0], rtol=1e-11)
    np.testing.assert_array_equal(curve([0.5, 2.5], 2), [0.0, 0.0])


def test_curvature_of_a_circle() -> None:
    radius = 2.0
    curve = through(lambda x: radius - np.sqrt(radius**2 - x**2), -1.0, 1.0, pieces=80)
    np.testing.assert_allclose(curve.curvature(np.linspace(-1, 1, 41)), 1 / radius, rtol=1e-6)
    assert curve.inflections().size == 0


def test_inflections_and_extrema_of_a_sine() -> None:
    curve = through(np.sin, 0.5, 6.0, pieces=80)
    np.testing.assert_allclose(curve.inflections(), [np.pi], atol=2e-3)
    flat = through(lambda x: 1e-3 * np.sin(x), 0.5, 6.0, pieces=80)
    np.testing.assert_allclose(flat.curvature_extrema(), [np.pi / 2, 3 * np.pi / 2], atol=3e-3)


def test_a_straight_part_is_no_inflection() -> None:
    curve = through(lambda x: np.maximum(x, 0.0) ** 5, -1.0, 1.0)
    assert curve.inflections().size == 0


def test_fairness_of_a_cubic_is_its_closed_form() -> None:
    # f = x^3 on [0, 2]: f''' = 6, greatest 8: span^5 * 36 * span / 64.
    assert through(lambda x: x**3, 0.0, 2.0).fairness() == pytest.approx(36.0, rel=1e-6)
    assert through(lambda x: 0.0 * x, 0.0, 2.0).fairness() == 0.0


@pytest.mark.parametrize("scale", [0.5, 3.0, 25.4])
def test_fairness_has_no_scale(scale: float) -> None:
    def curve(k: float) -> FairCurve:
        given = [(0.0, 0.05), (0.3, 0.02), (1.5, 0.05), (1.9, 0.12)]
        problem = FairProblem(np.array([x * k for x, _ in given]), batten=Batten.VARIATION)
        return problem.solve(tuple(Condition(x * k, y * k) for x, y in given))[0]

    assert curve(scale).fairness() == pytest.approx(curve(1.0).fairness(), rel=1e-9)


def test_gauss_and_dense() -> None:
    breaks = np.array([0.0, 1.0, 3.0])
    nodes, weights = gauss_on(breaks, 3)
    assert weights @ nodes**5 == pytest.approx(3.0**6 / 6, rel=1e-14)
    np.testing.assert_allclose(dense(breaks, 2), [0.0, 0.5, 1.0, 2.0, 3.0])


@pytest.mark.parametrize("fullness", [0.3, 0.5, 0.8])
def test_a_part_of_a_conic_is_a_conic(fullness: float) -> None:
    """The part's points, by the rational form written out, lie on the whole's implicit equation."""
    whole = np.array([[[0.0, 0.0], [1.0, 0.3], [1.0, 1.0]]])
    weight = middle_weight(np.array([fullness]))
    part, new = conic_from(whole, weight, np.array([0.6]))
    assert part[0, 0, 0] == pytest.approx(1.0 - 0.36, abs=1e-14)
    q = np.linspace(0.0, 1.0, 21)[:, None]
    heavy = 2.0 * q * (1.0 - q) * new
    points = ((1 - q) ** 2 * part[0, 0] + heavy * part[0, 1] + q**2 * part[0, 2]) / (
        (1 - q) ** 2 + heavy + q**2
    )
    # Barycentric in the whole's three points a conic is b1^2 = 4 w^2 b0 b2.
    inverse = np.linalg.inv(np.vstack([whole[0].T, np.ones(3)]))
    b = inverse @ np.vstack([points.T, np.ones(len(q))])
    np.testing.assert_allclose(b[1] ** 2, 4.0 * weight[0] ** 2 * b[0] * b[2], rtol=0, atol=1e-13)
