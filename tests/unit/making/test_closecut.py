"""The close-cut blank holds its board with every allowance, and is no larger than that."""

from dataclasses import replace

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.blank.blank import blank_of
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.blank.sheet import stock_from_text, stock_sheet
from foamwright.errors import InputError
from foamwright.lay.profiles import profile_of_blank, profile_of_board
from foamwright.lay.rack import Rack
from foamwright.lay.survey import survey
from foamwright.making.closecut import CutAllowances, close_cut
from foamwright.making.closecut_numbers import Pricing, refuse_polyurethane
from foamwright.units import INCH, Unit

EPS = Foam(FoamFamily.EPS, 20.0)


def room(cut, board):
    """Foam outside the pre-contour board on both faces, and outside its outline; metres."""
    x = np.linspace(0.0, board.length, 2001)
    lift, at = cut.lay.lift, x + cut.lay.slide
    bottom = board.pre_contour(x) + lift - cut.bottom(at)
    deck = cut.deck(at) - lift - np.max(board.deck_at(x, np.linspace(0, 1, 65)), axis=1)
    side = np.interp(at, cut.stations, cut.half) - board.half_width(x)
    return bottom, deck, side


def test_allowances_are_left_on_both_faces_and_nothing_more(cut, board):
    bottom, deck, _ = room(cut, board)
    # Where the vee outgrows the concave the lowest bottom has a corner (it turns by `turn`). Four rows that
    # are `apart` miss a corner by at most 3/16 turn * apart: the cubic through |x| with its corner midway.
    x = np.linspace(0.0, board.length, 2001)
    slope = np.diff(board.pre_contour(x) - board.rocker(x)) / x[1]
    turns = np.abs(slope[2:] - slope[:-2])
    corner = x[1 + int(np.argmax(turns))]
    row = int(np.searchsorted(cut.stations, corner + cut.lay.slide))
    apart = float(np.max(np.diff(cut.stations[row - 3 : row + 3])))
    near = np.abs(x - corner) < 3.0 * apart
    assert bottom[~near] == pytest.approx(INCH / 16, abs=5e-6)
    assert bottom[near] == pytest.approx(INCH / 16, abs=3 / 16 * float(np.max(turns)) * apart)
    assert np.min(deck) == pytest.approx(INCH / 16, abs=5e-6)


def test_sides_and_tips_are_left(cut, board):
    _, _, side = room(cut, board)
    # The outline is a table read in straight lines; near the blocked tail it turns fastest.
    assert np.min(side) > 0.25 * INCH - 2e-4
    assert cut.length == pytest.approx(board.length + 1.0 * INCH)
    assert cut.width == pytest.approx(board.numbers.wide + 0.5 * INCH, abs=1e-6)


def test_a_round_nose_clears_by_the_tips_allowance_along_the_board(cut, board):
    """Where the outline turns square to the stringer, the allowance is measured along it."""
    edge = np.interp(cut.length - 0.25 * INCH, cut.stations, cut.half)
    assert edge > 0.25 * INCH + board.half_width(board.length - 0.01 * INCH)


def test_the_concave_is_held_back(cut, board):
    """The blank follows the lowest bottom, so its thickness holds the concave's depth too."""
    x = board.length / 2.0
    concave = board.rocker(x) - board.pre_contour(x)
    assert concave > 0.002
    thickness = cut.thickness(np.array([x + cut.lay.slide]))[0]
    assert thickness == pytest.approx(board.thickness(x) + concave + INCH / 8, abs=1e-5)


def test_its_numbers_make_a_fair_blank_that_holds_it(cut, board):
    fair = blank_of(cut.numbers)
    x = np.linspace(0.0, cut.length, 997)
    below, above = cut.bottom(x) - fair.bottom(x), fair.deck(x) - cut.deck(x)
    lift = np.min(below)
    assert np.min(above + lift) > 0.0
    # Between the tail and 12 in from it the contours held back end in a corner. A fair rocker through these
    # two runs below it by what the straight line between them is above the held-back depth.
    inside = np.clip(x - cut.lay.slide, 0.0, board.length)
    held = board.held_back(inside)
    ends = np.array([0.0, 12 * INCH])
    line = np.interp(x, ends, board.held_back(np.clip(ends - cut.lay.slide, 0.0, board.length)))
    unfollowed = np.where(x < ends[1], np.maximum(line - held, 0.0), 0.0)
    assert np.max(below + above - unfollowed) < 0.003


def test_its_numbers_go_through_a_stock_sheet(cut):
    numbers = close_cut(cut.board, EPS, cut.stringer, None, Pricing(55.0, "EUR", 4.0)).numbers
    (read,) = stock_from_text(stock_sheet([numbers], Unit.INCH), "close-cut.stock.toml")
    assert read.price == 55.0
    assert read.lead_time_days == 4.0
    assert [m.value for m in read.rocker] == [m.value for m in numbers.rocker]


def test_the_board_lays_in_it_and_costs_less_work_than_a_stock_blank(cut, board):
    """The exact curves and the written numbers both take the board; a quarter inch thicker is more work."""
    thicker = replace(
        cut.numbers,
        id="thicker",
        thickness=tuple(replace(m, value=m.value + 0.25 * INCH) for m in cut.numbers.thickness),
    )
    blanks = [profile_of_blank(b) for b in (cut, blank_of(cut.numbers), blank_of(thicker))]
    found = survey(profile_of_board(board), Rack(tuple(blanks)), Bay())
    assert [choice.fits for choice in found.choices] == [True, True, True]
    assert found.choices[-1].id == "thicker"


def test_two_halves_and_the_stringer_make_the_width(cut):
    assert 2.0 * cut.halves_width + cut.stringer.width == pytest.approx(cut.width)


def test_volume_is_the_profile_times_the_foam(cut):
    x = np.linspace(0.0, cut.length, 20001)
    area = np.trapezoid(cut.thickness(x), x)
    assert cut.volume == pytest.approx(area * 2.0 * cut.halves_width, rel=1e-4)


def test_a_stringer_as_wide_as_the_blank_is_refused(board):
    with pytest.raises(InputError, match="as wide as the blank"):
        close_cut(board, EPS, Stringer("basswood", 0.7))


def test_negative_allowances_are_refused_all_at_once(board):
    with pytest.raises(InputError, match="allowance, deck") as caught:
        close_cut(board, EPS, Stringer("none", 0.0), CutAllowances(bottom=-0.001, deck=-0.002))
    assert len(caught.value.problems) == 2


def test_polyurethane_is_refused_with_the_reason():
    with pytest.raises(InputError, match="isocyanates"):
        refuse_polyurethane(Foam(FoamFamily.PU, 35.0), "foam")
