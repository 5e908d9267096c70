"""Reading and printing lengths and masses."""

import math
from datetime import date

import pytest

from foamwright.errors import InputError
from foamwright.units import (
    INCH,
    BareNumberError,
    Rounding,
    System,
    Unit,
    format_feet,
    format_length,
    format_with_unit,
    parse_length,
    parse_mass,
    quoted,
    settled,
    write_length,
)

SIX_TWO = 1.8796
TWO_THREE_QUARTERS = 0.06985


@pytest.mark.parametrize(
    ("written", "metres"),
    [
        ("6'2\"", SIX_TWO),
        ("6' 2\"", SIX_TWO),
        ("6'2", SIX_TWO),
        ("6'-2\"", SIX_TWO),
        ("6 ft 2 in", SIX_TWO),
        ("6 FT 2 IN", SIX_TWO),
        ("74 in", SIX_TWO),
        ("187.96 cm", SIX_TWO),
        ("6’2”", SIX_TWO),
        ("6′ 2″", SIX_TWO),
        ("6''", 0.1524),
        ("6' 2 1/4\"", 1.88595),
        ("6' 2¼\"", 1.88595),
        ("6'2.25\"", 1.88595),
        ("6'", 1.8288),
        ("6.5 ft", 1.9812),
        ("1880 mm", 1.88),
        ("2-3/4 in", TWO_THREE_QUARTERS),
        ("2 3/4 in", TWO_THREE_QUARTERS),
        ('2 3/4"', TWO_THREE_QUARTERS),
        ("2¾ in", TWO_THREE_QUARTERS),
        ("2\u00a03⁄4 inches", TWO_THREE_QUARTERS),
        ("11/4 in", TWO_THREE_QUARTERS),
        ("¾ in", 0.01905),
        (".75 in", 0.01905),
        ("70 mm", 0.07),
        ("7 cm", 0.07),
        ("1.2 m", 1.2),
        ("1.2 metres", 1.2),
        ("0 in", 0.0),
        ("-3/8 in", -0.009525),
        ("−3/8 in", -0.009525),
    ],
)
def test_lengths_as_people_write_them(written: str, metres: float) -> None:
    assert parse_length(written) == metres


@pytest.mark.parametrize("written", [2.75, "2.75", "2 3/4", "2-3/4", "2¾"])
def test_a_bare_number_has_the_declared_unit(written: object) -> None:
    assert parse_length(written, Unit.INCH) == TWO_THREE_QUARTERS


def test_a_bare_float_means_what_was_typed() -> None:
    # 1.09 * 0.0254 as floats is one bit off 1.09 in.
    assert parse_length(1.09, Unit.INCH) == parse_length("1.09 in") == 0.027686
    assert 1.09 * INCH != 0.027686


@pytest.mark.parametrize("written", [2.75, 3, "2 3/4", "0"])
def test_a_bare_number_without_a_unit_is_no_guess(written: object) -> None:
    with pytest.raises(BareNumberError, match="has no unit"):
        parse_length(written)


@pytest.mark.parametrize(
    ("written", "what"),
    [
        ("", "nothing where a length"),
        ("   ", "nothing where a length"),
        ("abc", "not a length"),
        ("nan", "not a length"),
        ("inf in", "not a length"),
        ("1e3 in", "not a length"),
        ("1_000 in", "not a length"),
        ("٣ in", "not a length"),
        ("-", "not a length"),
        ("--2 in", "not a length"),
        ("2 -3/4 in", "not a length"),
        ("6 2 1/4 in", "not a length"),
        ("6'2 mm", "not a length"),
        ("6 furlongs", "not a length"),
        ("5" * 61, "not a length"),
        ("187,5 mm", "point, like 187.5 mm"),
        ("6-2", "dash between two whole numbers"),
        ("2 5/4 in", "less than one"),
        ("1/0 in", "divides by zero"),
        ("6'14\"", "less than 12"),
        ("2000 m", "slip of the pen"),
        (True, "not a length"),
        (None, "not a length"),
        ([1], "not a length"),
        (math.nan, "not a length"),
        (-math.inf, "not a length"),
        (1e308, "slip of the pen"),
        pytest.param(10**5000, "slip of the pen", id="5001 digits"),
    ],
)
def test_what_is_no_length_says_why(written: object, what: str) -> None:
    with pytest.raises(InputError, match=what) as caught:
        parse_length(written, Unit.INCH, "line 3")
    assert caught.value.problems[0].where == "line 3"
    assert not isinstance(caught.value, BareNumberError)


@pytest.mark.parametrize(
    ("metres", "inches", "millimetres"),
    [
        (TWO_THREE_QUARTERS, "2 3/4", "69.9"),
        (0.0, "0", "0.0"),
        (0.01905, "3/4", "19.1"),
        (SIX_TWO, "74", "1879.6"),
        (-TWO_THREE_QUARTERS, "-2 3/4", "-69.8"),
    ],
)
def test_lengths_as_people_read_them(metres: float, inches: str, millimetres: str) -> None:
    assert format_length(metres, System.INCH) == inches
    assert format_length(metres, System.MM) == millimetres


def test_rounding_to_the_safe_side() -> None:
    x = 0.0700
    assert format_length(x, System.INCH) == "2 3/4"
    assert format_length(x, System.INCH, 16, Rounding.UP) == "2 13/16"
    assert format_length(x, System.INCH, 32, Rounding.UP) == "2 25/32"
    assert format_length(x, System.INCH, 16, Rounding.DOWN) == "2 3/4"
    assert format_length(-x, System.INCH, 16, Rounding.DOWN) == "-2 13/16"
    assert format_length(0.06999, System.MM, rounding=Rounding.DOWN) == "69.9"
    assert format_length(0.06999, System.MM, rounding=Rounding.UP) == "70.0"


def test_a_float_beside_the_mark_is_not_the_mark() -> None:
    beside = math.nextafter(TWO_THREE_QUARTERS, 0)
    assert format_length(beside, System.INCH, 16, Rounding.DOWN) == "2 11/16"
    assert format_length(settled(beside, System.INCH), System.INCH, 16, Rounding.DOWN) == "2 3/4"
    assert settled(0.07, System.INCH) == 0.07
    assert settled(0.0699 + 1e-12, System.MM) == 0.0699


def test_feet_and_inches() -> None:
    assert format_feet(SIX_TWO) == "6'2\""
    assert format_feet(1.88595) == "6'2 1/4\""
    assert format_feet(0.3) == '11 13/16"'
    assert format_feet(1.8288) == "6'0\""
    assert format_feet(-SIX_TWO) == "-6'2\""
    assert format_feet(1.88, 16, Rounding.UP) == "6'2 1/16\""


def test_lengths_with_their_unit() -> None:
    assert format_with_unit(TWO_THREE_QUARTERS, System.INCH) == "2 3/4 in"
    assert format_with_unit(0.07, System.MM) == "70.0 mm"


def test_lengths_for_sheets() -> None:
    assert write_length(TWO_THREE_QUARTERS, Unit.INCH) == "2 3/4"
    assert write_length(TWO_THREE_QUARTERS, Unit.MM) == "69.85"
    assert write_length(0.02159, Unit.INCH) == "0.85"
    assert write_length(-0.07, Unit.CM) == "-7"
    assert write_length(0.0, Unit.MM) == "0"


def test_a_number_that_is_none_cannot_be_printed() -> None:
    with pytest.raises(ValueError, match="nan"):
        format_length(math.nan, System.INCH)


@pytest.mark.parametrize(
    ("written", "kilograms"),
    [
        ("82 kg", 82.0),
        ("82.5kg", 82.5),
        ("181 lb", 82.10021897),
        ("181 lbs", 82.10021897),
        ("12 st 4 lb", 78.01788764),
        ("12 st 4", 78.01788764),
        ("12 stone", 76.20351816),
        ("1/2 kg", 0.5),
    ],
)
def test_masses_as_people_write_them(written: str, kilograms: float) -> None:
    assert parse_mass(written) == kilograms


@pytest.mark.parametrize("written", ["82", 82, 82.5])
def test_a_mass_needs_its_unit(written: object) -> None:
    with pytest.raises(BareNumberError, match="has no unit"):
        parse_mass(written)


@pytest.mark.parametrize(
    ("written", "what"),
    [
        ("heavy", "not a mass"),
        ("82 in", "not a mass"),
        ("", "nothing where a mass"),
        (math.nan, "not a mass"),
        (True, "not a mass"),
        ("12 st 14 lb", "less than 14"),
        ("5000 kg", "slip of the pen"),
    ],
)
def test_what_is_no_mass_says_why(written: object, what: str) -> None:
    with pytest.raises(InputError, match=what):
        parse_mass(written)


def test_long_texts_are_cut_in_messages() -> None:
    assert quoted("a  b") == "“a b”"
    assert len(quoted("x" * 1000)) == 60
    assert quoted("a\x1b[31mb\x00") == "“a\N{REPLACEMENT CHARACTER}[31mb\N{REPLACEMENT CHARACTER}”"
    assert quoted(True) == "true"
    assert quoted(date(1979, 5, 27)) == "1979-05-27"
    assert quoted(10**5000) == "a number of more than 60 digits"
