"""A sheet of another kind, or an empty one, is told as that and no more."""

from itertools import permutations
from pathlib import Path

import pytest

from foamwright.bay.machine_sheet import read_machine
from foamwright.bay.machine_written import MachineSheet
from foamwright.bay.materials_sheet import read_materials
from foamwright.bay.materials_written import MaterialsSheet
from foamwright.bay.sheet import read_bay
from foamwright.bay.written import BaySheet
from foamwright.blank.sheet import read_stock
from foamwright.blank.written import StockSheet
from foamwright.board.sheet import board_from_text, read_board
from foamwright.board.written import BoardSheet
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.making.nest.sheet import read_order
from foamwright.making.nest.written import OrderSheet
from foamwright.sheets.kinds import ANY_SHEET, KINDS
from foamwright.sheets.rider import RiderSheet, read_rider

MODELS = (BoardSheet, StockSheet, BaySheet, RiderSheet, MaterialsSheet, MachineSheet, OrderSheet)
READERS = {
    "board": (read_board, "groyne.board.toml"),
    "stock": (read_stock, "harbour.stock.toml"),
    "bay": (read_bay, "harbour.bay.toml"),
    "rider": (read_rider, "demo.rider.toml"),
    "order": (read_order, "harbour.order.toml"),
}


def test_the_kinds_have_the_keys_of_the_models() -> None:
    assert {m.__name__: frozenset(m.model_fields) - ANY_SHEET for m in MODELS} == {
        name: kind.keys for name, kind in KINDS.items()
    }


# A stock sheet is an order of all its blanks but for their counts, so it is read as an order.
PAIRS = [pair for pair in permutations(READERS, 2) if pair != ("order", "stock")]


@pytest.mark.parametrize(("asked", "given"), PAIRS)
def test_a_sheet_of_another_kind_is_told_and_only_that(asked: str, given: str) -> None:
    with pytest.raises(
        InputError, match=rf"looks like an? .*{given} sheet.*{asked} sheet is needed"
    ) as caught:
        READERS[asked][0](demo_path(READERS[given][1]))
    assert len(caught.value.problems) == 1


@pytest.mark.parametrize("read", [read_materials, read_machine])
def test_a_sheet_that_may_be_empty_is_told_from_others_too(read) -> None:
    with pytest.raises(InputError, match="looks like a board sheet"):
        read(demo_path("groyne.board.toml"))


@pytest.mark.parametrize("text", ["", "# nothing\n\n"])
def test_an_empty_sheet_is_told_and_only_that(tmp_path: Path, text: str) -> None:
    path = tmp_path / "x.toml"
    path.write_text(text)
    for read in (read_board, read_stock, read_rider, read_order):
        with pytest.raises(InputError, match="This sheet is empty") as caught:
            read(path)
        assert len(caught.value.problems) == 1
    read_bay(path)


def test_one_stray_table_makes_no_other_sheet() -> None:
    text = demo_path("groyne.board.toml").read_text() + "\n[prices]\nlabour_hour = 3\n"
    with pytest.raises(InputError, match="The key “prices” is unknown"):
        board_from_text(text, "x.toml")
    with pytest.raises(InputError, match="“length” is missing"):
        board_from_text("colour = 1\n", "x.toml")


@pytest.mark.parametrize(
    ("letter", "name"), [("\u200b", "zero width space"), ("\u202e", "right-to-left override")]
)
def test_a_letter_that_nobody_sees_is_named(letter: str, name: str) -> None:
    text = demo_path("groyne.board.toml").read_text().replace('name = "', f'name = "{letter}', 1)
    with pytest.raises(InputError, match=rf"holds what nobody sees \({name}\)"):
        board_from_text(text, "x.toml")
