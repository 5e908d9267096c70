"""Stock sheets: what they become, and everything that can be wrong with them."""

import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.blank.numbers import BlankNumbers, Face, Foam, FoamFamily, Section, Stringer
from foamwright.blank.sheet import read_stock, stock_from_text, stock_sheet
from foamwright.errors import InputError, Problem
from foamwright.stations import Mark
from foamwright.units import Unit

EXAMPLE = Path(__file__).parents[3] / "examples" / "two-yards.stock.toml"
TEXT = EXAMPLE.read_text("utf-8")
CASES = tomllib.loads((Path(__file__).parent / "wrong_stocks.toml").read_text("utf-8"))["case"]


def changed(*changes: tuple[str, str]) -> str:
    """The example with some of its text replaced; each must be there."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def problems(text: str) -> tuple[Problem, ...]:
    with pytest.raises(InputError, match=r"x\.toml, line") as caught:
        stock_from_text(text, "x.toml")
    return caught.value.problems


def test_the_example_loads_as_it_is() -> None:
    square, domed = read_stock(EXAMPLE)
    assert square == BlankNumbers(
        id="Q-6-8-2.75",
        foam=Foam(FoamFamily.EPS, 24.0),
        section=Section.SQUARE,
        length=2.032,
        outline=(Mark(0.0, 0.5588, "tail"), Mark(2.032, 0.5588, "nose")),
        wide=None,
        wide_at=None,
        rocker=(
            Mark(0.0, 0.0508, "tail"),
            Mark(0.3048, 0.02032, "12 from tail"),
            Mark(1.7272, 0.05461, "12 from nose"),
            Mark(2.032, 0.127, "nose"),
        ),
        thickness=(Mark(0.0, 0.06985, "tail"), Mark(2.032, 0.06985, "nose")),
        dome=(),
        stringer=Stringer("basswood", 0.003175),
        price=78.0,
        currency="EUR",
        on_hand=3,
        lead_time_days=0.0,
        hard_face=None,
        hard_most=0.0,
        skim_bottom=0.00079375,
        skim_deck=0.00079375,
    )
    assert domed.section is Section.DOMED
    assert (domed.wide, domed.wide_at) == (0.57785, 1.0287)
    assert [mark.value for mark in domed.dome] == [0.6, 0.7, 0.55]
    assert (domed.hard_face, domed.hard_most) == (Face.DECK, 0.00635)
    assert (domed.skim_bottom, domed.skim_deck) == (0.0015875, 0.00079375)


def nameless(blanks: tuple[BlankNumbers, ...]) -> list[BlankNumbers]:
    """Without the names of stations, which mean other places in another unit."""
    tables = ("outline", "rocker", "thickness", "dome")
    return [
        replace(blank, **{t: tuple(replace(m, place="") for m in getattr(blank, t)) for t in tables})
        for blank in blanks
    ]


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MM, Unit.CM])
def test_a_written_sheet_reads_back_to_the_same_blanks(unit: Unit) -> None:
    blanks = read_stock(EXAMPLE)
    again = stock_from_text(stock_sheet(blanks, unit), "x.toml")
    assert nameless(again) == nameless(blanks)
    assert unit is not Unit.INCH or again == blanks


def test_one_sheet_has_one_currency() -> None:
    one, other = read_stock(EXAMPLE)
    with pytest.raises(ValueError, match="not EUR, NZD"):
        stock_sheet([one, replace(other, currency="NZD")], Unit.INCH)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["new"][:40])
def test_what_is_wrong_is_told_with_its_line_and_remedy(case: dict[str, str]) -> None:
    (problem,) = problems(changed((case["old"], case["new"])))
    line = TEXT[: TEXT.index(case["old"])].count("\n") + case.get("below", 0) + 1
    assert str(problem).startswith(f"x.toml, line {line}, ")
    assert case["words"] in str(problem)
    assert problem.remedy


@pytest.mark.parametrize(
    "key", ["id", "foam", "section", "length", "rocker", "thickness", "stringer", "price", "on_hand"]
)
def test_every_key_of_a_blank_must_be_there(key: str) -> None:
    at = TEXT.index(f"\n{key} =") + 1
    (problem,) = problems(TEXT[:at] + TEXT[TEXT.index("\n", at) + 1 :])
    assert problem.where == f"x.toml, line 5, [blank 1] {key}"
    assert f"“{key}” is missing" in problem.what


def test_problems_of_all_blanks_are_told_at_once() -> None:
    found = problems(
        changed(("eps 24 kg/m3", "eps"), ("price = 96", "price = -1"), ("centre = 0.7", "centre = 7"))
    )
    assert [problem.where for problem in found] == [
        "x.toml, line 7, [blank 1] foam",
        "x.toml, line 25, [blank 2] price",
        "x.toml, line 36, [blank 2, dome] centre",
    ]


@pytest.mark.parametrize(
    "text", ['currency = "EUR"', 'currency = "EUR"\nblank = []', "currency = 'EUR'\n[blank]"]
)
def test_an_empty_stock_is_a_problem(text: str) -> None:
    found = problems(text)
    assert len(found) == 1
    assert "[[blank]]" in found[0].remedy


@pytest.mark.parametrize(
    ("words", "family", "density"),
    [
        ("eps 24 kg/m3", FoamFamily.EPS, 24.0),
        ("PU  35.5kg/m³", FoamFamily.PU, 35.5),
        ("xps 30 kg/m^3", FoamFamily.XPS, 30.0),
        ("pu 2.2 lb/ft3", FoamFamily.PU, 35.2406194228),
    ],
)
def test_foams(words: str, family: FoamFamily, density: float) -> None:
    foam = stock_from_text(changed(("eps 24 kg/m3", words)), "x.toml")[0].foam
    assert foam.family is family
    assert foam.density == pytest.approx(density, rel=1e-10)


def test_a_hard_face_is_as_usual_for_the_foam_unless_the_sheet_says_otherwise() -> None:
    soft = stock_from_text(changed(('"pu 35 kg/m3"', '"pu 35 kg/m3"\nhard_face = "none"')), "x.toml")[1]
    assert (soft.hard_face, soft.hard_most) == (None, 0.0)
    deep = stock_from_text(changed(('"pu 35 kg/m3"', '"pu 35 kg/m3"\nhard_most = "1/2"')), "x.toml")[1]
    assert (deep.hard_face, deep.hard_most) == (Face.DECK, 0.0127)
    hard = 'hard_face = "bottom"\nhard_most = "1/8"\nskim = { bottom = 0 }\nsection = "square"'
    eps = stock_from_text(changed(('section = "square"', hard)), "x.toml")[0]
    assert (eps.hard_face, eps.hard_most) == (Face.BOTTOM, 0.003175)
    assert (eps.skim_bottom, eps.skim_deck) == (0.0, 0.00079375)


def test_no_stringer() -> None:
    text = changed(('{ wood = "basswood", width = "1/8" }', '"none"'))
    assert stock_from_text(text, "x.toml")[0].stringer == Stringer("none", 0.0)
    assert stock_from_text(stock_sheet(stock_from_text(text, "x"), Unit.MM), "x")[0].stringer.width == 0.0
