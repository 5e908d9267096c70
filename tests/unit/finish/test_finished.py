"""The finished board: mass, materials and price by hand, cautions that say what they must."""

from dataclasses import replace

import pytest

from foamwright.bay.bay import Prices
from foamwright.bay.materials import FOUR_OUNCE, CoreFoam, Layup, Materials, Resin
from foamwright.finish.areas import Skin, skin_of
from foamwright.finish.finished import Shop, check_finished, finish_board
from foamwright.finish.laminate import plies_of
from foamwright.finish.mass import finished_mass
from foamwright.finish.price import hours_of, material_lines, price_of
from foamwright.units import System


@pytest.fixture(scope="module")
def finished(board, shop):
    return finish_board(board, shop)


def test_mass_is_the_sum_of_its_parts_and_scatters_as_their_squares(finished):
    mass = finished.mass
    assert mass.total == pytest.approx(sum(p.mass for p in mass.parts))
    assert mass.scatter**2 == pytest.approx(sum(p.scatter**2 for p in mass.parts))
    assert 1.5 < mass.total < 4.0


def test_foam_and_stringer_share_the_core(finished, board):
    wood = Materials().wood
    stringer = skin_of(board).stringer * wood.width
    assert finished.mass.of("stringer").mass == pytest.approx(stringer * 0.37 * 1120)
    assert finished.mass.of("foam").mass == pytest.approx((board.mass.volume - stringer) * 22.0)


def test_hot_coat_is_what_the_sanding_leaves(finished):
    left = 0.32 * (1.0 - 0.35) * finished.skin.area
    assert finished.mass.of("hot coat").mass == pytest.approx(left)


def test_laps_run_round_the_outline(board):
    skin = skin_of(board)
    bare, lapped = (
        plies_of(skin, Layup((FOUR_OUNCE,), (FOUR_OUNCE,), lap=lap), Resin()) for lap in (0.0, 0.05)
    )
    for one, other in zip(bare, lapped, strict=True):
        assert other.area - one.area == pytest.approx(0.05 * skin.around)
    assert sum(ply.area for ply in bare) == pytest.approx(skin.area)


def test_wide_boards_take_two_strips_off_the_roll(board):
    skin = replace(skin_of(board), across_bottom=0.75)
    bottom, _ = plies_of(skin, Layup((FOUR_OUNCE,), (FOUR_OUNCE,)), Resin())
    assert bottom.strips == 2
    assert bottom.cut_area == pytest.approx(2 * bottom.cut_length * 0.762)


def test_resin_to_mix_covers_what_is_sanded_and_spilt(finished):
    kept = sum(finished.mass.of(part).mass for part in ("laminating resin", "seal coat", "hot coat"))
    mixed = next(line for line in finished.lines if line.name == "epoxy")
    assert mixed.quantity > kept
    wet = finished.mass.of("laminating resin").mass + (0.32 + 0.16) * finished.skin.area + 0.03 * 4
    assert mixed.quantity == pytest.approx(wet / 0.8)
    assert mixed.cost == pytest.approx(mixed.quantity * 14.0)


def test_price_by_hand(finished):
    price = finished.price
    assert price.hours.total == pytest.approx(3.0 + 3.5 + 1.5 + 2.0 + 3 * 0.3)
    assert price.labour == pytest.approx(price.hours.total * 40.0)
    assert price.materials == pytest.approx(sum(line.cost for line in finished.lines))
    assert price.total == pytest.approx(price.foam + price.materials + price.labour)


def test_a_blank_has_its_own_price_and_a_margin_is_on_the_whole(board):
    shop = Shop(replace(Materials(), margin=0.1), Prices(labour_hour=50.0), blank_price=85.0)
    price = finish_board(board, shop).price
    assert price.foam == 85.0
    assert price.total == pytest.approx(1.1 * (85.0 + price.materials + price.labour))


def test_price_without_boxes_lists_none(board):
    skin = skin_of(board)
    lines = material_lines(skin, plies_of(skin, Materials().short, Resin()), (), Materials())
    assert "fin box" not in {line.name for line in lines}
    hours = hours_of(Materials(), 0, None)
    assert price_of(0.0, lines, hours, Materials(), Prices()).hours.total == pytest.approx(10.0)


def test_cautions_name_resin_fumes_and_dust_and_defer_to_the_data_sheet(finished):
    words = " ".join(c.sentence for c in finished.cautions)
    for word in ("respirator", "gloves", "styrene", "data sheet", "dust"):
        assert word in words.casefold()


def test_weak_foam_is_told(board):
    weak = replace(Materials(), foam=CoreFoam(strength=10e3))
    findings = check_finished(finish_board(board, Shop(weak, Prices())), System.INCH)
    assert [f.code for f in findings] == ["finish-core-shear"]


def test_no_fins_is_a_note(numbers, shop):
    from foamwright.board.board import board_of

    finished = finish_board(board_of(replace(numbers, fins=())), shop)
    assert [f.code for f in check_finished(finished, System.INCH)] == ["finish-no-fins"]


def test_denser_foam_and_heavier_cloth_weigh_more(board):
    skin, plies = skin_of(board), plies_of(skin_of(board), Materials().long, Resin())
    light = finished_mass(0.03, skin, plies_of(skin, Materials().short, Resin()), (), Materials())
    heavy = finished_mass(0.03, skin, plies, (), replace(Materials(), foam=CoreFoam(density=45.0)))
    assert heavy.of("foam").mass > 2 * light.of("foam").mass
    assert heavy.of("cloth").mass == pytest.approx(1.5 * light.of("cloth").mass)


def test_skin_is_plain_numbers():
    assert Skin(1, 2, 0.5, 4, 0.5, 0.5, 2, 0.1).area == 3.5
