"""Wood of the stringer, against the values of the Wood Handbook."""

import tomllib
from pathlib import Path

import pytest

from foamwright.bay.materials import Wood

WOOD = tomllib.loads((Path(__file__).parent / "data" / "wood.toml").read_text())


def test_density_from_specific_gravity():
    entry = WOOD["density_from_sg_rule"]
    assert Wood(gravity=0.33).density == pytest.approx(entry["value"], abs=entry["tol"])


def test_usual_stringer_is_basswood_at_twelve_per_cent():
    wood, entry = Wood(), WOOD["basswood_moe_12_psi"]
    assert wood.gravity == WOOD["basswood_sg_12"]["value"]
    assert wood.modulus / 6894.757293168 == pytest.approx(entry["value"], abs=entry["tol"])
    assert wood.modulus / 6894.757293168 > WOOD["basswood_moe_green_psi"]["value"] * 1.3
