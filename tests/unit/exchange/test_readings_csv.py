"""Readings by hand: the form, what it asks for, and the board that a filled one describes."""

import numpy as np
import pytest

from foamwright.board.board import board_of
from foamwright.errors import InputError
from foamwright.exchange.fairing import faired
from foamwright.exchange.readings_csv import blank_form, numbers_of_form
from foamwright.exchange.stations_csv import stations_table
from foamwright.exchange.tables import csv_bytes
from foamwright.stages.marks import rack_stations
from foamwright.units import INCH, System, Unit

FILLED = """# a person's notes
station,x_in,width_in,rocker_in,thickness_in
tail,0,5 1/2,2 1/8,5/8
12 from tail,,14 7/8,13/16,1 11/16
centre,,20 3/8,0,2 1/2
12 from nose,,12 1/8,1 15/16,1 1/2
nose,76,0,4 3/4,1/2
wide,39,20 3/8,,
thickest,40,,,2 1/2
low point,,,,
"""


def test_a_filled_form_is_a_fair_board():
    numbers, findings = numbers_of_form(FILLED, "garage.csv")
    board = board_of(numbers)
    assert numbers.name == "garage"
    assert board.length == pytest.approx(76 * INCH)
    assert numbers.low_at == pytest.approx(38 * INCH)
    assert numbers.wide_at == pytest.approx(39 * INCH)
    assert float(board.rocker(board.length)) == pytest.approx(4.75 * INCH, abs=1e-6)
    assert {finding.code for finding in findings} <= {"readings-assumed", "scan-faired"}


@pytest.mark.parametrize("system", System)
def test_a_board_goes_out_as_a_csv_and_in_again(board, system):
    text = csv_bytes(stations_table(board, rack_stations(board.length, system), system)).decode()
    numbers, _ = numbers_of_form(text, "again.csv")
    again = board_of(numbers)
    x = np.linspace(0.02, board.length - 0.02, 101)
    assert again.rocker(x) == pytest.approx(board.rocker(x), abs=0.001)
    assert again.thickness(x) == pytest.approx(board.thickness(x), abs=0.001)
    inner = x[(x > 0.1) & (x < board.length - 0.1)]
    assert again.half_width(inner) == pytest.approx(board.half_width(inner), abs=0.002)


def test_the_form_is_read_as_it_is_written_once_it_is_filled():
    form = blank_form(1.9304, rack_stations(1.9304), Unit.INCH)
    assert form.splitlines()[0].startswith("# Fill in")
    assert "12 from nose,64," in form
    with pytest.raises(InputError, match="too few readings of width"):
        numbers_of_form(form, "empty.csv")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("2 1/8", "two"), "line 3, rocker"),
        (("14 7/8", "14,7/8"), "line 4"),
        (("12 from nose,,", "12 from fin,,"), "line 6"),
        (("nose,76", "nose,"), "where the nose is"),
        (("width_in", "width_mm"), "columns and their unit"),
        (("station,", "place,"), "columns and their unit"),
        ((",0,4 3/4,1/2", ",0,,1/2"), "too few readings of rocker"),
        (("4 3/4", "1/2"), "no fair rocker comes within 5 mm"),
    ],
)
def test_what_cannot_stand_is_told_with_its_line(change, words):
    with pytest.raises(InputError, match=words):
        numbers_of_form(FILLED.replace(*change), "garage.csv")


def test_an_empty_file_is_told_so():
    with pytest.raises(InputError, match="is empty"):
        numbers_of_form("\n# nothing\n", "garage.csv")


def test_fair_numbers_stay_and_noisy_ones_move_a_little(board):
    same, moves = faired(board.numbers)
    assert same == board.numbers
    assert moves == ()
    rough = FILLED.replace("12 from tail,,14 7/8,13/16", "6 from tail,,,1 5/8,\n12 from tail,,14 7/8,13/16")
    numbers, findings = numbers_of_form(rough, "garage.csv")
    board_of(numbers)
    moved = [finding for finding in findings if finding.code == "scan-faired"]
    assert all(finding.measured < 0.005 for finding in moved)


TAILS = (
    "tail_form = squash\n# tail_width = 5 1/2 in\n# tail_corner = 0 in",
    "tail_form = swallow\n# tail_width = 7 in\n# tail_depth = 3 in",
    "tail_form = diamond\n# tail_width = 120 mm\n# tail_depth = 50 mm",
    "tail_form = square, rounded corners\n# tail_width = 5 1/2 in",
)


@pytest.mark.parametrize("lines", TAILS)
def test_a_tail_that_is_said_goes_out_and_in_again(lines):
    numbers, findings = numbers_of_form(f"{FILLED}# {lines}\n", "garage.csv")
    assert not any(finding.where == "tail" for finding in findings)
    board = board_of(numbers)
    text = csv_bytes(stations_table(board, rack_stations(board.length, System.INCH), System.INCH)).decode()
    again, _ = numbers_of_form(text, "again.csv")
    assert again.tail.kind is numbers.tail.kind
    assert again.tail.corner_radius == pytest.approx(numbers.tail.corner_radius, abs=1e-6)
    assert again.tail.depth == pytest.approx(numbers.tail.depth, abs=1e-6)
    assert again.outline[0].value == pytest.approx(numbers.outline[0].value, abs=1e-6)


def test_a_tail_that_nobody_said_is_told():
    _, findings = numbers_of_form(FILLED, "garage.csv")
    (told,) = [finding for finding in findings if finding.where == "tail"]
    assert "square block" in told.sentence
    assert "# tail_form = squash" in told.remedy


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ("# tail_form = fishy", "line 11: .* is not a tail form"),
        ("# tail_form = swallow", "line 11: a swallow tail has a depth"),
        ("# tail_form = squash\n# tail_corner = much", "line 12"),
    ],
)
def test_a_tail_that_cannot_be_is_told(lines, words):
    with pytest.raises(InputError, match=words):
        numbers_of_form(f"{FILLED}{lines}\n", "garage.csv")
