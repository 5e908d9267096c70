"""Every sheet that the docs show is read by the program it is written for."""

import re
from pathlib import Path

import pytest

from foamwright.bay.machine_sheet import machine_from_text
from foamwright.bay.materials_sheet import materials_from_text
from foamwright.bay.sheet import bay_from_text
from foamwright.blank.sheet import stock_from_text
from foamwright.board.sheet import board_from_text
from foamwright.cli.main import main
from foamwright.demo import demo_path
from foamwright.making.nest.sheet import order_from_text
from foamwright.sheets.rider import rider_from_text

CONTOUR = "[[bottom.contour]]"
ROOT = Path(__file__).parents[2]
BLOCKS = [
    (page.relative_to(ROOT).as_posix(), text)
    for page in sorted([*(ROOT / "docs").rglob("*.md"), ROOT / "README.md"])
    for text in re.findall(r"^```toml\n(.*?)^```", page.read_text("utf-8"), re.DOTALL | re.MULTILINE)
]


def demo_order(text: str, name: str):
    """An order's sheets lie beside it: here those of the demo."""
    return order_from_text(text, name, demo_path("harbour.stock.toml").parent)


def fragment_of_a_board(text: str, name: str):
    """A page may show contours alone: they are read in the demo's board, in the place of its own."""
    demo = demo_path("groyne.board.toml").read_text("utf-8")
    whole, _, _ = demo.partition(CONTOUR)
    board = board_from_text(whole + text, name)
    assert len(board.bottom) == text.count(CONTOUR)
    return board


def reader_of(text: str):
    """Tell a kind of sheet by what only that kind has."""
    for mark, read in (
        ("[rails]", board_from_text),
        (CONTOUR, fragment_of_a_board),
        ("stature", rider_from_text),
        ("count =", demo_order),
        ("_mm_min", machine_from_text),
        ("on_hand", stock_from_text),
        ("resin", materials_from_text),
    ):
        if mark in text:
            return read
    return bay_from_text


@pytest.mark.parametrize(("page", "text"), BLOCKS)
def test_a_sheet_in_the_docs_is_read(page, text):
    assert reader_of(text)(text, page)


def test_the_machine_of_the_docs_cuts_a_blank(tmp_path, capsys):
    text = next(text for _, text in BLOCKS if reader_of(text) is machine_from_text)
    machine, board = tmp_path / "long.machine.toml", ROOT / "examples" / "groyne-6-4.board.toml"
    machine.write_text(text, "utf-8")
    assert main(["wire", str(board), "--machine", str(machine), "--out", str(tmp_path / "wire")]) == 0
    assert "M3 S800" in (tmp_path / "wire" / "profile.ngc").read_text("ascii")
