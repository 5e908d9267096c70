"""The two kernels against brute force of their own definitions, and against each other."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import interpreted
from foamwright.shape.kernels.planing import full_stroke, heel_stroke

Array = NDArray[np.float64]
Sole = tuple[float, float]


def hull_at(heights: Array, i: int, sole: Sole) -> float:
    """The highest chord over point `i` between any two places under the sole: every pair is tried."""
    n = heights.size
    low, high = max(i - sole[0], 0.0), min(i + sole[1], n - 1.0)
    behind = [float(j) for j in range(n) if low <= j < i] + ([low] if low < i else [])
    ahead = [float(j) for j in range(n) if i < j <= high] + ([high] if high > i else [])
    line = float(heights[i])
    places = np.arange(n)
    for j in behind:
        for k in ahead:
            foot, top = np.interp([j, k], places, heights)
            line = max(line, float(foot + (top - foot) * (i - j) / (k - j)))
    return line


def slow_heel(heights: Array, first: int, last: int, sole: Sole, chip: float) -> Array:
    worn = heights.copy()
    for i in range(first, min(last, heights.size)):
        worn[i] = min(worn[i], hull_at(worn, i, sole) - chip)
    return worn


def slow_before(heights: Array, first: int, last: int, sole: Sole, chip: float) -> Array:
    """The supporting line of the face before the stroke: the mildest a sole can be."""
    lines = [hull_at(heights, i, sole) - chip for i in range(heights.size)]
    inside = (np.arange(heights.size) >= first) & (np.arange(heights.size) < last)
    return np.where(inside, np.minimum(heights, lines), heights)


def random_case(seed: int) -> tuple[Array, int, int, Sole, float]:
    """A bumpy, bulging or hollow face, a sole whose ends fall between grid points, any start and end."""
    dice = np.random.default_rng(seed)
    n = int(dice.integers(5, 40))
    places = np.arange(n) - dice.uniform(0, n)
    heights = 0.02 * dice.normal() * places**2 + 0.3 * np.cumsum(dice.normal(size=n)) * (seed % 2)
    first = int(dice.integers(0, n))
    last = int(dice.integers(first, n + 3))
    return heights, first, last, (dice.uniform(1, 12), dice.uniform(1, 6)), dice.uniform(0.01, 0.5)


@pytest.mark.parametrize("seed", range(120))
def test_a_stroke_is_the_hull_of_cut_behind_and_uncut_ahead_less_the_chip(seed: int) -> None:
    heights, *case = random_case(seed)
    worn = heights.copy()
    heel_stroke(worn, *case)
    np.testing.assert_allclose(worn, slow_heel(heights, *case), atol=1e-12)
    plain = heights.copy()
    interpreted(heel_stroke)(plain, *case)
    np.testing.assert_array_equal(plain, worn)


@pytest.mark.parametrize("seed", range(120))
def test_full_chip_is_deepest_then_the_heel_then_the_face_before(seed: int) -> None:
    heights, first, last, sole, chip = random_case(seed)
    deep, worn = heights.copy(), heights.copy()
    full_stroke(deep, first, last, chip)
    heel_stroke(worn, first, last, sole, chip)
    mild = slow_before(heights, first, last, sole, chip)
    assert (deep <= worn).all()
    assert (worn <= mild + 1e-12).all()
    assert (mild <= heights).all()


def test_outside_of_a_lifted_stroke_nothing_changes() -> None:
    worn = np.zeros(20)
    heel_stroke(worn, 5, 9, (4.0, 2.0), 0.5)
    assert np.flatnonzero(worn).tolist() == [5, 6, 7, 8]
    np.testing.assert_allclose(worn[5:9], -0.5)
