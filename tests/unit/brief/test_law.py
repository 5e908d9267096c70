"""The law of sizes: worked numbers, width stiffest, caps, floors, suits, ages."""

from dataclasses import replace

import pytest

from foamwright.brief.kinds import Pattern, Waves
from foamwright.brief.law import LAWS, LITRE_IN, SKILL, is_small, size_for, suit_litres
from foamwright.sheets.rider import AgeGroup, Experience, Lungs, RiderNumbers, Suit, Water
from foamwright.units import INCH

FILL = 0.55


def rider(mass=75.0, stature=1.78, experience=Experience.INTERMEDIATE, age=None, suit=Suit.NONE):
    return RiderNumbers("Mara", mass, stature, experience, Lungs.RESTING, Water(24.0, 35.0), age, suit)


@pytest.mark.parametrize("pattern", [p for p in Pattern if p is not Pattern.CHILD])
def test_the_reference_rider_gets_the_table_s_board(pattern):
    for skill, (length, wide, litres) in SKILL[pattern].items():
        size = size_for(rider(experience=skill), pattern, Waves.MEDIUM, FILL)
        assert size.volume * 1e3 == pytest.approx(litres)
        assert size.length / INCH == pytest.approx(length, abs=0.01)
        assert size.wide / INCH == pytest.approx(wide, abs=0.01)
        thick = litres * LITRE_IN / (FILL * size.length / INCH * size.wide / INCH)
        assert size.thickest / INCH == pytest.approx(min(thick, LAWS[pattern].most))


def test_worked_by_hand_for_120_kg():
    """Performance, intermediate: 33 (0.28 + 0.72 1.6) l; 19.5 1.6^0.18 in wide; 73 + 10.95 ln 1.6 in long."""
    size = size_for(rider(120.0), Pattern.PERFORMANCE, Waves.MEDIUM, 0.545)
    assert size.volume * 1e3 == pytest.approx(47.256, abs=1e-3)
    assert size.wide / INCH == pytest.approx(21.222, abs=1e-2)
    assert size.length / INCH == pytest.approx(78.147, abs=1e-2)


def test_litres_for_each_kilogram_fall_with_the_mass():
    for pattern in (Pattern.LONG_BOARD, Pattern.FISH, Pattern.GUN):
        per_kg = [size_for(rider(m), pattern, Waves.MEDIUM, FILL).volume / m for m in (50, 75, 100, 125)]
        assert per_kg == sorted(per_kg, reverse=True)


def test_width_is_the_stiffest_and_thickness_the_softest():
    for pattern in (Pattern.MID_LENGTH, Pattern.SMALL_WAVE, Pattern.STEP_UP):
        one, other = (size_for(rider(m), pattern, Waves.MEDIUM, FILL) for m in (70.0, 85.0))
        shares = [getattr(other, key) / getattr(one, key) - 1.0 for key in ("wide", "length", "thickest")]
        assert shares[2] == max(shares)
        assert shares[2] > 2.0 * max(shares[:2])


@pytest.mark.parametrize("pattern", Pattern)
def test_no_board_is_wider_or_thicker_than_its_kind(pattern):
    for mass in (20.0, 45.0, 90.0, 140.0, 200.0):
        size = size_for(rider(mass, 1.7), pattern, Waves.SMALL, FILL)
        law = LAWS[pattern]
        assert 16.0 - 1e-9 <= size.wide / INCH <= law.cap + 1e-9
        assert 1.75 - 1e-9 <= size.thickest / INCH <= law.most + 1e-9
        whole = FILL * size.length * size.wide * size.thickest + size.short
        assert whole == pytest.approx(size.volume, rel=1e-9)


def test_short_and_heavy_is_thicker_and_tall_and_light_is_longer():
    usual = size_for(rider(), Pattern.PERFORMANCE, Waves.MEDIUM, FILL)
    heavy = size_for(rider(92.0, 1.68), Pattern.PERFORMANCE, Waves.MEDIUM, FILL)
    light = size_for(rider(68.0, 1.90), Pattern.PERFORMANCE, Waves.MEDIUM, FILL)
    assert heavy.length < usual.length + INCH
    assert heavy.thickest > usual.thickest
    assert heavy.wide > usual.wide
    assert light.length > usual.length
    assert light.volume < usual.volume


def test_a_suit_asks_for_litres_and_they_go_into_thickness():
    bare, worn = (rider(experience=Experience.EXPERT, suit=s) for s in (Suit.NONE, Suit.SIX_FIVE))
    one, other = (size_for(r, Pattern.PERFORMANCE, Waves.MEDIUM, FILL) for r in (bare, worn))
    assert (other.volume - one.volume) * 1e3 == pytest.approx(3.0)
    assert other.wide == one.wide
    assert 0.125 * INCH < other.thickest - one.thickest < 0.3 * INCH
    assert other.length - one.length <= INCH
    assert suit_litres(worn, 60.0) == pytest.approx(1.5)
    assert suit_litres(replace(worn, experience=Experience.BEGINNER), 40.0) == pytest.approx(1.5)


def test_seniors_get_more_litres():
    old = rider(age=AgeGroup.SENIOR)
    short = size_for(old, Pattern.FISH, Waves.MEDIUM, FILL)
    assert short.volume * 1e3 == pytest.approx(37.0 * 1.06)
    assert short.length / INCH == pytest.approx(71.0, abs=0.03)
    assert size_for(old, Pattern.LONG_BOARD, Waves.MEDIUM, FILL).volume * 1e3 == pytest.approx(67.0 * 1.03)


def test_small_waves_want_a_shorter_fuller_flatter_short_board():
    medium, small = (size_for(rider(), Pattern.FISH, w, FILL) for w in (Waves.MEDIUM, Waves.SMALL))
    assert small.volume / medium.volume == pytest.approx(1.03)
    assert (small.wide - medium.wide) / INCH == pytest.approx(0.125)
    assert (medium.length - small.length) / INCH == pytest.approx(0.5)
    assert small.rise < medium.rise


def test_who_is_a_child():
    assert is_small(rider(35.0, 1.42, age=AgeGroup.CHILD))
    assert not is_small(rider(55.0, 1.6, age=AgeGroup.CHILD))
    assert not is_small(rider(45.0, 1.55, age=AgeGroup.TEEN))
    assert is_small(rider(30.0, 1.3))
    assert not is_small(rider(45.0, 1.5))


def test_a_child_s_long_board_is_a_small_one():
    for mass in (20.0, 35.0, 47.0):
        size = size_for(rider(mass, 1.3, age=AgeGroup.CHILD), Pattern.LONG_BOARD, Waves.SMALL, 0.58)
        assert 84.0 <= size.length / INCH <= 102.0
        assert 20.0 <= size.wide / INCH <= 21.5
        assert 34.0 <= size.volume * 1e3 <= 46.0
        assert 2.1 <= size.thickest / INCH <= 2.55
