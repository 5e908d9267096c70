"""The survey of a rack: every blank, every slide, ranked."""

import os
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest

import lay_cases as cases
from foamwright.bay.bay import Allowances, Bay, Prices, Tape
from foamwright.lay.limits import limits_at
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.survey import Order, survey
from lay_cases import INCH

BAY = Bay()
BOARD = cases.plain_board()
PROFILE = profile_of_board(BOARD)


def rack_of(*blanks):
    return Rack(tuple(profile_of_blank(b) for b in blanks))


@pytest.fixture(scope="module")
def many():
    rng = np.random.default_rng(5)
    return rack_of(*(cases.random_blank(rng, BOARD, f"B{n}") for n in range(40)))


def test_every_blank_is_there_once(many):
    found = survey(PROFILE, many, BAY)
    assert sorted(c.id for c in found.choices) == sorted(b.numbers.id for b in many.blanks)
    assert 5 < sum(c.fits for c in found.choices) < 40


def test_order_is_on_hand_then_cost_then_misses(many):
    choices = survey(PROFILE, many, BAY).choices
    stock = [c.cost for c in choices if c.fits and c.numbers.on_hand]
    order = [(not c.fits, c.fits and not c.numbers.on_hand) for c in choices]
    assert order == sorted(order)
    assert stock == sorted(stock)
    assert len(stock) > 3


def test_order_of_work_ignores_prices(many):
    choices = survey(PROFILE, many, BAY, order=Order.MINUTES).choices
    work = [c.work_min for c in choices if c.fits and c.numbers.on_hand]
    assert work == sorted(work)
    assert work != [c.work_min for c in survey(PROFILE, many, BAY).choices if c.fits and c.numbers.on_hand]


def test_slides_cover_the_whole_range_with_both_ends():
    blank = cases.plain_blank(longer=3.3 * INCH)
    curve = survey(PROFILE, rack_of(blank), BAY).choices[0].curve
    saw = BAY.allowances.saw
    assert curve.slide[0] == saw
    assert curve.slide[-1] == pytest.approx(3.3 * INCH - saw, abs=1e-12)
    assert np.all(np.diff(curve.slide) > 0)
    assert np.max(np.diff(curve.slide)) <= INCH / 8 + 1e-12
    inside = curve.slide[1:-1] / (INCH / 8)
    assert np.allclose(inside, np.round(inside), atol=1e-9)


def test_length_that_just_fits_leaves_one_slide():
    saw = BAY.allowances.saw
    one = survey(PROFILE, rack_of(cases.plain_blank(longer=2 * saw)), BAY).choices[0]
    assert one.curve.slide == pytest.approx([saw], abs=1e-12)
    short = survey(PROFILE, rack_of(cases.plain_blank(longer=2 * saw - 1e-4)), BAY).choices[0]
    assert short.curve.slide.size == 0
    assert short.lay is None


def test_best_slide_beats_every_slide_of_the_grid_that_a_tape_shows(many):
    marks = 0
    for choice in survey(PROFILE, many, BAY).choices:
        if not choice.fits:
            continue
        steps = choice.curve.slide / (INCH / 16)
        shown = np.abs(steps - np.round(steps)) < 1e-6
        work = choice.curve.work_min[shown & choice.curve.fits]
        if work.size:
            assert choice.work_min <= work.min() + 1e-9
            mark = choice.placed.slide / (INCH / 16)
            assert abs(mark - round(mark)) < 1e-9
            marks += 1
    assert marks > 5


def test_work_of_the_kernel_is_the_integral_of_rates_and_depths(many):
    for choice in survey(PROFILE, many, BAY).choices:
        if choice.fits:
            row = int(np.argmin(np.abs(choice.curve.slide - choice.placed.slide)))
            if abs(choice.curve.slide[row] - choice.placed.slide) < 1e-12:
                assert choice.curve.work_min[row] == pytest.approx(choice.work_min, abs=1e-9)
            x, rates = choice.board.x, choice.rates
            minutes = np.trapezoid(rates.bottom * choice.bottom_off + rates.deck * choice.deck_off, x)
            assert minutes + choice.parts.rails + choice.parts.steady == pytest.approx(
                choice.work_min, abs=1e-9
            )


def test_depths_keep_the_skims(many):
    for choice in survey(PROFILE, many, BAY).choices:
        if choice.fits:
            assert choice.bottom_off.min() >= choice.allowed.skim_bottom - 1e-9
            assert choice.deck_off.min() >= choice.allowed.skim_deck - 1e-9


def test_threads_change_nothing(many):
    one, four = (survey(PROFILE, many, BAY, workers=n) for n in (1, 4))
    assert [c.id for c in one.choices] == [c.id for c in four.choices]
    assert [c.lay for c in one.choices] == [c.lay for c in four.choices]
    for a, b in zip(one.choices, four.choices, strict=True):
        assert np.array_equal(a.grid, b.grid, equal_nan=True)


def test_slide_that_fits_only_between_two_steps_is_found():
    # The board's own curve, moved by 11/16 in and a bit: only there does it follow the blank.
    true = 0.6975 * INCH
    blank = cases.shifted_blank(BOARD, true, spare=2e-5)
    choice = survey(PROFILE, rack_of(blank), BAY, step=INCH / 4).choices[0]
    assert not choice.curve.fits.any()
    assert choice.fits
    assert choice.placed.slide == pytest.approx(true, abs=5e-4)


def test_finer_tape_never_costs_more(many):
    coarse = {c.id: c for c in survey(PROFILE, many, BAY).choices}
    fine = {c.id: c for c in survey(PROFILE, many, replace(BAY, tape=Tape(32))).choices}
    better = [coarse[n].work_min - fine[n].work_min for n in coarse if coarse[n].fits]
    assert min(better) > -1e-9
    assert max(better) > 1e-6


def test_allowance_for_finishing_is_part_of_the_skim():
    blank = cases.plain_blank(skim_bottom=0.0, skim_deck=INCH / 8)
    allowed = survey(PROFILE, rack_of(blank), Bay(allowances=Allowances(finish=INCH / 32))).choices[0].allowed
    assert (allowed.skim_bottom, allowed.skim_deck) == (INCH / 32, INCH / 8)


def test_quarter_inch_blank_leaves_an_eighth_to_take_off():
    # Common practice, no source: a board of 2 5/8 in from a blank of 2 3/4 in leaves 1/8 in to take off.
    board = replace(BOARD, thick=2.625 * INCH)
    blank = cases.flat_blank(board, thick=2.75 * INCH)
    choice = survey(profile_of_board(board), rack_of(blank), BAY).choices[0]
    middle = int(np.argmin(choice.bottom_off + choice.deck_off))
    assert (choice.bottom_off + choice.deck_off)[middle] == pytest.approx(INCH / 8, abs=1e-5)


def test_dearer_labour_counts_more():
    cheap = survey(PROFILE, rack_of(cases.plain_blank()), BAY).choices[0]
    dear = survey(PROFILE, rack_of(cases.plain_blank()), Bay(prices=Prices(labour_hour=80.0))).choices[0]
    assert dear.labour == pytest.approx(2 * cheap.labour)
    # The rest is the blank's price; a sum and a difference of doubles are exact to rounding only.
    assert [one.cost - one.labour for one in (dear, cheap)] == pytest.approx([80.0, 80.0], rel=1e-14)


def test_limits_of_a_choice_are_those_at_its_slide(many):
    best = survey(PROFILE, many, BAY).best
    expected = limits_at(PROFILE, best.blank.at(PROFILE.x + best.placed.slide), best.allowed)
    assert np.array_equal(best.limits.lower, expected.lower)
    line = best.limits.best_line(best.toward)
    assert (line.lift, line.tilt) == pytest.approx((best.placed.lift, best.placed.tilt), abs=1e-9)


def test_unknown_blank_is_a_key_error(many):
    with pytest.raises(KeyError, match="nowhere"):
        survey(PROFILE, many, BAY).of("nowhere")


def test_empty_rack():
    found = survey(PROFILE, Rack(()), BAY)
    assert (found.choices, found.best) == ((), None)


INTERPRETED = """
import sys; sys.path.insert(0, {path!r})
import lay_cases as cases, numpy as np
from foamwright.bay.bay import Bay
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.survey import survey
rng = np.random.default_rng(11)
board = cases.plain_board()
rack = Rack(tuple(profile_of_blank(cases.random_blank(rng, board, f"B{{n}}")) for n in range(3)))
found = survey(profile_of_board(board, np.linspace(0, board.length, 21)), rack, Bay(), step=0.0508)
for choice in found.choices:
    print(choice.id, choice.fits, choice.lay, choice.grid.tobytes().hex())
"""


def test_interpreted_kernels_give_the_same_bits():
    script = INTERPRETED.format(path=os.path.dirname(cases.__file__))
    said = [
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "FOAMWRIGHT_INTERPRETED": flag},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for flag in ("0", "1")
    ]
    assert said[0] == said[1]
    assert "Lay(" in said[0]


def test_a_blank_without_a_price_makes_minutes_the_order(many):
    known = survey(PROFILE, many, BAY)
    unpriced = [
        replace(b, numbers=replace(b.numbers, price=0.0)) if b.numbers.id == known.best.id else b
        for b in many.blanks
    ]
    found = survey(PROFILE, Rack(tuple(unpriced)), BAY)
    assert (known.order, found.order) == (Order.COST, Order.MINUTES)
    work = [c.work_min for c in found.choices if c.fits and c.numbers.on_hand]
    assert work == sorted(work)


def test_a_long_blank_that_curves_well_does_not_win_a_short_board():
    # 3 ft longer and flatter to plane, and dearer by what 3 ft of foam cost.
    fitting, long = cases.plain_blank(), cases.plain_blank(longer=3.5 * 12 * INCH, price=160.0)
    long = replace(long, numbers=replace(long.numbers, id="long"))
    found = survey(PROFILE, rack_of(fitting, long), BAY)
    assert found.best.id == fitting.numbers.id
    assert found.of("long").wasted - found.best.wasted == pytest.approx(
        long.length - fitting.length, abs=1e-12
    )
