"""Water density and hydrostatics, against published and independently computed values."""

import tomllib
from math import degrees, pi
from pathlib import Path

import gsw
import numpy as np
import pytest

from foamwright.water.columns import columns_of
from foamwright.water.density import water_density
from foamwright.water.equilibrium import Floating, Load, float_at_rest
from foamwright.water.pool import Surface
from foamwright.water.righting import righting
from tests.closed_forms import Box, Cylinder, Ellipsoid, Wigley

DATA = Path(__file__).parent / "data"
WATER = tomllib.loads((DATA / "water_density.toml").read_text())
HYDRO = tomllib.loads((DATA / "hydrostatics.toml").read_text())
STANDARD_SEA = 35.16504


def near(entry):
    return pytest.approx(entry["value"], abs=max(entry["tol"], 1e-12))


@pytest.mark.parametrize("celsius", [0, 5, 10, 15, 20, 25, 30])
def test_standard_sea(celsius):
    assert water_density(celsius, STANDARD_SEA) == near(WATER[f"sea_teos10_{celsius}c"])


def test_brackish_water():
    assert water_density(15.0, 20.0) == near(WATER["brackish_sa20_15c"])
    assert water_density(20.0, 10.0) == near(WATER["brackish_sa10_20c"])


def test_the_common_figure_belongs_to_ten_metres_of_water_more():
    """Tables print 1026.021 at 15 C; at the surface it is 0.045 less, and the program means the surface."""
    table, deep = WATER["sea_ittc_15c"], WATER["sea_teos10_15c_10dbar"]
    assert water_density(15.0, STANDARD_SEA) == near(WATER["sea_teos10_exact_15c"])
    assert water_density(15.0, STANDARD_SEA) < table["value"] - 0.04
    assert gsw.rho_t_exact(STANDARD_SEA, 15.0, 10.1325) == near(deep)
    assert deep["value"] == table["value"]


@pytest.mark.parametrize("celsius", [4, 15, 20, 30])
def test_fresh_water(celsius):
    """TEOS-10's 75-term fit and IAPWS-95 agree to some parts per million."""
    assert water_density(celsius, 0.0) == pytest.approx(WATER[f"fresh_iapws95_{celsius}c"]["value"], abs=0.01)


def test_sea_over_fresh():
    ratio = water_density(15.0, STANDARD_SEA) / water_density(15.0, 0.0)
    assert ratio == near(WATER["sea_over_fresh_15c"])


@pytest.mark.parametrize("percent", [10, 25, 30, 75, 90])
def test_floating_cylinder(percent):
    entry = HYDRO[f"cylinder_draught_{percent}"]
    load = Load(percent / 100 * pi / 4 * 2.0 * 1000.0, np.array([1.0, 0.0, 0.3]))
    rest = float_at_rest(Floating(columns_of(Cylinder(2.0, 1.0, 1.0)), load, 1000.0))
    assert rest.surface.height == near(entry)


@pytest.mark.parametrize("percent", [25, 90])
def test_floating_sphere(percent):
    ball = columns_of(Ellipsoid(1.0, 1.0, 1.0))
    load = Load(percent / 100 * pi / 6 * 1000.0, np.array([0.5, 0.0, 0.4]))
    rest = float_at_rest(Floating(ball, load, 1000.0))
    assert rest.surface.height == near(HYDRO[f"sphere_draught_{percent}"])


def wigley():
    return columns_of(Wigley(100.0, 10.0, 6.25, freeboard=2.0)).pool(Surface(6.25))


def test_wigley_hull():
    pool = wigley()
    assert pool.volume == near(HYDRO["wigley_volume_100_10_625"])
    assert pool.volume / (100.0 * 10.0 * 6.25) == near(HYDRO["wigley_cb"])
    assert pool.area / (100.0 * 10.0) == pytest.approx(HYDRO["wigley_cw"]["value"], rel=1e-6)
    assert pool.centre[2] / 6.25 == near(HYDRO["wigley_kb_over_t"])
    assert pool.second[1, 1] / pool.volume * 6.25 / 10.0**2 == pytest.approx(
        HYDRO["wigley_bmt"]["value"], rel=1e-6
    )
    along = pool.second[0, 0] - pool.first[0] ** 2 / pool.area
    assert along / pool.volume * 6.25 / 100.0**2 == pytest.approx(HYDRO["wigley_bml"]["value"], rel=1e-6)


def test_trapezoids_would_miss_the_wigley_volume():
    """The usual table of ordinates is 0.4 % low; the columns are not."""
    assert wigley().volume > HYDRO["wigley_volume_trapezoid_21_13"]["value"] * 1.004


def box_65():
    return Floating(columns_of(Box(65.0, 12.0, 8.0)), Load(3198e3, np.array([32.5, 0.0, 4.0])), 1025.0)


def test_box_of_the_textbook():
    pool = box_65().body.pool(Surface(4.0))
    assert pool.volume * 1.025 == near(HYDRO["box_65_12_displacement"])
    assert pool.second[1, 1] / pool.volume == near(HYDRO["box_65_12_bm"])
    height = pool.centre[2] + pool.second[1, 1] / pool.volume - 4.0
    assert height == near(HYDRO["box_65_12_gm"])


def test_righting_arms_of_the_box():
    curve = righting(box_65(), np.radians([5.0, 15.0, 25.0]))
    for arm, angle in zip(curve.arms, (5, 15, 25), strict=True):
        assert arm == near(HYDRO[f"box_65_12_gz_{angle}_exact"])
    # The book prints GM sin, which is 1 % less at 5 degrees.
    assert curve.arms[0] > HYDRO["box_65_12_gz_5_book"]["value"] * 1.01


def test_box_with_its_weight_off_the_middle():
    mass = 1025.0 * 1.8 * 0.5 * 0.06
    box = columns_of(Box(1.8, 0.5, 0.5))
    heeled = float_at_rest(Floating(box, Load(mass, np.array([0.9, 0.01, 0.05])), 1025.0), free=(True, True))
    assert degrees(np.arctan(heeled.surface.across)) == near(HYDRO["box_heel_equilibrium"])
    trimmed = float_at_rest(Floating(box, Load(mass, np.array([0.8, 0.0, 0.05])), 1025.0))
    end = 0.9 * 1000.0 * -trimmed.surface.along
    assert end == near(HYDRO["box_trim_equilibrium"])


def test_box_in_fresh_water_floats_deeper():
    entry = HYDRO["fresh_draft_from_salt"]
    box = columns_of(Box(100.0, 20.0, 12.0))
    mass = 8.0 * 100.0 * 20.0 * 1025.0
    rest = float_at_rest(Floating(box, Load(mass, np.array([50.0, 0.0, 3.0])), 1000.0))
    assert rest.surface.height == near(entry)


@pytest.mark.parametrize("index", [0, 1])
def test_square_bar_turns_over_at_its_limits(index):
    limit = HYDRO["square_bar_density_limits"]["value"][index]
    bar = columns_of(Box(3.0, 1.0, 1.0))

    def stiffness(ratio):
        load = Load(ratio * 3000.0, np.array([1.5, 0.0, 0.5]))
        return float_at_rest(Floating(bar, load, 1000.0)).stiffness[1, 1] / load.mass

    assert stiffness(limit) == pytest.approx(0.0, abs=1e-6)
    assert stiffness(limit - 0.001) * stiffness(limit + 0.001) < 0.0
