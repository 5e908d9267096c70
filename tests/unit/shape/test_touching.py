"""Curves that touch 0 once."""

import numpy as np
import pytest

from foamwright.shape.fair import Condition, FairProblem, UnfairError, bends
from foamwright.shape.touching import Point, touching

POINTS = (
    Point(0.0, 0.054, "tail"),
    Point(0.3, 0.0216, "12 from tail"),
    Point(1.63, 0.048, "12 from nose"),
    Point(1.93, 0.121, "nose"),
)
X = np.linspace(0.0, 1.93, 4001)


def test_it_meets_the_numbers_touches_once_and_is_never_hollow() -> None:
    found = touching(POINTS, None)
    assert max(abs(float(found.curve(p.x)) - p.value) for p in POINTS) < 1e-14
    assert abs(float(found.curve(found.at))) < 1e-16
    assert abs(float(found.curve(found.at, 1))) < 1e-15
    assert np.min(found.curve(X)) > -1e-15
    assert np.min(found.curve(X, 2)) >= 0.0


def test_the_free_place_is_the_fairest() -> None:
    found = touching(POINTS, None)
    problem = FairProblem(np.array([p.x for p in POINTS]), (bends(1.0),))

    def energy(at: float) -> float:
        given = tuple(Condition(p.x, p.value) for p in POINTS)
        return problem.least_energy((*given, Condition(at, 0.0), Condition(at, 0.0, 1)))

    least = energy(found.at)
    assert all(energy(at) >= least for at in np.linspace(0.35, 1.6, 101))
    assert energy(found.at - 4e-4) > least < energy(found.at + 4e-4)


@pytest.mark.parametrize("at", [0.7, 0.95, 1.1])
def test_a_given_place_is_kept(at: float) -> None:
    found = touching(POINTS, at)
    assert found.at == at
    assert abs(float(found.curve(at, 1))) < 1e-14
    assert np.min(found.curve(X, 2)) >= -1e-9


def test_a_given_zero_is_the_place() -> None:
    points = (*POINTS[:2], Point(0.9, 0.0, "apex"), *POINTS[2:])
    assert touching(points, None).at == 0.9


def test_flat_from_a_zero_tail() -> None:
    points = (Point(0.0, 0.0, "tail"), Point(0.3, 0.0, "12 from tail"), Point(1.9, 0.1, "nose"))
    curve = touching(points, None).curve
    np.testing.assert_allclose(curve(np.linspace(0.0, 0.3, 50)), 0.0, rtol=0, atol=1e-9)
    assert np.min(curve(X, 2)) > -1e-6


def test_a_bump_is_refused() -> None:
    bumped = (POINTS[0], Point(0.3, 0.045, "12 from tail"), *POINTS[2:])
    with pytest.raises(UnfairError, match=r"12 from tail would have to move by -0\.0") as caught:
        touching(bumped, None)
    moves = {move.name: move.fair for move in caught.value.moves}
    assert np.min(caught.value.nearest(X, 2)) > -1e-4
    # The numbers it gives instead are fair.
    touching(tuple(Point(p.x, moves[p.name], p.name) for p in bumped), None)


def test_scale_changes_nothing_but_the_scale() -> None:
    small = touching(POINTS, None)
    large = touching(tuple(Point(p.x * 25.4, p.value * 25.4, p.name) for p in POINTS), None)
    assert large.at == pytest.approx(25.4 * small.at, rel=1e-12)
    np.testing.assert_allclose(large.curve(X * 25.4), 25.4 * small.curve(X), rtol=0, atol=1e-9)
