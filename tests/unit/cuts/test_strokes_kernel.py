"""One stroke and many, in the kernel."""

import numpy as np
import pytest

from foamwright.shape.kernels.compiler import interpreted
from foamwright.shape.kernels.strokes import guarded_strokes_into, stroke_into, strokes_into

HOLLOW = np.linspace(-1.0, 1.0, 81) ** 2
BULGE = -HOLLOW


def workspace(heights):
    return np.empty_like(heights), np.zeros((2, heights.size), dtype=np.int64)


def one_stroke(heights, first, window, kernel=stroke_into):
    result, chains = workspace(heights)
    kernel(heights, first, np.array(window), result, chains)
    return result


def test_a_bulging_face_loses_exactly_one_chip_from_the_start_on():
    after = one_stroke(BULGE, 30, (12.0, 6.0, 0.001))
    assert np.array_equal(after[:30], BULGE[:30])
    assert np.array_equal(after[30:], BULGE[30:] - 0.001)


def test_a_hollow_tighter_than_the_chip_is_not_touched():
    # Steps of 1/40 and height x^2: the gap is 12 * 6 / 40^2 = 0.045.
    assert np.array_equal(one_stroke(HOLLOW, 0, (12.0, 6.0, 0.044))[20:60], HOLLOW[20:60])


def test_a_chip_deeper_than_the_gap_takes_the_difference():
    after = one_stroke(HOLLOW, 0, (12.0, 6.0, 0.05))
    assert HOLLOW[20:60] - after[20:60] == pytest.approx(np.full(40, 0.005))


def test_the_tip_always_loses_a_full_chip_where_the_toe_hangs_free():
    assert one_stroke(HOLLOW, 0, (12.0, 6.0, 0.01))[-1] == HOLLOW[-1] - 0.01


def test_start_beyond_the_tip_cuts_nothing():
    assert np.array_equal(one_stroke(BULGE, 81, (12.0, 6.0, 0.001)), BULGE)


def test_interpreted_kernel_gives_the_same_bits():
    fast = one_stroke(HOLLOW, 11, (12.3, 6.1, 0.05))
    assert np.array_equal(fast, one_stroke(HOLLOW, 11, (12.3, 6.1, 0.05), interpreted(stroke_into)))


def test_many_strokes_are_one_stroke_many_times():
    firsts = np.array([60, 40, 20, 20])
    windows = np.array([[12.0, 6.0, 0.003], [12.0, 6.0, 0.001], [5.5, 2.5, 0.002], [12.0, 6.0, 0.001]])
    heights = BULGE.copy()
    strokes_into(heights, firsts, windows, *workspace(heights))
    expected = BULGE
    for first, window in zip(firsts, windows, strict=True):
        expected = one_stroke(expected, first, window)
    assert np.array_equal(heights, expected)


def test_guard_leaves_out_what_goes_too_deep_or_cuts_nothing():
    floor = BULGE - 0.0025
    heights = BULGE.copy()
    firsts = np.array([40, 40, 40, 81])
    windows = np.array([[12.0, 6.0, 0.001]] * 4)
    made = np.zeros(4, dtype=np.int64)
    total = guarded_strokes_into(heights, firsts, windows, floor, made, *workspace(heights))
    assert (total, made.tolist()) == (2, [1, 1, 0, 0])
    assert (heights >= floor).all()
