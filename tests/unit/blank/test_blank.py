"""Blanks made solid."""

from dataclasses import replace

import numpy as np
import pytest

from foamwright.blank.blank import blank_of
from foamwright.blank.numbers import BlankNumbers, Section
from foamwright.errors import InputError
from foamwright.stations import Mark
from foamwright.units import INCH, System
from tests.boards import marks
from tests.trade import random_blank


def first(section: Section) -> BlankNumbers:
    return next(b for b in map(random_blank, range(50)) if b.section is section)


SQUARE, DOMED = first(Section.SQUARE), first(Section.DOMED)


def test_square_is_even_and_flat() -> None:
    blank = blank_of(SQUARE)
    x = np.linspace(0.0, blank.length, 101)
    np.testing.assert_array_equal(blank.thickness(x), SQUARE.thickness[0].value)
    np.testing.assert_array_equal(blank.half_width(x), SQUARE.outline[0].value / 2.0)
    np.testing.assert_array_equal(blank.dome(x), 0.0)
    np.testing.assert_allclose(blank.deck(x), blank.bottom(x) + SQUARE.thickness[0].value, rtol=1e-15)


@pytest.mark.parametrize("numbers", [SQUARE, DOMED])
def test_given_numbers_are_met(numbers: BlankNumbers) -> None:
    blank = blank_of(numbers)
    for given, curve, factor in (
        (numbers.rocker, blank.bottom, 1.0),
        (numbers.thickness, blank.thickness, 1.0),
        (numbers.outline, blank.half_width, 2.0),
    ):
        assert max(abs(factor * float(curve(m.x)) - m.value) for m in given) < 1e-12


def test_rocker_hangs_free_of_hollows() -> None:
    blank = blank_of(DOMED)
    x = np.linspace(0.0, blank.length, 2001)
    assert np.min(blank.bottom(x)) == pytest.approx(0.0, abs=1e-7)
    assert np.min(blank.rocker_curve(x, 2)) >= 0.0


def test_dome_leaves_the_given_share_at_the_edge() -> None:
    blank = blank_of(DOMED)
    for mark in DOMED.dome:
        half = float(blank.half_width(mark.x))
        edge = float(blank.thickness(mark.x)) - float(blank.dome(mark.x)) * half**2
        assert edge / float(blank.thickness(mark.x)) == pytest.approx(mark.value, abs=1e-12)


def test_off_the_blank_there_is_no_width() -> None:
    blank = blank_of(SQUARE)
    np.testing.assert_array_equal(blank.half_width([-0.01, blank.length + 0.01]), 0.0)


def test_a_tapered_blank_needs_no_thickest_point() -> None:
    taper = replace(
        SQUARE, thickness=(Mark(0.0, 0.06, "tail"), Mark(1.0, 0.065, "x"), Mark(SQUARE.length, 0.07, "nose"))
    )
    x = np.linspace(0.0, SQUARE.length, 50)
    assert np.all(np.diff(blank_of(taper).thickness(x)) > 0.0)


def test_a_straight_taper_is_straight() -> None:
    taper = replace(SQUARE, thickness=(Mark(0.0, 0.06, "tail"), Mark(SQUARE.length, 0.07, "nose")))
    middle = float(blank_of(taper).thickness(SQUARE.length / 2))
    assert middle == pytest.approx(0.065, abs=1e-12)


def test_unfair_numbers_are_told() -> None:
    spoilt = replace(SQUARE, length=76 * INCH, rocker=marks((0, 2), (12, 1.9), (64, 1.9), (76, 4.75)))
    with pytest.raises(
        InputError, match=r"blank trade-like \d+, \[rocker\] 12 from tail: is 1 29/32 in, but"
    ):
        blank_of(spoilt)
    with pytest.raises(InputError, match=r"is 48\.3 mm, but"):
        blank_of(spoilt, System.MM)
