"""The slope of a bottom is found from the strip beside the stringer, whatever its contour and its noise."""

import numpy as np
import pytest

from foamwright.exchange.scan_level import slope_at
from foamwright.exchange.scan_lines import lines_of

LENGTH, SLOPE, AT = 1.9, 0.013, 0.8


def bottom(x):
    """Level but for `SLOPE` at `AT`; turning up towards both ends, more towards the far one."""
    away = x - AT
    return SLOPE * away + 0.06 * away**2 + 0.03 * away**3 * (away > 0.0)


def cloud(contour, noise=5e-4, count=160_000):
    """Points of both faces of a plank 40 mm thick whose bottom has a contour across."""
    dice = np.random.default_rng(8)
    x, y = dice.uniform(0.0, LENGTH, count), dice.uniform(-0.24, 0.24, count)
    deck = np.arange(count) % 2 == 0
    z = bottom(x) + np.where(deck, 0.04 - 0.1 * y**2, contour(np.abs(y)))
    points = np.stack([x, y, z + dice.normal(0.0, noise, count)], axis=1)
    return points[np.argsort(x, kind="stable")]


@pytest.mark.parametrize(
    "contour",
    [lambda y: 0.0 * y, lambda y: 0.03 * y, lambda y: -0.004 * np.cos(6.0 * y), lambda y: 0.1 * y**2],
    ids=["flat", "vee", "concave", "rolled"],
)
def test_the_slope_is_that_of_the_stringer(contour):
    points = cloud(contour)
    assert slope_at(points, lines_of(points), AT, LENGTH) == pytest.approx(SLOPE, abs=4e-4)


def test_a_hole_and_strays_hardly_move_it():
    points = cloud(lambda y: 0.02 * y)
    points = points[np.hypot(points[:, 0] - AT - 0.1, points[:, 1]) > 0.08]
    strays = np.arange(len(points)) % 40 == 0
    points[strays, 2] += 0.003
    assert slope_at(points, lines_of(points), AT, LENGTH) == pytest.approx(SLOPE, abs=4e-4)


def test_a_tilted_scan_has_that_much_more_slope():
    points = cloud(lambda y: 0.0 * y)
    before = slope_at(points, lines_of(points), AT, LENGTH)
    points[:, 2] += 0.01 * points[:, 0]
    assert slope_at(points, lines_of(points), AT, LENGTH) == pytest.approx(before + 0.01, abs=2e-5)
