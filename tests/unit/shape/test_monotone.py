"""Numbers between marks: scipy's interpolator is the judge."""

import numpy as np
import pytest
from scipy.interpolate import PchipInterpolator

from foamwright.shape.monotone import Monotone


@pytest.mark.parametrize("seed", range(40))
def test_it_is_scipys(seed: int) -> None:
    dice = np.random.default_rng(seed)
    count = int(dice.integers(2, 8))
    x = np.cumsum(dice.uniform(0.05, 1.0, count))
    value = dice.integers(-3, 4, count) / 2.0
    at = np.linspace(x[0], x[-1], 101)
    np.testing.assert_allclose(Monotone(x, value)(at), PchipInterpolator(x, value)(at), rtol=0, atol=2e-14)


def test_it_never_leaves_the_range_of_its_neighbours() -> None:
    number = Monotone(np.array([0.0, 1.0, 1.2, 3.0]), np.array([0.0, 2.0, 2.0, -1.0]))
    assert np.all(number(np.linspace(0.0, 1.0, 50)) <= 2.0)
    np.testing.assert_array_equal(number(np.linspace(1.0, 1.2, 9)), 2.0)


def test_one_mark_holds_everywhere_and_ends_stay() -> None:
    np.testing.assert_array_equal(Monotone(np.array([1.0]), np.array([0.4]))([0.0, 5.0]), 0.4)
    line = Monotone(np.array([0.0, 1.0]), np.array([1.0, 2.0]))
    np.testing.assert_allclose(line([-1.0, 0.25, 9.0]), [1.0, 1.25, 2.0], rtol=0, atol=1e-15)
