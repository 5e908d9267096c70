"""What each tail form does to the end of the outline."""

from dataclasses import replace

import numpy as np
import pytest

from foamwright.board.numbers import Tail, TailKind
from foamwright.board.outline import Outline, outline_of
from foamwright.units import INCH
from tests.boards import GROYNE, marks

ROUND_WIDTHS = marks((0, 0), (12, 13.5), (64, 12.125), (76, 0))


def outline(kind: TailKind, radius: float = 0.0, depth: float = 0.0) -> Outline:
    pointed = kind in (TailKind.PIN, TailKind.ROUND, TailKind.ROUNDED_PIN)
    widths = ROUND_WIDTHS if pointed else GROYNE.outline
    return outline_of(replace(GROYNE, outline=widths, tail=Tail(kind, radius * INCH, depth * INCH)))


def width(shape: Outline, inches: float) -> float:
    return 2.0 * float(shape.half_width(np.array(inches * INCH))) / INCH


def test_given_widths_are_met() -> None:
    shape = outline(TailKind.SQUARE, 0.75)
    assert [width(shape, x) for x in (12, 39, 64, 76)] == pytest.approx(
        [14.875, 20.375, 12.125, 0.0], abs=1e-12
    )


def test_square_corners_are_a_quarter_circle() -> None:
    sharp, rounded = outline(TailKind.SQUARE), outline(TailKind.SQUARE, 0.75)
    assert width(sharp, 0) == pytest.approx(5.5, abs=1e-12)
    assert width(rounded, 0) == pytest.approx(5.5 - 1.5, abs=1e-12)
    x = 0.3
    fall = 0.75 - np.sqrt(0.75**2 - (0.75 - x) ** 2)
    assert width(sharp, x) - width(rounded, x) == pytest.approx(2 * fall, abs=1e-12)
    assert width(sharp, 0.75) == width(rounded, 0.75)
    assert rounded.panels == (0.0, 0.75 * INCH, 76 * INCH)


def test_a_radius_says_nothing_of_forms_without_corners() -> None:
    assert width(outline(TailKind.DIAMOND, 0.75, 3), 1) == width(outline(TailKind.DIAMOND, 0.0, 3), 1)


def test_squash_is_a_rounded_block() -> None:
    squash = outline(TailKind.SQUASH, 1.25)
    assert width(squash, 0) == pytest.approx(5.5 - 2.5, abs=1e-12)
    assert width(squash, 1.25) > 5.5


@pytest.mark.parametrize("kind", [TailKind.PIN, TailKind.ROUND, TailKind.ROUNDED_PIN])
def test_pointed_tails_have_no_width_at_the_tip(kind: TailKind) -> None:
    assert width(outline(kind), 0) == pytest.approx(0.0, abs=1e-15)


def test_pin_is_slimmer_than_rounded_pin_than_round() -> None:
    near = [width(outline(kind), 1.0) for kind in (TailKind.PIN, TailKind.ROUNDED_PIN, TailKind.ROUND)]
    assert near[0] < near[1] < near[2]


def test_diamond_runs_straight_from_its_corners_to_the_point() -> None:
    diamond = outline(TailKind.DIAMOND, depth=3)
    assert [width(diamond, x) for x in (0, 1, 2, 3)] == pytest.approx([0, 5.5 / 3, 11 / 3, 5.5], abs=1e-9)
    assert 3 * INCH in diamond.panels


def test_swallow_has_two_tips_and_a_notch() -> None:
    swallow = outline(TailKind.SWALLOW, depth=4)
    inner = 2.0 * swallow.inner(np.array([0.0, 2.0, 4.0, 30.0]) * INCH) / INCH
    np.testing.assert_allclose(inner, [5.5, 2.75, 0.0, 0.0], rtol=0, atol=1e-12)
    assert width(swallow, 0) == pytest.approx(5.5, abs=1e-12)
    assert 4 * INCH in swallow.panels
    assert np.all(outline(TailKind.SQUARE).inner(np.linspace(0, 1, 9)) == 0.0)


def test_off_the_board_there_is_no_width() -> None:
    shape = outline(TailKind.SQUARE)
    np.testing.assert_array_equal(shape.half_width(np.array([-0.01, 76.5 * INCH])), 0.0)


def test_slope_is_the_sides() -> None:
    shape, x, step = outline(TailKind.SQUARE), np.array([0.3, 0.9, 1.6]), 1e-5
    slope = (shape.half_width(x + step) - shape.half_width(x - step)) / (2 * step)
    np.testing.assert_allclose(shape.slope(x), slope, rtol=0, atol=1e-7)
