"""Density of water: what is no water to surf in is told in words."""

import pytest

from foamwright.errors import InputError
from foamwright.water.density import freezing_point, water_density


def test_sea_is_heavier_than_a_lake_and_cold_than_warm():
    assert water_density(15, 35) > water_density(25, 35) > water_density(25, 0)


@pytest.mark.parametrize(
    ("temperature", "salinity", "words"),
    [
        (-2.5, 35.0, "is -2.5 C: ice. It is liquid above -1.9"),
        (-0.1, 0.0, "ice. It is liquid above 0.00 C"),
        (55.0, 35.0, "Give at most 40 C"),
        (15.0, -1.0, "salinity: is -1 g/kg"),
        (15.0, 60.0, "salinity: is 60 g/kg"),
    ],
)
def test_no_water(temperature, salinity, words):
    with pytest.raises(InputError, match=words):
        water_density(temperature, salinity)


def test_two_faults_are_told_at_once():
    with pytest.raises(InputError) as caught:
        water_density(60.0, 99.0)
    assert len(caught.value.problems) == 2


def test_salt_water_freezes_lower():
    assert freezing_point(35.0) < freezing_point(10.0) < freezing_point(0.0) + 1e-9
