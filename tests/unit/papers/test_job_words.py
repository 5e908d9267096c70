"""What the job sheet prints never asks for a deeper cut than the plan, and says exact numbers exactly."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.papers.job_words import NOTHING, Figures, counted
from foamwright.stages.marks import RackStation
from foamwright.units import INCH, System, Unit, parse_length

SYSTEMS = {System.INCH: Unit.INCH, System.MM: Unit.MM}
lengths = st.floats(NOTHING, 3.2)
figures = st.builds(Figures, st.sampled_from(list(System)), st.sampled_from([8, 16, 32]))
SLACK = 1.0001e-8
"""What lies this close to a mark of the tape counts as on it."""


def read(words, say):
    return parse_length(words, SYSTEMS[say.system])


@given(lengths, figures)
@settings(derandomize=True, max_examples=300)
def test_what_must_remain_is_never_printed_smaller(metres, say):
    for words in (say.at_least(metres), say.width(metres), say.lift(metres)):
        assert read(words, say) >= metres - SLACK


@given(lengths, figures)
@settings(derandomize=True, max_examples=300)
def test_what_is_cut_is_never_printed_larger(metres, say):
    for words in (say.at_most(metres), say.start(metres), say.pencil(metres)):
        assert read(words, say) <= metres + SLACK
    depth = say.depth(metres)
    assert depth == "skim" or read(depth, say) <= metres + SLACK


@given(lengths, figures)
@settings(derandomize=True, max_examples=200)
def test_rounding_costs_less_than_one_step(metres, say):
    step = 1e-4 if say.system is System.MM else INCH / say.fine
    assert read(say.at_least(metres), say) - metres < step
    assert metres - read(say.at_most(metres), say) < step


@pytest.mark.parametrize("noise", [-2e-9, 0.0, 2e-9])
def test_a_number_of_the_sheet_comes_back_as_it_was_written(noise):
    say = Figures(System.INCH, 16)
    assert say.at_least(2.5 * INCH + noise) == "2 1/2"
    assert say.at_most(2.125 * INCH + noise) == "2 1/8"
    assert say.width(20.375 * INCH + noise) == "20 3/8"


def test_small_depths_are_said_in_words():
    say = Figures(System.INCH, 16)
    assert say.depth(0.0) == "0"
    assert say.depth(INCH / 64) == "skim"
    assert say.depth(INCH / 32) == "1/32"
    assert Figures(System.MM).depth(0.0004) == "0.4"


def test_starts_and_widths_in_millimetres_are_whole():
    say = Figures(System.MM)
    assert (say.start(0.0762), say.lift(0.0762), say.width(0.5176)) == ("76", "77", "518")
    assert say.start(0.077) == say.lift(0.077) == "77"


def test_a_pencil_line_closer_than_the_tape_shows_still_has_a_place():
    assert Figures(System.INCH, 16).pencil(0.03 * INCH) == "1/64"


def test_stations_are_named_in_two_parts():
    inch, mm = Figures(System.INCH), Figures(System.MM)
    assert inch.station(RackStation(0.3, "12 from tail")) == ("12", "in from the tail")
    assert mm.station(RackStation(1.6, "300 mm from nose")) == ("300", "mm from the nose")
    assert inch.station(RackStation(0.0, "tail")) == ("", "tail")


def test_boards_and_counts_are_said_as_people_say_them():
    assert Figures(System.INCH).board_length(76 * INCH) == "6'4\""
    assert Figures(System.MM).board_length(76 * INCH) == "1930 mm"
    assert (counted(1, "stop"), counted(4, "stop")) == ("1 stop", "4 stops")
