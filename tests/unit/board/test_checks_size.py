"""A board far out of the usual size is told so, on either side; at the limits nothing is."""

from dataclasses import replace

import pytest

from foamwright.board.board import board_of
from foamwright.board.checks import check_board
from foamwright.findings import Severity
from foamwright.units import INCH
from tests.boards import GROYNE, marks

CODES = {"width-excess", "width-low", "thickness-excess", "thickness-low"}


def codes(numbers):
    return {f.code: f for f in check_board(board_of(numbers)) if f.code in CODES}


def wide(inches):
    factor = inches * INCH / GROYNE.wide
    outline = tuple(replace(mark, value=mark.value * factor) for mark in GROYNE.outline)
    return replace(GROYNE, wide=inches * INCH, outline=outline)


def thick(inches):
    factor = inches * INCH / GROYNE.thickest
    foil = tuple(replace(mark, value=mark.value * factor) for mark in GROYNE.thickness)
    return replace(GROYNE, thickest=inches * INCH, thickness=foil)


@pytest.mark.parametrize(
    ("numbers", "code", "severity"),
    [
        (wide(25.5), "width-excess", Severity.WARNING),
        (wide(14.5), "width-low", Severity.NOTE),
        (thick(4.25), "thickness-excess", Severity.WARNING),
        (thick(1.375), "thickness-low", Severity.NOTE),
    ],
)
def test_a_size_that_hardly_any_board_has_is_told(numbers, code, severity):
    found = codes(numbers)
    assert set(found) == {code}
    assert found[code].severity is severity
    assert " in" in found[code].sentence
    assert found[code].remedy


@pytest.mark.parametrize("numbers", [GROYNE, wide(25), wide(15), thick(4), thick(1.5)])
def test_at_the_limit_nothing_is_told(numbers):
    assert not codes(numbers)


def test_a_long_board_may_be_thicker():
    long = replace(
        GROYNE,
        length=122 * INCH,
        outline=marks((0, 4), (12, 15), (110, 17), (122, 0)),
        wide=24 * INCH,
        wide_at=62 * INCH,
        rocker=marks((0, 2), (12, 1), (110, 1.3), (122, 3)),
        thickness=marks((0, 0.75), (12, 2.4), (110, 2.3), (122, 0.625)),
        thickest=4.5 * INCH,
        thickest_at=63 * INCH,
        rails=GROYNE.rails[:1],
        bottom=(),
    )
    assert "thickness-excess" not in codes(replace(long, bottom=GROYNE.bottom[:1]))
