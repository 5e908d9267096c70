"""Foam of the core, against the standards' least values (secondary copies: used as a band)."""

import tomllib
from pathlib import Path

import pytest

from foamwright.bay.materials import CoreFoam

FOAM = tomllib.loads((Path(__file__).parent / "data" / "foam.toml").read_text())


def test_usual_foam_lies_in_the_band_of_its_type():
    foam = CoreFoam()
    density, one, ten = FOAM["d6817_eps22"]["value"]
    assert foam.density == pytest.approx(density, abs=FOAM["d6817_eps22"]["tol"])
    assert foam.density == FOAM["c578_type_ii_density_min"]["value"]
    assert foam.modulus == pytest.approx(one * 1e3 / 0.01)
    assert foam.strength == pytest.approx(ten * 1e3 / 2)


def test_one_density_has_another_strength_in_another_standard():
    """So a foam is named by its type, never by density alone."""
    assert FOAM["c578_type_ii_compressive_10pct_min"]["value"] < FOAM["d6817_eps22"]["value"][2] * 0.8
