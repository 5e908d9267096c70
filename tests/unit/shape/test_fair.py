"""Battens against beam theory and scipy's splines; shape conditions; what is said when they cannot hold."""

import numpy as np
import pytest
from scipy.interpolate import CubicSpline, make_interp_spline

from foamwright.shape.fair import (
    Batten,
    Condition,
    FairProblem,
    UnfairError,
    at_points,
    bends,
    bends_at,
    slopes,
)

X = np.linspace(0.0, 3.0, 301)


def free(x: np.ndarray, y: np.ndarray, batten: Batten = Batten.VARIATION, shapes: tuple = ()) -> object:
    problem = FairProblem(x, shapes, batten=batten)
    return problem.solve(tuple(Condition(a, b) for a, b in zip(x, y, strict=True)))[0]


def observed_order(errors: list[float]) -> float:
    return float(np.log2(errors[-2] / errors[-1]))


def test_thin_batten_is_the_natural_cubic_spline() -> None:
    x, y = np.array([0.0, 0.4, 1.1, 2.3, 3.0]), np.array([0.0, 1.0, -0.5, 0.3, 2.0])
    natural = CubicSpline(x, y, bc_type="natural")
    np.testing.assert_allclose(free(x, y, Batten.BENDING)(X), natural(X), rtol=0, atol=1e-12)


def test_fair_batten_is_the_natural_quintic_spline() -> None:
    x, y = np.array([0.0, 0.4, 1.1, 2.3, 3.0, 3.4]), np.array([0.0, 1.0, -0.5, 0.3, 2.0, 2.1])
    ends = [(3, 0.0), (4, 0.0)]
    natural = make_interp_spline(x, y, k=5, bc_type=(ends, ends))
    np.testing.assert_allclose(free(x, y)(X), natural(X), rtol=0, atol=1e-11)


def test_beam_bent_at_three_points_is_exact() -> None:
    # Simply supported, point load at a: w = P b x (L^2 - b^2 - x^2) / (6 L EI) up to a (thin-beam theory).
    length, a = 3.0, 1.2
    b = length - a
    left = b * X * (length**2 - b**2 - X**2)
    right = a * (length - X) * (length**2 - a**2 - (length - X) ** 2)
    beam = np.where(a >= X, left, right) / (6 * length)
    height = a * b * (length**2 - b**2 - a**2) / (6 * length)
    batten = free(np.array([0.0, a, length]), np.array([0.0, height, 0.0]), Batten.BENDING)
    np.testing.assert_allclose(batten(X), beam, rtol=0, atol=1e-13)


@pytest.mark.parametrize(("batten", "order"), [(Batten.BENDING, 4.0), (Batten.VARIATION, 3.0)])
def test_evenly_loaded_beam_converges_with_the_stations(batten: Batten, order: float) -> None:
    # w = q x (L^3 - 2 L x^2 + x^3) / (24 EI). Its ends bend by 0 as the thin batten's do: order 4, the best a
    # cubic can; its shear there is not 0 as the fair batten's is, which holds the quintic to order 3.
    def beam(x: np.ndarray) -> np.ndarray:
        return x * (27.0 - 6.0 * x**2 + x**3) / 24.0

    fine = np.linspace(0.0, 3.0, 2001)
    errors = []
    for count in (5, 9, 17, 33):
        x = np.linspace(0.0, 3.0, count)
        errors.append(float(np.max(np.abs(free(x, beam(x), batten)(fine) - beam(fine)))))
    assert observed_order(errors) == pytest.approx(order, abs=0.05)


@pytest.mark.parametrize("shapes", [(), (bends(1.0),)])
def test_numbers_are_met_to_rounding(shapes: tuple) -> None:
    x, y = np.array([0.0, 0.3048, 1.6256, 1.9304]), np.array([0.054, 0.02159, 0.04826, 0.12065])
    assert np.max(np.abs(free(x, y, shapes=shapes)(x) - y)) < 1e-15


def test_convex_everywhere_between_the_points_too() -> None:
    # The free batten through these is hollow on the right; the convex one is nowhere.
    x, y = np.array([0.0, 1.0, 2.0, 3.0]), np.array([2.0, 0.3, 0.2, 0.15])
    assert np.min(free(x, y)(X, 2)) < -0.05
    fine = np.linspace(0.0, 3.0, 5001)
    assert np.min(free(x, y, shapes=(bends(1.0),))(fine, 2)) >= 0.0


def test_asked_shapes_cost_energy_and_nothing_else() -> None:
    x, y = np.array([0.0, 1.0, 2.0, 3.0]), np.array([2.0, 0.3, 0.2, 0.15])
    conditions = tuple(Condition(a, b) for a, b in zip(x, y, strict=True))
    problem = FairProblem(x)
    bare = problem.solve(conditions)[1]
    shaped = problem.under((bends(1.0),)).solve(conditions)[1]
    assert bare < shaped
    assert problem.energy_below(conditions) == pytest.approx(bare, rel=1e-9)
    assert problem.under((bends(1.0),)).energy_below(conditions) == pytest.approx(bare, rel=1e-9)
    assert problem.under((bends(1.0),)).least_energy(conditions, limit=bare) == np.inf


def test_conditions_on_derivatives() -> None:
    conditions = (Condition(0.0, 1.0), Condition(3.0, 2.0), Condition(1.5, 0.25, 1), Condition(3.0, -1.0, 2))
    curve = FairProblem(np.array([0.0, 3.0])).solve(conditions)[0]
    assert float(curve(1.5, 1)) == pytest.approx(0.25, abs=1e-13)
    assert float(curve(3.0, 2)) == pytest.approx(-1.0, abs=1e-11)


def test_point_conditions_in_the_callers_own_units() -> None:
    given = (Condition(0.0, 0.0), Condition(200.0, 10.0), Condition(100.0, 5.0))
    spots = np.linspace(10.0, 190.0, 30)
    shapes = (slopes(spots, 1.0), bends_at(spots[:5], 1.0, 1e-4), at_points(spots, {1: 1.0}, 0.02))
    curve = FairProblem(np.array([0.0, 100.0, 200.0]), shapes).solve(given)[0]
    assert np.min(curve(spots, 1)) >= 0.02 * 10.0 * (1 - 1e-9)
    assert np.min(curve(spots[:5], 2)) >= 1e-4 * 10.0 * (1 - 1e-9)


def test_a_bump_is_refused_with_the_least_move() -> None:
    # Convex through (0, 1), (1, y), (2, 0): y may be 1/2 at most. The least sum of moves is the middle's.
    x, y = np.array([0.0, 1.0, 2.0]), np.array([1.0, 0.8, 0.0])
    conditions = tuple(Condition(a, b, 0, f"at {a:g}") for a, b in zip(x, y, strict=True))
    with pytest.raises(UnfairError, match=r"at 1 would have to move by -0\.3") as caught:
        FairProblem(x, (bends(1.0),)).solve(conditions)
    middle = caught.value.moves[0]
    assert (middle.name, middle.given) == ("at 1", 0.8)
    assert middle.amount == pytest.approx(-0.3, abs=1e-5)
    assert caught.value.moves[1].amount == pytest.approx(0.0, abs=1e-5)
    assert np.min(caught.value.nearest(np.linspace(0, 2, 401), 2)) > -1e-4


def test_unnamed_conditions_stay_when_numbers_move() -> None:
    conditions = (
        Condition(0.0, 1.0, 0, "tail"),
        Condition(1.0, 0.0),
        Condition(1.0, 0.0, 1),
        Condition(2.0, -0.2, 0, "nose"),
    )
    with pytest.raises(UnfairError, match="nose") as caught:
        FairProblem(np.array([0.0, 2.0]), (bends(1.0),)).solve(conditions)
    assert float(caught.value.nearest(1.0)) == pytest.approx(0.0, abs=1e-6)
    assert caught.value.moves[0].amount == pytest.approx(0.2, abs=1e-5)


def test_stations_nearer_than_a_thousandth_share_a_knot() -> None:
    x = np.array([0.0, 1.0, 1.0005, 3.0])
    problem = FairProblem(x)
    assert np.min(np.diff(problem.unit_knots)) > 0.02
    curve = problem.solve((Condition(0.0, 0.0), Condition(1.0, 1.0), Condition(1.0005, 1.0004)))[0]
    np.testing.assert_allclose(curve([1.0, 1.0005]), [1.0, 1.0004], rtol=0, atol=1e-12)
