"""Direction of planing along the stringer."""

import numpy as np
import pytest

from foamwright.blank.numbers import Face
from foamwright.cuts.grain import find_against_grain, plan_directions
from foamwright.cuts.run import End

X = np.linspace(0.0, 2.0, 401)
ROCKER = 0.05 * (X - 0.8) ** 2


def towards(directions):
    return [one.towards for one in directions.ranges]


def test_bottom_is_planed_from_the_apex_to_both_tips():
    directions = plan_directions(Face.BOTTOM, X, ROCKER)
    assert towards(directions) == [End.TAIL, None, End.NOSE]
    assert directions.turns == pytest.approx((0.8,), abs=1e-9)


def test_flipped_deck_is_planed_from_both_tips_to_its_lowest_place():
    directions = plan_directions(Face.DECK, X, 0.06 + ROCKER)
    assert towards(directions) == [End.NOSE, None, End.TAIL]


def test_sloping_fibres_move_the_turning_station():
    # Slope of the bottom is 0.1 (x - 0.8); it equals a fibre slope of 0.02 at x = 1.
    directions = plan_directions(Face.BOTTOM, X, ROCKER, fibre_slope=0.02)
    assert directions.turns == pytest.approx((1.0,), abs=1e-9)


def test_turning_the_board_end_for_end_turns_the_directions():
    there = plan_directions(Face.DECK, X, ROCKER, fibre_slope=0.03)
    back = plan_directions(Face.DECK, X, ROCKER[::-1], fibre_slope=-0.03)
    swap = {End.NOSE: End.TAIL, End.TAIL: End.NOSE, None: None}
    assert towards(back) == [swap[one] for one in reversed(towards(there))]
    assert back.turns == pytest.approx([2.0 - turn for turn in reversed(there.turns)])


def test_flat_face_along_the_fibres_may_go_either_way():
    directions = plan_directions(Face.DECK, X, 0.001 * X)
    assert towards(directions) == [None]
    assert directions.turns == ()


def test_run_offs_on_the_bottom_go_with_the_fibres_and_on_a_flipped_deck_against_them():
    bottom = plan_directions(Face.BOTTOM, X, ROCKER)
    assert find_against_grain(bottom, End.NOSE, 0.8) == ()
    assert find_against_grain(bottom, End.TAIL, 0.8) == ()
    deck = plan_directions(Face.DECK, X, 0.06 + ROCKER)
    (finding,) = find_against_grain(deck, End.NOSE, 0.8)
    assert finding.code == "grain-against"
    assert finding.measured == pytest.approx(np.arctan(0.12), rel=1e-3)
    assert "towards the tail" in finding.remedy
    assert "35 to 79 in from the tail" in finding.where


def test_ranges_cover_the_face_without_gaps():
    ranges = plan_directions(Face.DECK, X, np.sin(3.0 * X) / 20).ranges
    assert ranges[0].begin == 0.0
    assert ranges[-1].end == 2.0
    assert [one.end for one in ranges[:-1]] == [one.begin for one in ranges[1:]]
    assert plan_directions(Face.DECK, X, ROCKER).as_json()["ranges"][0]["towards"] == "nose"


def test_a_note_tells_the_angle_of_its_own_stretch_not_of_the_whole_range():
    # The fibres rise as the face does at x = 2, so the angle falls from there: 0.1 (x - 2).
    deck = plan_directions(Face.DECK, X, ROCKER, fibre_slope=0.12)
    (whole,) = deck.against(End.TAIL, 2.0) or deck.against(End.NOSE, 0.0)
    end = End.NOSE if whole.towards is End.TAIL else End.TAIL
    (late,) = deck.against(end, 1.5)
    assert whole.steepest == pytest.approx(np.arctan(0.2), rel=1e-2)
    assert late.steepest == pytest.approx(np.arctan(0.05 if end is End.NOSE else 0.2), rel=2e-2)


def test_less_than_an_inch_against_the_fibres_is_no_note():
    deck = plan_directions(Face.DECK, X, 0.06 + ROCKER)
    assert deck.against(End.NOSE, 1.98) == ()
