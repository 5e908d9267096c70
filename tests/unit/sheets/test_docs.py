"""docs/sheets.md says what every key of every sheet means, whether it is required, and what else holds."""

import re
import typing
from collections.abc import Iterator
from pathlib import Path

import pytest

from foamwright.bay.bay import Bay, PowerPlaner
from foamwright.bay.machine_written import MachineSheet
from foamwright.bay.sheet import bay_sheet
from foamwright.bay.written import BaySheet
from foamwright.blank.foam_words import CUSTOMS
from foamwright.blank.numbers import FoamFamily
from foamwright.blank.written import StockSheet
from foamwright.board.contours.kinds import KINDS
from foamwright.board.fin_layouts import Layout
from foamwright.board.numbers import Edge, TailKind
from foamwright.board.written import BoardSheet
from foamwright.making.nest.written import OrderSheet
from foamwright.sheets.fields import SheetModel
from foamwright.sheets.rider import Experience, Lungs, RiderSheet
from foamwright.sheets.shape_problems import keys_of
from foamwright.units import System, format_with_unit

DOCS = (Path(__file__).parents[3] / "docs" / "sheets.md").read_text("utf-8")
CHAPTERS = {
    "Board": BoardSheet,
    "Stock": StockSheet,
    "Bay": BaySheet,
    "Rider": RiderSheet,
    "Machine": MachineSheet,
    "Order": OrderSheet,
}
SHARED = {"Order": StockSheet}
"""Sheets whose tables are partly those of another, and told there."""


def chapter(title: str) -> str:
    return DOCS.split(f"\n## {title} sheet\n")[1].split("\n## ")[0]


def models(annotation: object) -> Iterator[type[SheetModel]]:
    """Every table inside a type, itself included."""
    if isinstance(annotation, type) and issubclass(annotation, SheetModel):
        yield annotation
        hints = typing.get_type_hints(annotation)
        inner = [field.annotation for field in annotation.model_fields.values()]
        for each in [*inner, hints.get("__pydantic_extra__")]:
            yield from models(each)
    for part in typing.get_args(annotation):
        yield from models(part)


KEYS = sorted(
    {
        (title, key, str(field.description), field.is_required())
        for title, root in CHAPTERS.items()
        for model in models(root)
        if model not in models(SHARED.get(title))
        for key, field in keys_of(model).items()
    }
)


def test_the_walk_finds_the_tables() -> None:
    assert len(KEYS) > 80
    assert ("Board", "tuck", "how far in from the edge the bottom's flat ends", False) in KEYS


@pytest.mark.parametrize(("title", "key", "description", "required"), KEYS, ids=lambda part: str(part)[:30])
def test_every_key_is_told(title: str, key: str, description: str, required: bool) -> None:
    rows = [
        row
        for row in chapter(title).splitlines()
        if re.search(rf"\| (?:`\[.*\]` )?\(?`(?:\[+(?:\w+\.)?)?{key}\]*`\)? \|", row)
        and f"| {description}" in row
    ]
    assert rows, f"docs/sheets.md, {title} sheet, needs: | `{key}` | {description} | … |"
    if required and title != "Bay":
        assert any(row.rstrip(" |").endswith(("yes", "one at least")) for row in rows)


@pytest.mark.parametrize("word", [*KINDS, *Edge, *Layout, *Experience, *Lungs])
def test_every_word_is_told(word: str) -> None:
    assert re.search(rf"\b{word}\b", DOCS)


@pytest.mark.parametrize("kind", TailKind)
def test_every_tail_form_is_told(kind: str) -> None:
    assert f'`"{kind}"`' in DOCS


def test_the_usual_bay_is_told() -> None:
    told = dict(re.findall(r"\| `\[\w+\]` \| `(\w+)` \| [^|]+ \| ([^|]+) \|", chapter("Bay")))
    # The usual bay has no power planer: what its table tells is what one is taken for that says no more.
    planer = {key: told.pop(key) for key in ("cutter", "chip")}
    assert planer["cutter"] == f"{PowerPlaner().cutter * 1000:.0f} mm"
    assert planer["chip"] == format_with_unit(PowerPlaner().chip, System.INCH)
    written = re.findall(r'^(\w+) = "?([^"\n]+)"?$', bay_sheet(Bay()).split("[[plane]]")[0], re.MULTILINE)
    assert {key: value.removesuffix(" in") for key, value in told.items()} == {
        key: value for key, value in written if key not in {"name", "units", "rail_bands"}
    }


@pytest.mark.parametrize(("family", "row"), [(FoamFamily.EPS, "eps, xps"), (FoamFamily.PU, "pu")])
def test_what_is_usual_for_a_foam_is_told(family: FoamFamily, row: str) -> None:
    usual = CUSTOMS[family]
    line = next(line for line in DOCS.splitlines() if line.startswith(f"| {row} ("))
    _, _, hard_face, most, bottom, deck, _ = (cell.strip() for cell in line.split("|"))
    assert hard_face == (usual.hard_face or "none")
    assert most == (format_with_unit(usual.hard_most, System.INCH) if usual.hard_face else "")
    assert bottom == format_with_unit(usual.skim_bottom, System.INCH, 32)
    assert deck == format_with_unit(usual.skim_deck, System.INCH, 32)
