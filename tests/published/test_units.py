"""Lengths against values from outside; the numbers and their sources stand in data/units.toml."""

import tomllib
from pathlib import Path

import pytest

from foamwright.blank.foam_words import read_foam
from foamwright.units import System, format_length, parse_length

VALUES = tomllib.loads((Path(__file__).parent / "data" / "units.toml").read_text("utf-8"))


@pytest.mark.parametrize(
    ("name", "written"),
    [
        ("inch_mm", "1 in"),
        ("foot_mm", "1'"),
        ("inch_fraction_16", "1/16 in"),
        ("inch_fraction_32", "1/32 in"),
        ("inch_fraction_64", "1/64 in"),
        ("example_6ft2in", "6'2\""),
        ("example_20_1_8", "20 1/8 in"),
    ],
)
def test_lengths_in_millimetres(name: str, written: str) -> None:
    value = VALUES[name]
    assert value["unit"] == "mm"
    # The table is in millimetres; parsing its number as such must give the same float.
    assert parse_length(written) == parse_length(f"{value['value']} mm")


def test_the_largest_error_of_rounding_to_a_sixteenth() -> None:
    half_step = VALUES["fraction_rounding_error_16"]["value"] * 1e-3
    just_under, just_over = half_step * (1 - 1e-12), half_step * (1 + 1e-12)
    assert format_length(just_under, System.INCH) == "0"
    assert format_length(just_over, System.INCH) == "1/16"


def test_pounds_per_cubic_foot() -> None:
    value = VALUES["lb_ft3_kg_m3"]
    assert read_foam("pu 1 lb/ft3").density == pytest.approx(value["value"], abs=value["tol"])
