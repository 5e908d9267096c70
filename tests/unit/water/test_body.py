"""The rider's body: fractions that close, air that is counted, tables that are not mixed."""

from dataclasses import replace

import pytest

from foamwright.sheets.rider import Lungs
from foamwright.water.body import body_of, lung_air, segment_rows
from foamwright.water.body_tables import PAIRED, SEGMENTS, Build, Part


@pytest.mark.parametrize("build", Build)
def test_mass_fractions_add_up_to_one(build):
    rows = segment_rows(build)
    assert sum(row.mass * (2 if part in PAIRED else 1) for part, row in rows.items()) == pytest.approx(
        1, abs=1e-15
    )


def test_female_fractions_are_published_a_ten_thousandth_short():
    rows = SEGMENTS[Build.FEMALE]
    total = sum(row.mass * (2 if part in PAIRED else 1) for part, row in rows.items())
    assert total == pytest.approx(0.9999, abs=1e-12)
    assert segment_rows(Build.FEMALE)[Part.TRUNK].mass == pytest.approx(0.4257 / 0.9999)


def test_body_scales_with_mass_and_stature(rider):
    one, other = body_of(rider), body_of(replace(rider, mass=2 * rider.mass, stature=1.1 * rider.stature))
    thigh, longer = one.segments[Part.THIGH], other.segments[Part.THIGH]
    assert longer.mass == pytest.approx(2 * thigh.mass)
    assert longer.length == pytest.approx(1.1 * thigh.length)
    assert longer.centre / longer.length == pytest.approx(thigh.centre / thigh.length)


def test_air_is_what_floats(rider):
    full, resting, empty = (
        body_of(replace(rider, lungs=state)) for state in (Lungs.FULL, Lungs.RESTING, Lungs.EMPTY)
    )
    assert full.mean_density < 1000.0 < resting.mean_density < empty.mean_density < full.density
    assert full.volume - empty.volume == pytest.approx(full.air - empty.air)


def test_a_child_has_some_air_although_the_equations_are_for_adults(rider):
    assert lung_air(Lungs.FULL, 0.9, Build.BETWEEN) < 0.0005
    assert body_of(replace(rider, mass=20.0, stature=0.9)).air >= 20.0 * 5e-6
