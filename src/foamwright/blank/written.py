"""A stock sheet as a person writes it: its tables, keys and limits (wide ones, to catch slips of the pen)."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from foamwright.blank.foam_words import NO_FOAM, read_foam
from foamwright.blank.numbers import Face, Foam, Section
from foamwright.findings import said
from foamwright.sheets.fields import (
    UNITS,
    SheetModel,
    StationTable,
    count,
    entries,
    length,
    number,
    parsed,
    table_or,
    text,
    word,
)
from foamwright.units import Unit

BlankLength = Annotated[
    float, length(said("sheet.of.length-blank", "the length of a blank"), "4 ft", "16 ft")
]
Width = Annotated[float, length(said("sheet.of.full-width", "a full width"), "0 in", "40 in")]
Widest = Annotated[float, length(said("sheet.of.width-wide", "the width at the wide point"), "8 in", "40 in")]
Rocker = Annotated[float, length(said("sheet.of.rocker", "rocker"), "0 in", "14 in")]
Thickness = Annotated[float, length(said("sheet.of.thickness", "a thickness"), "1/4 in", "12 in")]
Skim = Annotated[float, length(said("sheet.of.skim", "a skim"), "0 in", "2 in")]
StringerWidth = Annotated[
    float, length(said("sheet.of.width-stringer", "the width of a stringer"), "0 in", "2 in")
]
EdgeShare = Annotated[
    float, number(said("sheet.of.share-stringer", "a share of the stringer's thickness"), "0.7", 0, 1)
]
Price = Annotated[float, number(said("sheet.of.price", "a price"), "78", 0)]
Count = Annotated[int, count(said("sheet.of.how-many", "how many there are"), "3", 0, 100_000)]
Days = Annotated[float, number(said("sheet.of.days", "days"), "14", 0, 1000)]
Place = Annotated[str, text(said("sheet.of.station", "a station"), "centre")]
Id = Annotated[str, text(said("sheet.of.name-blank", "a name for the blank"), "Q-6-8-2.75")]
Wood = Annotated[str, text(said("sheet.of.wood", "a wood"), "basswood")]
Currency = Annotated[str, text(said("sheet.of.currency", "a currency"), "EUR", 10)]
FoamWords = Annotated[Foam, parsed(read_foam, NO_FOAM, said("sheet.of.foam-and", "foam and density"))]
SectionWord = Annotated[
    Section, word(said("sheet.of.section", "a section"), {str(section): section for section in Section})
]
HardWord = Annotated[
    Face | None,
    word(said("sheet.of.hard-face", "a hard face"), {"deck": Face.DECK, "bottom": Face.BOTTOM, "none": None}),
]
UnitWord = Annotated[Unit, word(said("sheet.of.unit-that", "a unit that a sheet can declare"), UNITS)]


class OutlineTable(StationTable):
    """[blank.outline]: full widths."""

    __pydantic_extra__: dict[str, Width] = Field(init=False)
    nose: Width = Field(
        description=said("sheet.key.full-width-nose", "full width at the nose tip"), examples=["nose = 6"]
    )
    tail: Width = Field(
        description=said("sheet.key.full-width-tail", "full width at the tail tip"), examples=["tail = 11"]
    )
    wide: Widest | None = Field(None, description="full width at the wide point")
    wide_at: Place | None = Field(None, description="station of the wide point")


class RockerTable(StationTable):
    """[blank.rocker]: the bottom above the blank's own level line, at the stringer."""

    __pydantic_extra__: dict[str, Rocker] = Field(init=False)
    nose: Rocker = Field(
        description=said("sheet.key.rocker-nose", "rocker at the nose tip"), examples=["nose = 5"]
    )
    tail: Rocker = Field(
        description=said("sheet.key.rocker-tail", "rocker at the tail tip"), examples=["tail = 2"]
    )


class ThicknessTable(StationTable):
    """[blank.thickness]: at the stringer; one number stands for the whole length."""

    __pydantic_extra__: dict[str, Thickness] = Field(init=False)
    everywhere: Thickness | None = Field(None, description="one thickness for the whole length")
    nose: Thickness | None = Field(None, description="thickness at the nose tip")
    tail: Thickness | None = Field(None, description="thickness at the tail tip")


class DomeTable(StationTable):
    """[blank.dome]: thickness at the edge as a share of the stringer's."""

    __pydantic_extra__: dict[str, EdgeShare] = Field(init=False)
    nose: EdgeShare = Field(
        description=said("sheet.key.share-nose", "share at the nose tip"), examples=["nose = 0.55"]
    )
    tail: EdgeShare = Field(
        description=said("sheet.key.share-tail", "share at the tail tip"), examples=["tail = 0.6"]
    )


class StringerTable(SheetModel):
    """[blank.stringer]: the wood spine, or the word none."""

    wood: Wood = Field(
        description=said("sheet.key.wood-or", "the wood, or none"), examples=['wood = "basswood"']
    )
    width: StringerWidth | None = Field(None, description="its width")


class SkimTable(SheetModel):
    """[blank.skim]: least that must come off each face."""

    bottom: Skim | None = Field(None, description="least that must come off the bottom")
    deck: Skim | None = Field(None, description="least that must come off the deck")


class BlankTable(SheetModel):
    """[[blank]]: one kind of blank."""

    id: Id = Field(
        description=said("sheet.key.name-blank", "name of the blank, each once"),
        examples=['id = "Q-6-8-2.75"'],
    )
    foam: FoamWords = Field(
        description=said("sheet.key.foam-family", "foam family and density"),
        examples=['foam = "eps 24 kg/m3"'],
    )
    section: SectionWord = Field(
        description=said("sheet.key.square-block", "square (block-cut) or domed (moulded)"),
        examples=['section = "square"'],
    )
    length: BlankLength = Field(
        description=said(
            "sheet.key.length-from-tail", "length from tail tip to nose tip along its level line"
        ),
        examples=['length = "6\'8\\""'],
    )
    width: Widest | None = Field(None, description="one full width for the whole length")
    outline: OutlineTable | None = Field(
        None, description="full widths at stations", examples=["[blank.outline]"]
    )
    rocker: RockerTable = Field(
        description=said("sheet.key.heights-above-level", "heights above its level line at stations"),
        examples=["[blank.rocker]"],
    )
    thickness: Annotated[ThicknessTable, table_or("everywhere")] = Field(
        description=said("sheet.key.one-thickness", "one thickness, or thicknesses at stations"),
        examples=['thickness = "2 3/4"'],
    )
    dome: DomeTable | None = Field(
        None, description="edge thickness of a domed section", examples=["[blank.dome]"]
    )
    stringer: Annotated[StringerTable, table_or("wood")] = Field(
        description=said("sheet.key.wood-and", "wood and width of the stringer, or none"),
        examples=['stringer = { wood = "basswood", width = "1/8" }'],
    )
    price: Price = Field(description=said("sheet.key.price-one", "price of one"), examples=["price = 78"])
    on_hand: Count = Field(
        description=said("sheet.key.how-many", "how many are on hand"), examples=["on_hand = 3"]
    )
    lead_time_days: Days = Field(0.0, description="days until an ordered one is there")
    hard_face: HardWord | None = Field(None, description="face whose foam is hard: deck, bottom or none")
    hard_most: Skim | None = Field(None, description="most that may come off the hard face under the rider")
    skim: SkimTable = Field(SkimTable(), description="least that must come off", examples=["[blank.skim]"])


class StockSheet(SheetModel):
    """A stock sheet."""

    units: UnitWord | None = Field(None, description="what a bare number means")
    currency: Currency = Field(
        description=said("sheet.key.currency-every", "currency of every price"), examples=['currency = "EUR"']
    )
    blank: Annotated[list[BlankTable], entries()] = Field(
        description=said("sheet.key.blanks-that", "the blanks that can be had"), examples=["[[blank]]"]
    )
