"""Materials sheets: numbers in SI, cloths by name, every problem at once."""

from pathlib import Path

import pytest

from foamwright.bay.materials import FOUR_OUNCE, Materials
from foamwright.bay.materials_sheet import materials_from_text
from foamwright.bay.materials_written import ClothTable, LayupTable, MaterialsSheet
from foamwright.errors import InputError
from foamwright.sheets.fields import SheetModel

FULL = """
units = "in"
share = 0.1
margin = 0.2
[foam]
name = "PU 50"
density_kg_m3 = 50
scatter_kg_m3 = 2
modulus_mpa = 8
poisson = 0.3
strength_kpa = 200
price_m3 = 3000
[wood]
gravity = 0.42
modulus_gpa = 10.8
width = "3/16"
[resin]
name = "polyester"
density_kg_m3 = 1120
per_fibre = 1.3
price_kg = 7
[fibre]
modulus_gpa = 70
[coats]
hot_g_m2 = 300
scatter_g_m2 = 50
[fittings]
small_box_g = 40
small_box_price = 8
[hours]
glassing = 4.5
[[cloth]]
name = "carbon tape"
g_m2 = 200
roll_width = 4
price_m2 = 60
[layup]
bottom = ["glass 6 oz"]
deck = ["glass 4 oz", "carbon tape"]
lap = 1.5
"""


def test_an_empty_sheet_is_the_usual():
    assert materials_from_text("", "m.toml") == Materials()


def test_every_number_becomes_si():
    m = materials_from_text(FULL, "m.toml")
    foam = m.foam
    assert (foam.name, foam.density, foam.scatter, foam.modulus) == ("PU 50", 50.0, 2.0, 8e6)
    assert (foam.poisson, foam.strength, foam.price) == (0.3, 200e3, 3000.0)
    assert (m.wood.gravity, m.wood.modulus, m.wood.width) == (0.42, 10.8e9, pytest.approx(0.0047625))
    assert (m.resin.name, m.resin.density, m.resin.per_fibre, m.resin.price) == (
        "polyester",
        1120.0,
        1.3,
        7.0,
    )
    assert m.fibre.modulus == 70e9
    assert (m.coats.hot, m.coats.scatter) == (0.3, 0.05)
    assert (m.fittings.small_box, m.fittings.small_box_price) == (0.04, 8.0)
    assert m.hours.glassing == 4.5
    assert (m.share, m.margin) == (0.1, 0.2)


def test_layup_holds_for_every_length():
    m = materials_from_text(FULL, "m.toml")
    assert m.layup(1.7) == m.layup(2.9)
    assert [cloth.name for cloth in m.short.deck] == ["glass 4 oz", "carbon tape"]
    assert m.short.deck[1].mass == 0.2
    assert m.short.lap == pytest.approx(0.0381)
    assert m.short.overhang == Materials().short.overhang


def test_what_is_left_away_stays():
    m = materials_from_text("[hours]\nsanding = 1", "m.toml")
    assert m.hours.shaping == Materials().hours.shaping
    assert m.short.bottom == (FOUR_OUNCE,)


def test_every_problem_at_once():
    text = FULL.replace("density_kg_m3 = 50", "density_kg_m3 = 50000").replace('carbon tape"]', 'kevlar"]')
    text = text.replace("g_m2 = 200", "g_m2 = 200\noz_yd2 = 6")
    with pytest.raises(InputError) as caught:
        materials_from_text(text, "m.toml")
    words = "\n".join(str(problem) for problem in caught.value.problems)
    assert len(caught.value.problems) == 3
    assert "50000 is not possible" in words
    assert "“kevlar” is no cloth of this sheet" in words
    assert "Give either oz_yd2 or g_m2" in words


def test_unknown_key():
    with pytest.raises(InputError, match=r"m\.toml, line 2.*densty"):
        materials_from_text("[foam]\ndensty = 3", "m.toml")


def test_every_key_is_documented():
    page = (Path(__file__).parents[3] / "docs" / "finish.md").read_text("utf-8")
    tables = [field.annotation for field in MaterialsSheet.model_fields.values()]
    models = [MaterialsSheet, ClothTable, LayupTable, *(t for t in tables if isinstance(t, type))]
    keys = {key for model in models if issubclass(model, SheetModel) for key in model.model_fields}
    assert len(keys) > 40
    assert sorted(key for key in keys if f"`{key}`" not in page and f"[{key}]" not in page) == []
