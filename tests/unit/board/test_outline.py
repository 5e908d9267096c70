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


def test_square_corners_touch_the_end_and_the_side() -> None:
    sharp, rounded = outline(TailKind.SQUARE), outline(TailKind.SQUARE, 0.75)
    assert width(sharp, 0) == pytest.approx(5.5, abs=1e-12)
    assert rounded.panels[0] == 0.0
    touch = rounded.panels[1]
    assert float(rounded.half_width(np.array(touch))) == pytest.approx(
        float(sharp.half_width(np.array(touch))), abs=1e-12
    )
    # A circle through the touching points, found from three of its own points, has the radius and is tangent.
    x = np.array([0.05, 0.15, 0.3]) * INCH
    y = rounded.half_width(x)
    matrix = np.column_stack([2 * x, 2 * y, np.ones(3)])
    cx, cy, c = np.linalg.solve(matrix, x**2 + y**2)
    assert np.sqrt(c + cx**2 + cy**2) == pytest.approx(0.75 * INCH, rel=1e-9)
    assert cx == pytest.approx(0.75 * INCH, rel=1e-9)
    assert (touch - cx) + (rounded.half_width(np.array(touch)) - cy) * rounded.slope(
        np.array(touch)
    ) == pytest.approx(0.0, abs=1e-9)


def test_corners_of_a_squash_lie_forward_by_its_bow() -> None:
    squash = outline_of(replace(GROYNE, tail=Tail(TailKind.SQUASH, bow=0.375 * INCH)))
    assert width(squash, 0) == 0.0
    assert width(squash, 0.375) == pytest.approx(5.5, abs=1e-12)
    radius = (2.75**2 + 0.375**2) / 0.75
    assert width(squash, 0.2) == pytest.approx(2 * np.sqrt(2 * radius * 0.2 - 0.04), abs=1e-9)


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


def test_swallow_has_two_tips_with_a_flat_and_a_crack_with_a_round_foot() -> None:
    tail = Tail(TailKind.SWALLOW, depth=4 * INCH, tip_width=0.75 * INCH)
    swallow = outline_of(replace(GROYNE, tail=tail))
    inner = swallow.inner(np.array([0.0, 2.0, 4.0, 30.0]) * INCH) / INCH
    np.testing.assert_allclose(inner, [2.0, 1.0, 0.0, 0.0], rtol=0, atol=1e-12)
    assert width(swallow, 0) == pytest.approx(5.5, abs=1e-12)
    # The circle of 3/8 in touches both sides: its centre lies r / sin(half angle) from the crack's point.
    centre = 4.0 - 0.375 / np.sin(np.arctan(0.5))
    assert swallow.foot == pytest.approx((centre + 0.375) * INCH, abs=1e-9)
    assert np.all(outline(TailKind.SQUARE).inner(np.linspace(0, 1, 9)) == 0.0)


def test_a_bat_has_three_points() -> None:
    bat = outline_of(replace(GROYNE, tail=Tail(TailKind.BAT, depth=0.75 * INCH, point=0.25 * INCH)))
    at = np.array([0.0, 0.1, 0.3, 0.5, 1.2]) * INCH
    assert list(bat.core(at)[:2]) == [0.0, 0.0]
    assert np.all(bat.core(at)[2:4] > 0.0)
    assert np.all(bat.inner(at)[:4] > bat.core(at)[:4])
    assert bat.inner(at)[4] == bat.core(at)[4] == 0.0


def test_off_the_board_there_is_no_width() -> None:
    shape = outline(TailKind.SQUARE)
    np.testing.assert_array_equal(shape.half_width(np.array([-0.01, 76.5 * INCH])), 0.0)


def test_slope_is_the_sides() -> None:
    shape, x, step = outline(TailKind.SQUARE), np.array([0.3, 0.9, 1.6]), 1e-5
    slope = (shape.half_width(x + step) - shape.half_width(x - step)) / (2 * step)
    np.testing.assert_allclose(shape.slope(x), slope, rtol=0, atol=1e-7)
