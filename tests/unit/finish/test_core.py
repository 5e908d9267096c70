"""The chosen blank decides foam, stringer, resin, cautions, price and hours."""

from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.bay.bay import Prices
from foamwright.bay.materials import Materials, Resin, ResinKind
from foamwright.bay.materials_sheet import materials_from_text
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.blank.sheet import read_stock
from foamwright.board.board import board_of
from foamwright.finish.areas import skin_of
from foamwright.finish.core import core_of, materials_on, resin_on
from foamwright.finish.finished import Shop, check_finished, finish_board
from foamwright.units import INCH, System

STOCK = Path(__file__).parents[3] / "examples" / "two-yards.stock.toml"
EPS, PU = read_stock(STOCK)


def finished_from(board, blank, materials=None, planned=None):
    return finish_board(board, Shop(materials or Materials(), Prices(), blank=blank, planned=planned))


def codes(finished):
    return {caution.code for caution in finished.cautions}


def test_a_six_four_in_polystyrene_weighs_what_shapers_say(numbers):
    # Common practice, no source: 2.5 to 2.8 kg with the usual cloth, three boxes, without fins, for a board
    # of the usual 19 1/2 by 2 7/16 in; the Groyne is wider and thicker (36 litres).
    share = 19.5 * INCH / numbers.wide
    usual = board_of(
        replace(
            numbers,
            wide=19.5 * INCH,
            outline=tuple(replace(mark, value=mark.value * share) for mark in numbers.outline),
            thickest=2.4375 * INCH,
        )
    )
    assert 2.5 < finished_from(usual, EPS).mass.total < 2.8


def test_foam_and_wood_weigh_what_the_blank_says(board):
    profile = skin_of(board).stringer
    for blank, density, width in ((EPS, 24.0, 0.125), (PU, 35.0, 0.1875)):
        mass, wood = finished_from(board, blank).mass, profile * width * 0.0254
        assert mass.of("foam").mass == pytest.approx((board.mass.volume - wood) * density)
        assert mass.of("stringer").mass == pytest.approx(wood * 0.37 * 1120.0)


def test_no_stringer_weighs_nothing_and_stiffens_nothing(board):
    bare = replace(EPS, stringer=Stringer("none", 0.0))
    finished = finished_from(board, bare)
    assert "stringer" not in {part.name for part in finished.mass.parts}
    assert finished.sandwich.spine == 0.0
    whole = finished_from(board, EPS)
    assert finished.mass.of("foam").mass == pytest.approx(board.mass.volume * 24.0)
    assert finished.bent.deflection > whole.bent.deflection


def test_balsa_is_lighter_than_basswood(board):
    balsa = replace(EPS, stringer=replace(EPS.stringer, wood="Balsa"))
    ratio = (
        finished_from(board, balsa).mass.of("stringer").mass
        / finished_from(board, EPS).mass.of("stringer").mass
    )
    assert ratio == pytest.approx(0.16 / 0.37)


def test_polyurethane_has_its_own_cautions_and_none_of_polystyrene(board):
    pu, eps = codes(finished_from(board, PU)), codes(finished_from(board, EPS))
    assert "polyurethane" in pu - eps
    assert "foam-and-resin" in eps - pu
    assert "fumes" in pu - eps
    assert {"dust", "resin", "glass-dust", "defer", "heat"} <= pu & eps


def test_where_no_blank_is_known_every_caution_stands(board, shop):
    finished = finish_board(board, shop)
    assert {"foam-and-resin", "fumes"} <= codes(finished)


def test_resin_follows_the_foam_unless_the_shop_names_one():
    assert resin_on(FoamFamily.PU, Resin()).kind is ResinKind.POLYESTER
    assert resin_on(FoamFamily.EPS, Resin()).kind is ResinKind.EPOXY
    named = materials_from_text('[resin]\nname = "slow epoxy"\n', "m.toml").resin
    assert resin_on(FoamFamily.PU, named).name == "slow epoxy"
    polyester = materials_from_text('[resin]\nkind = "polyester"\n', "m.toml").resin
    assert (polyester.density, polyester.price) == (1200.0, 6.0)


def test_polyester_on_polystyrene_stops(board):
    shop = materials_from_text('[resin]\nkind = "polyester"\n', "m.toml")
    (finding,) = check_finished(finished_from(board, EPS, shop), System.INCH)
    assert finding.code == "finish-resin-foam"
    assert "EPS 24" in finding.sentence
    assert check_finished(finished_from(board, PU, shop), System.INCH) == ()


def test_price_and_hours_are_the_blank_s_and_the_plan_s(board):
    price = finished_from(board, PU, planned=120.0).price
    assert price.foam == 96.0
    assert price.hours.shaping == pytest.approx(2.0 + 1.25)
    assert price.labour == pytest.approx(40.0 * price.hours.total)
    unknown = finished_from(board, replace(PU, price=0.0)).price
    assert unknown.foam == pytest.approx(2000.0 * board.mass.volume)


def test_denser_foam_is_stiffer_and_stronger():
    cores = [core_of(Foam(FoamFamily.EPS, density), 2000.0) for density in (16.0, 21.6, 28.0)]
    assert cores[1].modulus == pytest.approx(5.0e6)
    assert cores[1].strength == pytest.approx(67.5e3)
    assert cores[0].modulus < cores[1].modulus < cores[2].modulus


def test_a_seal_coat_of_the_shop_is_taken_as_it_is():
    shop = materials_from_text("[coats]\nseal_g_m2 = 90\n", "m.toml")
    assert materials_on(shop, EPS).coats.seal == pytest.approx(0.09)
    assert materials_on(Materials(), PU).coats.seal == pytest.approx(0.06)
