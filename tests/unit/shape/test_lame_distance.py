"""Distances from a slice of Lamé curves: exact where a closed form is, compiled as interpreted."""

import numpy as np
import pytest

from foamwright.shape.kernels import lame_distance as kernel
from foamwright.shape.lame import lame_height

NUMBERS = np.array([0.25, 0.3, 0.3, 0.35, 0.45, 0.6])


def slab(shape=kernel.DISH, depth=0.004, count=60):
    dice = np.random.default_rng(4)
    return kernel.Slab(
        dice.uniform(-0.01, 0.01, count),
        dice.uniform(0.0, 0.26, count),
        dice.uniform(0.0, 0.06, count),
        np.full(count, 0.06),
        shape,
        depth,
    )


def distances(points, numbers):
    out = np.empty(points.away.size)
    kernel.distances_into(points, numbers, out)
    return out


def test_from_a_circle_it_is_the_distance_itself():
    angle = np.linspace(0.05, 1.5, 9)
    for radius in (0.02, 0.03, 0.05):
        found = [
            kernel.lame_distance(a / 0.03, 0.03, b / 0.03, 0.03, 0.5)
            for a, b in zip(radius * np.cos(angle), radius * np.sin(angle), strict=True)
        ]
        assert np.array(found) == pytest.approx(radius - 0.03, abs=1e-12)


def test_points_of_the_slice_are_on_it_and_others_on_their_side():
    share = np.linspace(0.0, 0.999, 40)
    upper = 0.06 * (0.3 + 0.7 * lame_height(share, 0.45))
    lower = 0.018 * (1.0 - lame_height((share - 0.6) / 0.4, 0.35))
    thick, none = np.full(80, 0.06), np.zeros(80)
    height = np.concatenate([upper, lower])
    on = kernel.Slab(none, 0.25 * np.tile(share, 2), height, thick, kernel.NONE, 0.0)
    assert distances(on, NUMBERS) == pytest.approx(0.0, abs=1e-9)
    off = np.concatenate([np.full(40, 1e-3), np.full(40, -1e-3)])
    assert np.all(distances(on._replace(height=height + off), NUMBERS) > 0.0)
    assert np.all(distances(on._replace(height=height - off), NUMBERS) < 0.0)


def test_normal_equations_are_the_slope_of_the_cost():
    points, gram, pull = slab(), np.empty((6, 6)), np.empty(6)
    kernel.normal_into(points, NUMBERS, np.full(6, 1e-7), 0.01, gram, pull)
    for j in range(6):
        ends = [NUMBERS.copy(), NUMBERS.copy()]
        ends[0][j] -= 1e-6
        ends[1][j] += 1e-6
        costs = [kernel.cost_of(points, numbers, 0.01) for numbers in ends]
        assert -2.0 * pull[j] == pytest.approx((costs[1] - costs[0]) / 2e-6, rel=1e-3, abs=1e-7)
    assert np.all(np.linalg.eigvalsh(gram) > 0.0)


@pytest.mark.parametrize("shape", [kernel.NONE, kernel.DISH, kernel.TWIN, kernel.WEDGE, kernel.BOWL])
def test_interpreted_it_says_the_same(monkeypatch, shape):
    points, fast = slab(shape), [np.empty((6, 6)), np.empty(6)]
    kernel.normal_into(points, NUMBERS, np.full(6, 1e-7), 0.001, *fast)
    off, cost = distances(points, NUMBERS), kernel.cost_of(points, NUMBERS, 0.001)
    for name in ("base", "lame_distance", "distance", "distances_into", "cost_of", "normal_into"):
        monkeypatch.setattr(kernel, name, getattr(getattr(kernel, name), "py_func", getattr(kernel, name)))
    slow = [np.empty((6, 6)), np.empty(6)]
    kernel.normal_into(points, NUMBERS, np.full(6, 1e-7), 0.001, *slow)
    assert distances(points, NUMBERS) == pytest.approx(off, rel=1e-12, abs=1e-15)
    assert kernel.cost_of(points, NUMBERS, 0.001) == pytest.approx(cost, rel=1e-12)
    # Differences over 1e-7 lose half the digits.
    assert slow[0] == pytest.approx(fast[0], rel=1e-6, abs=1e-9)
