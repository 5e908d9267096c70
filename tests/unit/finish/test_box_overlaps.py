"""Fin boxes in each other's way: found on one side, across the stringer, at their deep ends; names."""

from dataclasses import replace
from math import cos, radians, sin

import pytest

from foamwright.board.board import board_of
from foamwright.board.fin_layouts import Layout, usual_fins
from foamwright.board.numbers import FinMark
from foamwright.findings import Severity
from foamwright.finish.box_overlaps import check_apart, overlap
from foamwright.finish.boxes import box_fits
from foamwright.finish.finished import check_boxes
from foamwright.stations import Mark
from foamwright.units import System

BOX = FinMark("left", 0.25, 0.12, 0.0, 0.0, 0.1, 0.02, 0.0127, 0.00635)


def fits(numbers, *fins):
    return box_fits(board_of(replace(numbers, fins=fins)))


@pytest.mark.parametrize(
    ("along", "across", "by"),
    [(0.0, 0.015, 0.005), (0.09, 0.0, 0.01), (0.08, 0.015, 0.005), (0.1, 0.0, 0.0), (0.0, 0.03, -0.01)],
)
def test_the_overlap_of_square_boxes_is_that_of_their_sides(numbers, along, across, by):
    other = replace(BOX, name="other", x=BOX.x + along, y=BOX.y - across)
    one, two = fits(numbers, BOX, other)
    assert overlap(one, two) == pytest.approx(by, abs=1e-12)
    assert overlap(two, one) == pytest.approx(by, abs=1e-12)
    codes = [finding.code for finding in check_apart((one, two), System.MM)]
    assert codes == (["finish-box-overlap"] if by > 0.0 else [])


def test_boxes_that_meet_across_the_stringer_overlap(numbers):
    one, two = fits(numbers, replace(BOX, y=0.008), replace(BOX, name="right", y=-0.008))
    assert overlap(one, two) == pytest.approx(0.004)
    (finding,) = check_apart((one, two), System.MM)
    assert finding.severity is Severity.STOP
    assert "left and right overlap by 4.0 mm" in finding.sentence


def test_boxes_that_lean_together_overlap_at_their_deep_ends(numbers):
    leaning = replace(BOX, y=0.0105, cant=radians(10))
    one, two = fits(numbers, leaning, replace(leaning, name="right", y=-0.0105))
    assert overlap(one, two) == pytest.approx(
        2.0 * (0.01 * cos(radians(10)) + 0.0127 * sin(radians(10)) - 0.0105)
    )
    straight = replace(BOX, y=0.0105)
    assert overlap(*fits(numbers, straight, replace(straight, y=-0.0105))) < 0.0


@pytest.mark.parametrize("layout", list(Layout))
def test_no_usual_layout_is_in_its_own_way(numbers, layout):
    wide = Mark(numbers.wide_at, numbers.wide, "wide")
    widths = sorted([*numbers.outline, wide], key=lambda mark: mark.x)
    assert check_apart(fits(numbers, *usual_fins(layout, widths)), System.INCH) == ()


def test_two_boxes_of_one_name_are_told(numbers):
    (finding,) = check_apart(fits(numbers, BOX, replace(BOX, name="Left ", y=-0.12)), System.MM)
    assert (finding.code, finding.measured) == ("finish-box-name", 2.0)


@pytest.mark.parametrize(("depth", "severity"), [(0.018, Severity.WARNING), (0.2, Severity.STOP)])
def test_a_box_through_the_deck_stops(numbers, depth, severity):
    fin = replace(BOX, x=0.12, y=0.1, box_depth=depth)
    (finding,) = check_boxes(fits(numbers, fin), System.MM)
    assert (finding.code, finding.severity) == ("finish-box-thin", severity)
    assert ("comes through the deck" in finding.sentence) is (severity is Severity.STOP)
