"""The lay equals a general LP solver's answer, on random sets and on random boards in random blanks."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "benchmarks"))

import lay_cases as cases
from foamwright.bay.bay import Bay
from foamwright.lay.limits import Limits
from foamwright.lay.profiles import profile_of_board

CLOSE = 1e-9


def assert_same(found: cases.Difference) -> None:
    assert found.fits == found.reference_fits
    assert found.objective < CLOSE
    assert found.position < CLOSE
    assert found.violation < CLOSE
    assert found.gap < CLOSE


@pytest.mark.parametrize("seed", range(5))
def test_random_sets(seed):
    rng = np.random.default_rng(seed)
    fits = 0
    for _ in range(150):
        x, lower, upper, toward = cases.random_sets(rng)
        line = Limits(x, lower, upper).best_line(toward)
        if abs(line.gap) < 1e-9:
            continue  # the solver's own tolerance decides whether these fit; the unit tests hold them
        assert_same(cases.difference(x, lower, upper, toward, line))
        fits += line.status == 0
    assert 30 < fits < 130


@pytest.mark.parametrize("seed", range(5))
def test_random_boards_in_random_blanks(seed):
    rng = np.random.default_rng(100 + seed)
    fits = 0
    for _ in range(150):
        case = cases.random_case(rng, Bay())
        fits += case.line.status == 0
        assert_same(cases.difference(case.x, case.lower, case.upper, case.toward, case.line))
    assert 30 < fits < 130


def test_sets_seen_through_the_profile_are_the_true_ones():
    # The kernels read blanks through a grid; the limits must still be those of the true curves.
    rng = np.random.default_rng(7)
    for _ in range(50):
        case = cases.random_case(rng, Bay())
        assert np.max(np.abs(case.limits.lower - case.lower)) < CLOSE
        assert np.max(np.abs(case.limits.upper - case.upper)) < CLOSE


def test_profile_keeps_both_tips_and_the_length():
    board = cases.random_board(np.random.default_rng(1))
    profile = profile_of_board(board)
    assert (profile.x[0], profile.x[-1]) == (0.0, board.length)
    assert profile.weight.sum() == pytest.approx(board.length, abs=1e-12)
