"""A board sheet as a person writes it: its tables, keys and limits.

The limits are wide: they catch slips of the pen (a 40 ft board, millimetres read as inches), not taste.
Common practice, no source.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from foamwright.board.fin_layouts import LAYOUT_WORDS, Layout, Side
from foamwright.board.tail_words import NO_TAIL, TailForm, read_tail_form
from foamwright.board.written_sections import BottomTable, DeckTables, RailsTable
from foamwright.findings import said
from foamwright.sheets.fields import (
    UNITS,
    SheetModel,
    StationTable,
    entries,
    length,
    number,
    parsed,
    text,
    word,
)
from foamwright.units import Unit, parse_length

BoardLength = Annotated[
    float, length(said("sheet.of.length-board", "the length of a board"), "4 ft", "14 ft")
]
Width = Annotated[float, length(said("sheet.of.full-width", "a full width"), "0 in", "30 in")]
Widest = Annotated[float, length(said("sheet.of.width-wide", "the width at the wide point"), "8 in", "30 in")]
Rocker = Annotated[float, length(said("sheet.of.rocker", "rocker"), "0 in", "12 in")]
Thickness = Annotated[float, length(said("sheet.of.thickness", "a thickness"), "1/16 in", "6 in")]
Thickest = Annotated[
    float, length(said("sheet.of.greatest-thickness", "the greatest thickness"), "1 in", "6 in")
]
Corner = Annotated[float, length(said("sheet.of.corner-radius", "a corner radius"), "0 in", "6 in")]
TailDepth = Annotated[float, length(said("sheet.of.depth-tail", "the depth of a tail"), "1/16 in", "14 in")]
WingStep = Annotated[float, length(said("sheet.of.step-wing", "the step of a wing"), "1/8 in", "3/4 in")]
WingLength = Annotated[
    float, length(said("sheet.of.length-wing", "the length of a wing's step"), "1/8 in", "2 in")
]
WingFade = Annotated[
    float, length(said("sheet.of.fade-wing", "what a wing's flare fades over"), "1 in", "24 in")
]
BeakLength = Annotated[float, length(said("sheet.of.length-beak", "the length of a beak"), "2 in", "10 in")]
BeakTip = Annotated[float, length(said("sheet.of.tip-beak", "the tip of a beak"), "3/8 in", "3 in")]
BeakRoll = Annotated[float, number(said("sheet.of.roll-beak", "the roll of a beak"), "2", 1.2, 5)]
Offset = Annotated[
    float, length(said("sheet.of.distance-box", "the distance of a box from the stringer"), "0 in", "15 in")
]
BoxLength = Annotated[float, length(said("sheet.of.length-box", "the length of a box"), "1/2 in", "16 in")]
BoxWidth = Annotated[float, length(said("sheet.of.width-box", "the width of a box"), "1/8 in", "4 in")]
BoxDepth = Annotated[float, length(said("sheet.of.depth-box", "the depth of a box"), "1/8 in", "3 in")]
Cover = Annotated[float, length(said("sheet.of.foam-above", "the foam above a box"), "0 in", "2 in")]
Place = Annotated[str, text(said("sheet.of.station", "a station"), "12 from tail")]
Name = Annotated[str, text(said("sheet.of.name", "a name"), "Groyne")]
Angle = Annotated[float, number(said("sheet.of.angle-in", "an angle in degrees"), "3", -45, 45)]
TailWords = Annotated[TailForm, parsed(read_tail_form, NO_TAIL, said("sheet.of.tail-form", "the tail form"))]
UnitWord = Annotated[Unit, word(said("sheet.of.unit-that", "a unit that a sheet can declare"), UNITS)]
LayoutWord = Annotated[Layout, word(said("sheet.of.fin-layout", "a fin layout"), LAYOUT_WORDS)]
SideWord = Annotated[Side, word(said("sheet.of.side", "a side"), {str(side): side for side in Side})]


class WingTable(SheetModel):
    """[[outline.wing]]: a step in the outline, each side alike."""

    at: Place = Field(
        description=said("sheet.key.station-wing", "station of the wing's corner"),
        examples=['at = "14 from tail"'],
    )
    step: WingStep = Field(
        description=said("sheet.key.step-wing", "how far the outline steps in"), examples=['step = "3/8"']
    )
    length: WingLength = Field(parse_length("1/2 in"), description="over what length it steps in")
    flare: Corner = Field(0.0, description="how far the outline swells at the wing's corner")
    fade_forward: WingFade = Field(parse_length("8 in"), description="how far forward the flare fades out")


class BeakTable(SheetModel):
    """A deck rolled down to the nose."""

    length: BeakLength = Field(
        description=said("sheet.key.length-beak", "length of the beak, back from the nose tip"),
        examples=["length = 6"],
    )
    tip: BeakTip = Field(
        description=said("sheet.key.tip-beak", "thickness at its very tip"), examples=['tip = "7/16"']
    )
    thickness: Thickness = Field(
        description=said("sheet.key.thickness-beak", "thickness where the beak begins"),
        examples=['thickness = "1 1/2"'],
    )
    n: BeakRoll = Field(2.0, description="exponent of its roll: 1.6 softer, 3 blunter")


class OutlineTable(StationTable):
    """[outline]: full widths, rail to rail."""

    __pydantic_extra__: dict[str, Width] = Field(init=False)
    nose: Width = Field(
        description=said("sheet.key.full-width", "full width at the nose tip, 0 for a point"),
        examples=["nose = 0"],
    )
    tail: Width | None = Field(None, description="full width of the block at the tail tip")
    wide: Widest = Field(
        description=said("sheet.key.full-width-wide", "full width at the wide point"),
        examples=['wide = "20 3/8"'],
    )
    wide_at: Place | None = Field(None, description="station of the wide point")
    tail_form: TailWords | None = Field(None, description="how the outline ends at the tail")
    tail_corner: Corner | None = Field(None, description="radius of the tail's corners")
    tail_depth: TailDepth | None = Field(
        None, description="along the stringer: notch of a swallow, hollow of a crescent, point of a diamond"
    )
    tail_bow: Corner | None = Field(None, description="how far forward the corners of a squash lie")
    tail_point: Corner | None = Field(None, description="how far forward the middle point of a bat lies")
    tail_tip_width: Corner | None = Field(None, description="width of each tip of a swallow")
    tail_crack_bow: Corner | None = Field(None, description="how far a swallow's crack bulges half way")
    wing: Annotated[list[WingTable], entries()] = Field(
        [], description="wings, one by one", examples=["[[outline.wing]]"]
    )


class RockerTable(StationTable):
    """[rocker]: the bottom above the level line, at the finished stringer."""

    __pydantic_extra__: dict[str, Rocker] = Field(init=False)
    nose: Rocker = Field(
        description=said("sheet.key.rocker-nose", "rocker at the nose tip"), examples=["nose = 4.75"]
    )
    tail: Rocker = Field(
        description=said("sheet.key.rocker-tail", "rocker at the tail tip"), examples=['tail = "2 1/8"']
    )
    low_at: Place | None = Field(None, description="station of the low point")


class ThicknessTable(StationTable):
    """[thickness]: at the finished stringer."""

    __pydantic_extra__: dict[str, Thickness] = Field(init=False)
    nose: Thickness | None = Field(None, description="thickness at the nose tip", examples=['nose = "1/2"'])
    nose_beak: BeakTable | None = Field(None, description="a deck rolled down to the nose, instead of nose")
    tail: Thickness | None = Field(None, description="thickness at the tail tip", examples=['tail = "5/8"'])
    tail_tip: Thickness | None = Field(
        None, description="thickness of the foam in the tips of a swallow, instead of tail"
    )
    thickest: Thickest = Field(
        description=said("sheet.key.greatest-thickness", "greatest thickness"),
        examples=['thickest = "2 1/2"'],
    )
    thickest_at: Place | None = Field(None, description="station of the greatest thickness")


class FinBoxTable(SheetModel):
    """[[fins.box]]: a fin box, or a pair of them."""

    name: Name = Field(description=said("sheet.key.name-box", "name of the box"), examples=['name = "front"'])
    at: Place = Field(
        description=said("sheet.key.station-trailing", "station of the trailing edge"),
        examples=['at = "11 from tail"'],
    )
    offset: Offset = Field(
        description=said("sheet.key.distance-from", "distance from the stringer"),
        examples=['offset = "4 1/2"'],
    )
    side: SideWord = Field(Side.BOTH, description="which side of the stringer")
    toe: Angle = Field(0.0, description="degrees that the front edge turns towards the stringer")
    cant: Angle = Field(0.0, description="degrees that the fin's tip leans outwards")
    length: BoxLength = Field(
        description=said("sheet.key.length-box", "length of the box"), examples=['length = "4 1/2"']
    )
    width: BoxWidth = Field(
        description=said("sheet.key.width-box", "width of the box"), examples=["width = 1"]
    )
    depth: BoxDepth = Field(
        description=said("sheet.key.depth-box", "depth of the box"), examples=['depth = "1/2"']
    )
    cover: Cover = Field(parse_length("1/4 in"), description="foam that must remain above the box")


class FinsTable(SheetModel):
    """[fins]: a usual layout by name, or boxes one by one."""

    layout: LayoutWord | None = Field(None, description="a usual layout by name")
    box: Annotated[list[FinBoxTable], entries()] = Field(
        [], description="fin boxes one by one", examples=["[[fins.box]]"]
    )


class BoardSheet(SheetModel):
    """A board sheet."""

    name: Name = Field(
        description=said("sheet.key.name-board", "name of the board"), examples=['name = "Groyne"']
    )
    units: UnitWord | None = Field(None, description="what a bare number means")
    length: BoardLength = Field(
        description=said("sheet.key.length-from", "length from tail tip to nose tip along the level line"),
        examples=['length = "6\'4\\""'],
    )
    outline: OutlineTable = Field(
        description=said("sheet.key.full-widths", "full widths at stations"), examples=["[outline]"]
    )
    rocker: RockerTable = Field(
        description=said("sheet.key.heights-above", "heights above the level line at stations"),
        examples=["[rocker]"],
    )
    thickness: ThicknessTable = Field(
        description=said("sheet.key.thicknesses-stations", "thicknesses at stations"),
        examples=["[thickness]"],
    )
    rails: RailsTable = Field(
        description=said("sheet.key.rails-stations", "rails at stations"), examples=["[rails]"]
    )
    deck: DeckTables | None = Field(None, description="decks at stations", examples=["[deck]"])
    bottom: BottomTable | None = Field(None, description="bottom contours", examples=["[[bottom.contour]]"])
    fins: FinsTable | None = Field(None, description="fin boxes", examples=["[fins]"])
