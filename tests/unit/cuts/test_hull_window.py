"""The sliding hull against every chord tried by brute force, compiled and interpreted."""

import numpy as np
import pytest

from foamwright.shape.kernels.compiler import interpreted
from foamwright.shape.kernels.hull_window import support_into


def support(heights, behind, ahead, kernel=support_into, first=0):
    result = np.full(heights.size, np.nan)
    kernel(heights, first, behind, ahead, result, np.zeros((2, heights.size), dtype=np.int64))
    return result


def every_chord(heights, point, behind, ahead):
    last = heights.size - 1
    low, high = max(0.0, point - behind), min(float(last), point + ahead)
    under = np.unique([low, high, *np.arange(np.ceil(low), np.floor(high) + 1)])
    level = np.interp(under, np.arange(heights.size), heights)
    best = heights[point]
    for left, foot in zip(under, level, strict=True):
        for right, top in zip(under, level, strict=True):
            if left < point < right:
                best = max(best, foot + (top - foot) * (point - left) / (right - left))
    return best


def rough(random):
    n = int(random.integers(3, 50))
    bend = random.choice([-1.0, 0.0, 1.0]) * 3.0 * np.linspace(-1.0, 1.0, n) ** 2
    noise = np.cumsum(random.normal(size=n)) * random.choice([1.0, 0.01, 0.0])
    steps = random.choice([0.0, 0.2]) * np.floor(np.arange(n) / 5.0)
    return bend + noise - steps


@pytest.mark.parametrize("whole_steps", [True, False])
def test_hull_equals_the_highest_of_all_chords(whole_steps):
    random = np.random.default_rng(7)
    for _ in range(40):
        heights = rough(random)
        behind, ahead = random.uniform(0.0, 12.0), random.uniform(0.0, 8.0)
        if whole_steps:
            behind, ahead = float(int(behind)), float(int(ahead))
        expected = [every_chord(heights, i, behind, ahead) for i in range(heights.size)]
        assert np.abs(support(heights, behind, ahead) - expected).max() < 1e-13


def test_interpreted_kernel_gives_the_same_bits():
    random = np.random.default_rng(8)
    for _ in range(20):
        heights = rough(random)
        reach = random.uniform(0.0, 12.0, size=2)
        slow = support(heights, *reach, kernel=interpreted(support_into))
        assert np.array_equal(support(heights, *reach), slow)


def test_starting_later_changes_nothing_beyond_the_start():
    heights = rough(np.random.default_rng(9))
    whole = support(heights, 6.0, 3.0)
    for first in range(heights.size + 1):
        part = support(heights, 6.0, 3.0, first=first)
        assert np.isnan(part[:first]).all()
        assert np.array_equal(part[first:], whole[first:])


def test_a_bulging_face_carries_the_sole_everywhere():
    heights = -(np.linspace(-1.0, 1.0, 201) ** 2)
    assert np.array_equal(support(heights, 30.0, 12.0), heights)


def test_a_hollow_is_bridged_by_the_chord_between_heel_and_toe():
    x = np.arange(60.0)
    gap = support(x**2, 7.0, 4.0)[10:50] - x[10:50] ** 2
    assert gap == pytest.approx(np.full(40, 7.0 * 4.0))


def test_interpolated_ends_converge_on_the_continuous_window_faster_than_whole_steps():
    errors = {"part": [], "whole": []}
    for n in (101, 401, 1601):
        x = np.linspace(0.0, 1.0, n)
        behind, ahead = 0.137 * (n - 1), 0.061 * (n - 1)
        middle = n // 2
        exact = 0.137 * 0.061 * 4.0
        for name, reach in (("part", (behind, ahead)), ("whole", (float(int(behind)), float(int(ahead))))):
            gap = support(4.0 * x**2, *reach)[middle] - 4.0 * x[middle] ** 2
            errors[name].append(abs(gap - exact))
    assert errors["part"][0] / errors["part"][2] > 16.0**2 * 0.2
    assert errors["part"][2] < errors["whole"][2]
