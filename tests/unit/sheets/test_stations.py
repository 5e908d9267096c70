"""Stations as people name them."""

import math

import pytest

from foamwright.errors import InputError
from foamwright.sheets.stations import keeps_name, name_station, parse_station
from foamwright.units import BareNumberError, Unit

LENGTH = 1.9304  # 6'4"


@pytest.mark.parametrize(
    ("text", "x"),
    [
        ("tail", 0.0),
        ("nose", LENGTH),
        ("Centre", 0.9652),
        ("center", 0.9652),
        ("12 from tail", 0.3048),
        ("12  from  the tail", 0.3048),
        ("12 from nose", 1.6256),
        ("12 in from tail", 0.3048),
        ("300 mm from tail", 0.3),
        ("2' from tail", 0.6096),
        ("1 1/2 from tail", 0.0381),
        ("2 forward of centre", 1.016),
        ("3 aft of center", 0.889),
        ("0 from tail", 0.0),
        ("76 from tail", LENGTH),
    ],
)
def test_stations(text: str, x: float) -> None:
    assert parse_station(text, LENGTH, Unit.INCH) == x


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not a station"),
        ("wide", "not a station"),
        ("12", "not a station"),
        ("12 from tial", "Did you mean “from tail”"),
        ("12 form tail", "Did you mean “from tail”"),
        ("12 from deck", "not a station"),
        ("12 forward of nose", "not a station"),
        ("2 from centre", "does not say which way"),
        ("-2 from tail", "distance below zero"),
        ("soon from tail", "not a length"),
        ("77 from tail", r"1 in \(25\.4 mm\) beyond the nose"),
        ("77 from nose", r"1 in \(25\.4 mm\) beyond the tail"),
        ("40 aft of centre", "beyond the tail"),
    ],
)
def test_what_is_no_station_says_why(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_station(text, LENGTH, Unit.INCH)


def test_a_bare_station_needs_a_unit() -> None:
    with pytest.raises(BareNumberError, match="has no unit"):
        parse_station("12 from tail", LENGTH, None)


def test_a_board_of_unknown_length_has_its_tail_all_the_same() -> None:
    assert parse_station("12 from tail", math.nan, Unit.INCH) == 0.3048
    assert math.isnan(parse_station("12 from nose", math.nan, Unit.INCH))


@pytest.mark.parametrize(
    ("x", "unit", "name"),
    [
        (0.0, Unit.INCH, "tail"),
        (LENGTH, Unit.MM, "nose"),
        (0.9652, Unit.INCH, "centre"),
        (0.3048, Unit.INCH, "12 from tail"),
        (1.6256, Unit.INCH, "12 from nose"),
        (1.016, Unit.INCH, "2 forward of centre"),
        (0.889, Unit.INCH, "3 aft of centre"),
        (0.3, Unit.MM, "300 from tail"),
    ],
)
def test_places_get_the_name_that_a_person_would_use(x: float, unit: Unit, name: str) -> None:
    assert name_station(x, LENGTH, unit) == name
    assert parse_station(name, LENGTH, unit) == x


def test_a_name_is_kept_only_where_it_means_the_same_place() -> None:
    assert keeps_name("12 from tail", 0.3048, LENGTH, Unit.INCH)
    assert not keeps_name("12 from tail", 0.3048, LENGTH, Unit.MM)
    assert not keeps_name("", 0.3048, LENGTH, Unit.MM)
