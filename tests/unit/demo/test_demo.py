"""The demo's sheets load, and the stock is the one that its script makes."""

import runpy
from collections import Counter
from pathlib import Path

import pytest

from foamwright.bay.sheet import read_bay
from foamwright.blank.numbers import Section
from foamwright.blank.sheet import read_stock
from foamwright.board.sheet import read_board
from foamwright.demo import DEMO_SHEETS, demo_path
from foamwright.sheets.rider import read_rider

ROOT = Path(__file__).parents[3]
INCH = 0.0254


def test_the_first_board_is_the_example_with_fins() -> None:
    demo, example = (
        read_board(path)
        for path in (demo_path("groyne.board.toml"), ROOT / "examples" / "groyne-6-4.board.toml")
    )
    assert len(demo.fins) == 3
    assert demo.outline == example.outline
    assert demo.rocker == example.rocker
    assert demo.thickness == example.thickness


def test_the_second_board_is_long_with_three_inches_of_nose_rocker() -> None:
    board = read_board(demo_path("breakwater.board.toml"))
    assert board.length == 2.794
    assert board.rocker[-1].value == 0.0762


def test_the_stock_has_forty_blanks_of_both_kinds_in_quarter_inch_steps() -> None:
    stock = read_stock(demo_path("harbour.stock.toml"))
    kinds = Counter(blank.section for blank in stock)
    assert kinds[Section.SQUARE] >= 35
    assert kinds[Section.DOMED] >= 5
    thicknesses = sorted({blank.thickness[0].value for blank in stock if blank.section is Section.SQUARE})
    assert thicknesses == pytest.approx([n * INCH / 4 for n in range(9, 15)], abs=1e-12)
    assert any(blank.on_hand == 0 and blank.lead_time_days > 0 for blank in stock)


def test_the_stock_is_the_one_that_the_script_makes() -> None:
    script = runpy.run_path(str(ROOT / "scripts" / "make_demo_stock.py"))
    assert demo_path("harbour.stock.toml").read_text("utf-8") == script["stock_text"]()


def test_the_bay_and_the_rider() -> None:
    assert read_bay(demo_path("harbour.bay.toml")).name == "harbour bay"
    assert read_rider(demo_path("demo.rider.toml")).mass == 74.0


def test_every_sheet_is_there_and_no_other() -> None:
    folder = demo_path(DEMO_SHEETS[0]).parent
    assert sorted(path.name for path in folder.glob("*.toml")) == sorted(DEMO_SHEETS)
    with pytest.raises(KeyError, match=r"other\.toml is no demo sheet"):
        demo_path("other.toml")
