import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.brief.kinds import Kind, Waves, pattern_of
from foamwright.brief.law import LAWS
from foamwright.brief.sizing import guessed_volume
from foamwright.sheets.rider import Experience
from foamwright.stocking.demand import (
    Sampled,
    _draft,
    expected_boards,
    sampled_rider,
    size_of,
)
from foamwright.stocking.laying import board_volume
from foamwright.stocking.population import MEN, Population, Taste
from foamwright.units import INCH


def test_more_boards_are_the_same_ones_and_more():
    assert expected_boards(9, 3) == expected_boards(30, 3)[:9]


def test_another_seed_gives_other_boards():
    assert expected_boards(5, 3) != expected_boards(5, 4)


def test_every_expected_board_is_fair():
    for one in expected_boards(60, 11):
        assert board_of(one.board).length == one.board.length


def test_numbers_stand_on_the_tape():
    for one in expected_boards(40, 2):
        for value, mark in ((one.board.length, 1.0), (one.board.wide, 1 / 16), (one.board.thickest, 1 / 32)):
            marks = value / (mark * INCH)
            assert abs(marks - round(marks)) < 1e-6


def test_widths_stay_within_their_kind():
    for one in expected_boards(100, 8):
        kind = Kind(one.kind)
        assert one.board.wide / INCH <= LAWS[pattern_of(kind, Waves.LARGE)].cap + 1.25


def test_boards_have_the_volume_of_the_law():
    who = Population(taste=Taste(volume=0.0))
    missed = []
    for n in range(40):
        dice = np.random.default_rng([7, n])
        rider = sampled_rider(dice, who)
        missed.append(guessed_volume(_draft(dice, rider, who)) / size_of(rider).volume - 1.0)
    assert np.max(np.abs(missed)) < 0.02


def test_a_known_rider_gets_known_litres():
    """Performance, advanced, 75 kg: 29 l; 80 kg: 29 (0.28 + 0.72 80/75)."""
    rider = Sampled(80.0, 1.80, Experience.ADVANCED, Kind.PERFORMANCE, Waves.MEDIUM)
    assert size_of(rider).volume * 1e3 == pytest.approx(29.0 * (0.28 + 0.72 * 80.0 / 75.0))


def test_bodies_have_the_population_s_mean_and_spread():
    who = Population(women=0.0)
    riders = [sampled_rider(np.random.default_rng([1, n]), who) for n in range(4000)]
    tall = np.array([r.stature for r in riders])
    assert tall.mean() == pytest.approx(MEN.stature, abs=4 * MEN.stature_spread / 4000**0.5)
    assert tall.std() == pytest.approx(MEN.stature_spread, rel=0.05)


def test_the_mix_is_what_it_says():
    riders = [sampled_rider(np.random.default_rng([2, n]), Population()) for n in range(4000)]
    share = np.mean([r.experience is Experience.INTERMEDIATE for r in riders])
    assert share == pytest.approx(0.4, abs=0.035)


def test_quick_volume_is_near_the_full_one():
    from foamwright.shape.solid import volume

    for one in expected_boards(7, 1):
        board = board_of(one.board)
        assert board_volume(board) == pytest.approx(volume(board), rel=5e-4)


def test_assumptions_are_said():
    said = " ".join(Population().said())
    assert "ANSUR II" in said
    assert "no source" in said
