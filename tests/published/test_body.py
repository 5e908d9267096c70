"""The rider's body against published values: segments, densities, lungs, girths."""

import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from foamwright.sheets.rider import Experience, Lungs, RiderNumbers, Water
from foamwright.water.body import body_of, lung_air
from foamwright.water.body_tables import PAIRED, SEGMENTS, SITTING_HEIGHT, TISSUE_DENSITY, Build, Part

DATA = Path(__file__).parent / "data"
BODY = tomllib.loads((DATA / "body.toml").read_text())
DRAWN = tomllib.loads((DATA / "riders.toml").read_text())

NAMES = {
    Part.HEAD: "head",
    Part.TRUNK: "trunk",
    Part.UPPER_ARM: "upper_arm",
    Part.FOREARM: "forearm",
    Part.HAND: "hand",
    Part.THIGH: "thigh",
    Part.SHANK: "shank",
    Part.FOOT: "foot",
}
SAME_ENDS = (Part.UPPER_ARM, Part.FOREARM, Part.THIGH, Part.FOOT)
"""Parts whose length runs between the same points in the copied table and in ours (its upper half)."""


@pytest.mark.parametrize("build", [Build.MALE, Build.FEMALE])
@pytest.mark.parametrize("part", NAMES)
def test_segments(build, part):
    fraction, centre = BODY[f"de_leva_{build}_{NAMES[part]}"]["value"]
    row = SEGMENTS[build][part]
    assert row.mass == fraction
    if part in SAME_ENDS:
        assert row.centre == centre


@pytest.mark.parametrize("build", [Build.MALE, Build.FEMALE])
def test_published_fractions_as_they_add_up(build):
    total = sum(row.mass * (2 if part in PAIRED else 1) for part, row in SEGMENTS[build].items())
    assert total == pytest.approx(BODY[f"de_leva_{build}_sum"]["value"], abs=1e-12)


def test_tables_of_other_cuts_are_not_mixed_in():
    """Winter's thigh is a tenth of the body, de Leva's 1.4 times that."""
    ratio = SEGMENTS[Build.MALE][Part.THIGH].mass / BODY["winter_thigh"]["value"]
    assert ratio == pytest.approx(BODY["thigh_fraction_disagreement"]["value"], abs=1e-3)


def test_tissue_density_is_that_of_the_weighed_men():
    assert pytest.approx(BODY["body_density_mean_252"]["value"], abs=1e-6) == TISSUE_DENSITY / 1000


@pytest.mark.parametrize(("name", "litres"), [("body_density_frc", 2.3), ("body_density_tlc", 5.8)])
def test_density_depends_on_the_lungs(name, litres):
    rider = RiderNumbers("x", 80.0, 1.8, Experience.EXPERT, Lungs.RESTING, Water(15, 35))
    body = replace(body_of(rider), air=litres / 1000)
    assert body.mean_density == pytest.approx(BODY[name]["value"], abs=BODY[name]["tol"])


def test_lung_equations_worked():
    """ECSC 1993 for a man of 1.80 m and 30 years: 7.302, 3.392, 1.788 litres; a woman of 1.65 m: 5.100."""
    worked = {Lungs.FULL: 7.302, Lungs.RESTING: 3.392, Lungs.EMPTY: 1.788}
    for lungs, litres in worked.items():
        assert lung_air(lungs, 1.80, Build.MALE) * 1000 == pytest.approx(litres, abs=1e-9)
    assert lung_air(Lungs.FULL, 1.65, Build.FEMALE) * 1000 == pytest.approx(5.100, abs=1e-9)


def test_a_breath_is_of_the_order_a_textbook_floats_by():
    """A man of 75 kg with 3 % of his volume out with empty, 5 % with full lungs: 1.63 litres between."""
    rider = RiderNumbers("x", 75.0, 1.8, Experience.EXPERT, Lungs.EMPTY, Water(15, 0))
    resting, empty = body_of(replace(rider, lungs=Lungs.RESTING)), body_of(rider)
    assert (resting.air - empty.air) * 1000 == pytest.approx(BODY["openstax_lung"]["value"], abs=0.3)


@pytest.mark.parametrize("build", [Build.MALE, Build.FEMALE])
@pytest.mark.parametrize(
    ("measure", "girth", "which"),
    [("chest_depth", "chest", 1), ("chest_breadth", "chest", 0), ("waist_depth", "waist", 1)],
)
def test_girths_of_the_average_person(build, measure, girth, which):
    """From mean mass and stature back to the survey's mean depth and breadth, within 2 %."""
    stature, mass = (BODY[f"ansur2_{build}_{name}"]["value"][0] for name in ("stature", "weight_kg"))
    rider = RiderNumbers("x", mass, stature / 1000, Experience.EXPERT, Lungs.FULL, Water(15, 35))
    found = 2000 * getattr(body_of(rider, build).trunk, girth)[which]
    assert found == pytest.approx(BODY[f"ansur2_{build}_{measure}"]["value"][0], rel=0.02)


def test_trunk_and_head_are_a_sitting_height():
    """The seat is what a sitting height has below the hip joints: some centimetres."""
    for build in (Build.MALE, Build.FEMALE):
        rows = SEGMENTS[build]
        rest = SITTING_HEIGHT - rows[Part.TRUNK].length - rows[Part.HEAD].length
        assert 0.02 < rest < 0.06


def test_drawn_riders_are_like_the_survey():
    masses, men = np.array(DRAWN["riders"]["mass_kg"]), DRAWN["riders"]["men_first"]
    mean, spread = DRAWN["moments"]["men"]["mass_kg"]
    assert DRAWN["moments"]["men"]["mass_kg"] == BODY["ansur2_male_weight_kg"]["value"]
    assert DRAWN["moments"]["women"]["stature_mm"] == BODY["ansur2_female_stature"]["value"]
    # Four standard errors of a mean of so many.
    assert abs(masses[:men].mean() - mean) < 4 * spread / np.sqrt(men)
    assert [DRAWN["moments"][s]["count"] for s in ("men", "women")] == BODY["ansur2_n"]["value"]
