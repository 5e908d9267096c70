"""Laws of reading and printing lengths."""

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foamwright.errors import InputError
from foamwright.units import (
    Rounding,
    System,
    Unit,
    format_feet,
    format_length,
    format_with_unit,
    parse_length,
    settled,
    write_length,
)

QUICK = settings(derandomize=True, max_examples=300, deadline=None)

fractions = st.sampled_from([1, 2, 4, 8, 16, 32, 64])
metres = st.floats(-20, 20, allow_nan=False)


@st.composite
def on_the_tape(draw: st.DrawFn) -> tuple[float, int]:
    """A length on the grid of a tape, and the tape's fraction."""
    fraction = draw(fractions)
    steps = draw(st.integers(-600 * fraction, 600 * fraction))
    return float(steps * Unit.INCH.exact / fraction), fraction


@QUICK
@given(on_the_tape(), st.sampled_from(Rounding))
def test_inches_on_the_tape_read_back(length: tuple[float, int], rounding: Rounding) -> None:
    x, fraction = length
    assert parse_length(format_length(x, System.INCH, fraction, rounding), Unit.INCH) == x
    assert parse_length(format_with_unit(x, System.INCH, fraction, rounding)) == x


@QUICK
@given(on_the_tape(), st.sampled_from(Rounding))
def test_feet_on_the_tape_read_back(length: tuple[float, int], rounding: Rounding) -> None:
    x, fraction = length
    assert parse_length(format_feet(x, fraction, rounding)) == x


@QUICK
@given(st.integers(-100_000, 100_000), st.sampled_from(Rounding))
def test_tenths_of_a_millimetre_read_back(tenths: int, rounding: Rounding) -> None:
    x = float(tenths * Unit.MM.exact / 10)
    assert parse_length(format_length(x, System.MM, rounding=rounding), Unit.MM) == x


@QUICK
@given(metres, fractions, st.sampled_from(System))
def test_the_safe_side_is_safe_and_no_further_than_one_step(x: float, fraction: int, system: System) -> None:
    unit = Unit(system)
    step = unit.exact / (fraction if system is System.INCH else 10)
    down = parse_length(format_length(x, system, fraction, Rounding.DOWN), unit)
    up = parse_length(format_length(x, system, fraction, Rounding.UP), unit)
    nearest = parse_length(format_length(x, system, fraction), unit)
    assert down <= x <= up
    assert nearest in {down, up}
    assert abs(Fraction(nearest) - Fraction(x)) <= step / 2 + Fraction(1, 10**15)
    assert Fraction(x) - Fraction(down) < step + Fraction(1, 10**15)


@QUICK
@given(
    st.floats(-900, 900, allow_nan=False).filter(lambda x: x == 0 or abs(x) > 1e-20), st.sampled_from(Unit)
)
def test_written_lengths_read_back_bit_for_bit(x: float, unit: Unit) -> None:
    assert parse_length(write_length(x, unit), unit) == x


@QUICK
@given(on_the_tape(), st.floats(-9e-10, 9e-10))
def test_a_rounding_error_away_from_the_tape_settles_on_it(length: tuple[float, int], off: float) -> None:
    x, fraction = length
    assert settled(x + off, System.INCH, fraction) == x


@QUICK
@given(
    st.integers(0, 900), st.integers(1, 200), st.integers(1, 200), st.sampled_from([" ", "-", "  "]),
    st.sampled_from(Unit),
)  # fmt: skip
def test_mixed_numbers_are_exact(whole: int, top: int, under: int, joint: str, unit: Unit) -> None:
    text = f"{whole}{joint}{top}/{under} {unit}"
    if top < under:
        assert parse_length(text) == float((whole + Fraction(top, under)) * unit.exact)
    else:
        with pytest.raises(InputError, match="less than one"):
            parse_length(text)


@settings(derandomize=True, max_examples=800, deadline=None)
@given(st.text(alphabet="0123456789 /.-'\"inmcft,¾½′″’”eE+\u00a0_", max_size=14))
def test_any_text_is_a_length_or_a_problem(text: str) -> None:
    try:
        x = parse_length(text, Unit.MM)
    except InputError as why:
        x = 0.0 if why.problems[0].what and why.problems[0].remedy else math.nan
    assert -1000 <= x <= 1000
