"""Fin boxes: corners by hand, foam above them, and the thickening that mends what is too thin."""

from dataclasses import replace
from math import cos, radians, sin

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.board.numbers import FinMark
from foamwright.errors import InputError
from foamwright.finish.boxes import box_fits
from foamwright.finish.finished import check_finished, finish_board
from foamwright.units import System

BOX = FinMark("left", 0.25, 0.12, radians(3), radians(6), 0.114, 0.0254, 0.0127, 0.00635)


def with_fins(numbers, *fins):
    return board_of(replace(numbers, fins=fins))


def test_front_end_turns_towards_the_stringer(numbers):
    (fit,) = box_fits(with_fins(numbers, BOX))
    assert fit.front == pytest.approx((0.25 + 0.114 * cos(radians(3)), 0.12 - 0.114 * sin(radians(3))))
    rims = np.array([corner.rim for corner in fit.corners])
    assert np.linalg.norm(rims[1] - rims[0]) == pytest.approx(0.0254 * cos(radians(6)))
    assert np.linalg.norm(rims[2] - rims[0]) == pytest.approx(0.114)
    assert (rims[1] - rims[0]) @ (rims[2] - rims[0]) == pytest.approx(0.0, abs=1e-15)


def test_deep_end_leans_to_the_stringer_under_cant(numbers):
    (fit,) = box_fits(with_fins(numbers, replace(BOX, toe=0.0)))
    corner = fit.corners[0]
    assert corner.rim[1] - corner.floor[1] == pytest.approx(0.0127 * sin(radians(6)))
    bottom = float(fit_board_bottom(numbers, corner.rim))
    assert corner.floor[2] - bottom == pytest.approx(0.0127 * cos(radians(6)))


def fit_board_bottom(numbers, rim):
    board = board_of(numbers)
    return board.bottom(np.array([rim[0]]), np.array([[rim[1]]]))[0, 0]


def test_sides_are_alike(numbers):
    left, right = box_fits(with_fins(numbers, BOX, replace(BOX, name="right", y=-0.12)))
    assert right.spare == pytest.approx(left.spare)
    assert right.worst.rim == pytest.approx((left.worst.rim[0], -left.worst.rim[1]))


def test_smallest_thickening_is_enough_and_no_more(numbers):
    deep = replace(BOX, x=0.12, y=0.1, box_depth=0.03)
    (fit,) = box_fits(with_fins(numbers, deep))
    assert fit.spare < 0.0
    for share, enough in ((1.0 + 1e-6, True), (0.999, False)):
        by = share * fit.thicken
        thicker = replace(
            numbers,
            thickness=tuple(replace(mark, value=mark.value + by) for mark in numbers.thickness),
            thickest=numbers.thickest + by,
        )
        (mended,) = box_fits(with_fins(thicker, deep))
        assert (mended.spare >= -1e-9) is enough


def test_too_little_foam_is_a_finding_with_its_corner(numbers, shop):
    deep = replace(BOX, x=0.12, y=0.1, box_depth=0.03)
    finished = finish_board(with_fins(numbers, deep), shop)
    findings = {f.code: f for f in check_finished(finished, System.MM)}
    thin = findings["finish-box-thin"]
    assert "corner of the left box" in thin.sentence
    assert thin.measured == pytest.approx(finished.boxes[0].worst.above)
    assert f"{finished.boxes[0].thicken * 1000:.0f}." in thin.remedy or "thicker" in thin.remedy


@pytest.mark.parametrize(
    ("fin", "words"),
    [
        (replace(BOX, y=0.20), r"left: its (rear|front) outer corner lies .* outside the outline"),
        (replace(BOX, x=-0.02, y=0.0, toe=0.0), r"its rear \w+ corner lies 20\.0 mm outside the outline"),
    ],
)
def test_box_outside_the_outline_is_wrong_input(numbers, fin, words):
    with pytest.raises(InputError, match=words):
        box_fits(with_fins(numbers, fin), System.MM)


def test_every_box_outside_is_told(numbers):
    with pytest.raises(InputError) as caught:
        box_fits(with_fins(numbers, replace(BOX, y=0.3), replace(BOX, name="right", y=-0.3)))
    assert len(caught.value.problems) == 2
