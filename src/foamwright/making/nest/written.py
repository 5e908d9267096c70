"""An order sheet as a person writes it: the blanks that are wanted, the shop's blocks, how they are cut."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from foamwright.blank.written import (
    BlankLength,
    Currency,
    FoamWords,
    Id,
    Price,
    RockerTable,
    StringerTable,
    ThicknessTable,
    UnitWord,
    Widest,
)
from foamwright.making.nest.order import Least, Tool
from foamwright.sheets.fields import SheetModel, count, entries, length, table_or, text, word

Name = Annotated[str, text("a name", "winter order")]
File = Annotated[str, text("the name of a sheet", "groyne.board.toml", 300)]
Side = Annotated[float, length("the side of a block", "50 mm", "10 m")]
Kerf = Annotated[float, length("the width of a cut", "0 mm", "20 mm")]
Margin = Annotated[float, length("a margin", "0 mm", "100 mm")]
Left = Annotated[float, length("an allowance", "0 mm", "300 mm")]
Wanted = Annotated[int, count("how many are wanted", "12", 1, 10_000)]
OnHand = Annotated[int, count("how many are on hand", "3", 0, 100_000)]
ToolWord = Annotated[Tool, word("a way to cut", {str(tool): tool for tool in Tool})]
LeastWord = Annotated[Least, word("what there should be least of", {str(least): least for least in Least})]


class AllowancesTable(SheetModel):
    """[blank.allowances]: what is left around a board in a close-cut blank."""

    bottom: Left | None = Field(None, description="foam left on the bottom")
    deck: Left | None = Field(None, description="foam left on the deck")
    tips: Left | None = Field(None, description="foam left beyond each tip")
    sides: Left | None = Field(None, description="foam left outside the outline")


class WantedTable(SheetModel):
    """[[blank]]: one kind of blank: by its numbers, or one of a stock, or close-cut round a board."""

    id: Id = Field(description="name of the blank, each once", examples=['id = "Q-6-8-2.75"'])
    count: Wanted = Field(description="how many are wanted", examples=["count = 12"])
    stock: File | None = Field(
        None, description="stock sheet that holds the blank of this id", examples=['stock = "h.stock.toml"']
    )
    board: File | None = Field(
        None,
        description="board sheet that a close-cut blank is wanted for",
        examples=['board = "b.board.toml"'],
    )
    foam: FoamWords | None = Field(
        None, description="foam family and density", examples=['foam = "eps 20 kg/m3"']
    )
    stringer: Annotated[StringerTable, table_or("wood")] | None = Field(
        None, description="wood and width of the stringer, or none", examples=['stringer = "none"']
    )
    length: BlankLength | None = Field(
        None, description="length along its level line", examples=['length = "6\'8\\""']
    )
    width: Widest | None = Field(None, description="full width", examples=["width = 22"])
    rocker: RockerTable | None = Field(
        None, description="heights above its level line at stations", examples=["[blank.rocker]"]
    )
    thickness: Annotated[ThicknessTable, table_or("everywhere")] | None = Field(
        None, description="one thickness, or thicknesses at stations", examples=['thickness = "2 3/4"']
    )
    allowances: AllowancesTable = Field(
        AllowancesTable(), description="what is left around a board", examples=["[blank.allowances]"]
    )


class WantedBlock(SheetModel):
    """[[block]]: a kind of block that the shop has."""

    name: Name = Field(description="name of the block, each once", examples=['name = "full block"'])
    length: Side = Field(description="side along the blank", examples=['length = "2.5 m"'])
    width: Side = Field(description="side across the blank", examples=['width = "1.22 m"'])
    height: Side = Field(description="side upwards", examples=['height = "62 cm"'])
    foam: FoamWords = Field(description="foam family and density", examples=['foam = "eps 20 kg/m3"'])
    price: Price = Field(description="price of one", examples=["price = 160"])
    on_hand: OnHand | None = Field(None, description="how many are on hand; default: as many as are wanted")


class OrderSheet(SheetModel):
    """An order sheet."""

    name: Name | None = Field(None, description="name of the order")
    units: UnitWord | None = Field(None, description="what a bare number means")
    currency: Currency | None = Field(None, description="currency of every price")
    cut: ToolWord = Field(Tool.WIRE, description="what cuts the profiles: wire or saw")
    kerf: Kerf | None = Field(None, description="width of the cut along a profile")
    margin: Margin | None = Field(
        None, description="foam left around a piece beyond the kerf: to the block's faces and to neighbours"
    )
    slicing: Kerf | None = Field(None, description="width lost where a block is sliced in strips")
    least: LeastWord = Field(Least.COST, description="what there should be least of: cost or blocks")
    block: Annotated[list[WantedBlock], entries()] = Field(
        [], description="the blocks that can be had; default: those of the machine", examples=["[[block]]"]
    )
    blank: Annotated[list[WantedTable], entries()] = Field(
        description="the blanks that are wanted", examples=["[[blank]]"]
    )
