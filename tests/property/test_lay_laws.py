"""Laws of the lay that hold for any board in any blank."""

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "benchmarks"))

import lay_cases as cases
from foamwright.bay.bay import Bay
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.rotation import points_of, settled, verify_rotation
from foamwright.lay.survey import survey

BAY = Bay()
SEEDS = st.integers(0, 10**6)
QUICK = settings(max_examples=25, deadline=None, derandomize=True)


def case(seed):
    rng = np.random.default_rng(seed)
    board = cases.random_board(rng)
    return board, cases.random_blank(rng, board)


def choice_of(board, blank, bay=BAY):
    return survey(profile_of_board(board), Rack((profile_of_blank(blank),)), bay).choices[0]


@QUICK
@given(SEEDS)
def test_the_laid_board_is_inside_the_blank(seed):
    board, blank = case(seed)
    choice = choice_of(board, blank)
    if choice.fits:
        found = settled(choice, board, blank)
        if found is not None:
            lay = found.choice.placed
            check = verify_rotation(points_of(board), blank, lay, choice.allowed, BAY.allowances.saw)
            assert check.true.least >= -1e-9


@QUICK
@given(SEEDS, st.floats(-0.5, 0.5))
def test_a_blank_held_higher_lifts_the_board_as_much(seed, up):
    board, blank = case(seed)

    class Raised(cases.InventedBlank):
        def bottom(self, x):
            return super().bottom(x) + up

        def deck(self, x):
            return super().deck(x) + up

    low, high = choice_of(board, blank), choice_of(board, Raised(**vars(blank)))
    assert low.fits == high.fits
    if low.fits:
        assert high.placed.slide == low.placed.slide
        assert high.placed.lift - low.placed.lift == pytest.approx(up, abs=1e-9)
        assert high.work_min == pytest.approx(low.work_min, abs=1e-6)


@QUICK
@given(SEEDS, st.floats(0.0, 0.02))
def test_more_foam_never_stops_a_board_that_fits(seed, more):
    board, blank = case(seed)
    soft = replace(blank, numbers=replace(blank.numbers, hard_face=None), edge=0.0)
    thicker = replace(soft, thick=soft.thick + more)
    thin, thick = choice_of(board, soft), choice_of(board, thicker)
    assert thick.fits or not thin.fits
    if thin.fits:
        assert thick.foam_off.planed >= thin.foam_off.planed - 1e-9


@QUICK
@given(SEEDS, st.floats(1.1, 3.0))
def test_work_grows_with_the_rates_and_the_lay_stays(seed, factor):
    board, blank = case(seed)
    usual = BAY.rates
    timed = ("stringer", "foam", "strip", "stop", "reading")
    slow = replace(BAY, rates=replace(usual, **{name: factor * getattr(usual, name) for name in timed}))
    one, other = choice_of(board, blank), choice_of(board, blank, slow)
    assert one.fits == other.fits
    if one.fits:
        assert other.work_min == pytest.approx(factor * one.work_min, rel=1e-9)
        assert other.placed.slide == one.placed.slide
        assert other.placed.lift == pytest.approx(one.placed.lift, abs=1e-9)


@QUICK
@given(SEEDS)
def test_a_wider_saw_margin_never_helps(seed):
    board, blank = case(seed)
    wide = replace(BAY, allowances=replace(BAY.allowances, saw=BAY.allowances.saw * 2))
    assert choice_of(board, blank).fits or not choice_of(board, blank, wide).fits
