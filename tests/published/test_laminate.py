"""Cloth, resin, rules of mixtures and sandwich bending, against published and hand-worked values."""

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.bay.materials import (
    FOUR_OUNCE,
    OUNCE_PER_SQUARE_YARD,
    Cloth,
    Coats,
    CoreFoam,
    Fibre,
    Fittings,
    Layup,
    Materials,
    Resin,
    Wood,
)
from foamwright.finish.areas import Skin
from foamwright.finish.laminate import (
    modulus_across,
    modulus_along,
    plies_of,
    ply_thickness,
    resin_per_fibre,
    volume_fraction,
)
from foamwright.finish.mass import finished_mass
from foamwright.finish.sandwich import Sandwich, three_point

DATA = Path(__file__).parent / "data"
LAMINATE = tomllib.loads((DATA / "laminate.toml").read_text())
FOAM = tomllib.loads((DATA / "foam.toml").read_text())


def near(entry):
    return pytest.approx(entry["value"], abs=entry["tol"])


def test_ounces():
    assert near(LAMINATE["oz_per_yd2_to_gsm"]) == OUNCE_PER_SQUARE_YARD * 1000
    assert FOUR_OUNCE.mass * 1000 == near(LAMINATE["cloth_4oz_gsm"])


def test_equal_masses_of_glass_and_epoxy_are_not_half_glass():
    fraction = volume_fraction(1.0, Fibre(), Resin())
    assert fraction == near(LAMINATE["vf_mass_ratio_1"])
    assert fraction < 0.32
    assert resin_per_fibre(fraction, Fibre(), Resin()) == pytest.approx(1.0, rel=1e-14)


def test_ply():
    cloth = Cloth("203 g", 0.203, 1.0, 0.0)
    assert ply_thickness(cloth, Fibre(), Resin(per_fibre=1.0)) * 1000 == near(
        LAMINATE["ply_thickness_203_ratio_1"]
    )
    (bottom,) = plies_of(Skin(1, 1, 0, 4, 1, 1, 1, 0), Layup((cloth,), (), lap=0.0), Resin(per_fibre=1.0))
    assert bottom.mass * 1000 == near(LAMINATE["ply_mass_203_ratio_1"])


def test_rules_of_mixtures():
    fibre, resin = Fibre(modulus=70e9), Resin(modulus=3e9)
    assert modulus_along(0.6, fibre, resin) / 1e9 == near(LAMINATE["rom_long_70_3_60"])
    assert modulus_across(0.6, fibre, resin) / 1e9 == near(LAMINATE["rom_trans_70_3_60"])
    assert modulus_across(0.6, Fibre(), Resin()) / 1e9 == near(LAMINATE["rom_trans_eglass_60"])


def test_sandwich_beam():
    beam = Sandwich(0.5, 0.05, (0.0005, 0.0005), 20e9, 4e6)
    bent = three_point(beam, 1.0, 500.0)
    assert bent.by_bending * 1000 == near(LAMINATE["sandwich_bend_mm"])
    assert bent.by_shear * 1000 == near(LAMINATE["sandwich_shear_mm"])
    assert bent.by_shear / bent.deflection == near(LAMINATE["sandwich_shear_share"])
    # Stress by equilibrium: the moment is carried by two faces d apart, the force by the core.
    assert bent.face_stress == pytest.approx(125.0 / (0.5 * 0.0005 * 0.0505))
    assert bent.core_stress == pytest.approx(250.0 / (0.5 * 0.0505))


def test_unlike_faces_bend_as_two_masses_about_their_balance():
    beam = Sandwich(0.5, 0.05, (0.0003, 0.0009), 20e9, 4e6)
    d, low, high = beam.between, 0.0003, 0.0009
    balance = d * high / (low + high)
    exact = 20e9 * 0.5 * (low * balance**2 + high * (d - balance) ** 2)
    assert beam.bending == pytest.approx(exact, rel=1e-12)


def test_sandwich_plate_by_hand():
    """1.2 x 0.5 x 0.05 m of type II polystyrene, a ply of 203 g/m2 at 1:1 on each face, nothing else.

    By hand: 0.03 m3 * 22 kg/m3 + 2 * 0.6 m2 * 0.406 kg/m2 = 1.1472 kg.
    """
    density, ply = FOAM["c578_type_ii_density_min"]["value"], LAMINATE["ply_mass_203_ratio_1"]["value"]
    by_hand = 0.03 * density + 2 * 0.6 * ply / 1000
    assert by_hand == pytest.approx(1.1472)
    bare = Materials(
        foam=CoreFoam(density=density),
        wood=Wood(width=0.0),
        resin=Resin(per_fibre=1.0),
        coats=Coats(hot=0.0, seal=0.0),
        fittings=replace(Fittings(), leash_plug=0.0, setting_resin=0.0),
    )
    plate = Skin(0.6, 0.6, 0.0, 3.4, 0.5, 0.5, 1.2, 0.06)
    cloth = Cloth("203 g", 0.203, 1.0, 0.0)
    plies = plies_of(plate, Layup((cloth,), (cloth,), lap=0.0), bare.resin)
    assert finished_mass(0.03, plate, plies, (), bare).total == pytest.approx(by_hand, rel=1e-3)
