"""A board sheet as a person writes it: its tables, keys and limits.

The limits are wide: they catch slips of the pen (a 40 ft board, millimetres read as inches), not taste.
Common practice, no source.
"""

from __future__ import annotations

import math
from typing import Annotated

from pydantic import Field

from foamwright.board.fin_layouts import Layout, Side
from foamwright.board.numbers import BottomShape
from foamwright.board.tail_words import NO_TAIL, TailForm, read_tail_form
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

BoardLength = Annotated[float, length("the length of a board", "4 ft", "14 ft")]
Width = Annotated[float, length("a full width", "0 in", "30 in")]
Widest = Annotated[float, length("the width at the wide point", "8 in", "30 in")]
Rocker = Annotated[float, length("rocker", "0 in", "12 in")]
Thickness = Annotated[float, length("a thickness", "1/16 in", "6 in")]
Thickest = Annotated[float, length("the greatest thickness", "1 in", "6 in")]
Corner = Annotated[float, length("a corner radius", "0 in", "6 in")]
TailDepth = Annotated[float, length("the depth of a tail", "1/16 in", "14 in")]
ContourDepth = Annotated[float, length("the depth of a contour", "0 in", "2 in")]
Offset = Annotated[float, length("the distance of a box from the stringer", "0 in", "15 in")]
BoxLength = Annotated[float, length("the length of a box", "1/2 in", "16 in")]
BoxWidth = Annotated[float, length("the width of a box", "1/8 in", "4 in")]
BoxDepth = Annotated[float, length("the depth of a box", "1/8 in", "3 in")]
Cover = Annotated[float, length("the foam above a box", "0 in", "2 in")]
Place = Annotated[str, text("a station", "12 from tail")]
Name = Annotated[str, text("a name", "Groyne")]
Share = Annotated[float, number("a share", "0.4", 0, 1)]
Exponent = Annotated[float, number("a roundness exponent", "2.2", 1, 50)]
LowerExponent = Annotated[float, number("a roundness exponent", "2.2", 1, 50, {"hard": math.inf})]
Angle = Annotated[float, number("an angle in degrees", "3", -45, 45)]
ShapeWord = Annotated[BottomShape, word("a bottom shape", {str(shape): shape for shape in BottomShape})]
TailWords = Annotated[TailForm, parsed(read_tail_form, NO_TAIL, "the tail form")]
UnitWord = Annotated[Unit, word("a unit that a sheet can declare", UNITS)]
LayoutWord = Annotated[Layout, word("a fin layout", {str(layout): layout for layout in Layout})]
SideWord = Annotated[Side, word("a side", {str(side): side for side in Side})]


class OutlineTable(StationTable):
    """[outline]: full widths, rail to rail."""

    __pydantic_extra__: dict[str, Width] = Field(init=False)
    nose: Width = Field(description="full width at the nose tip, 0 for a point", examples=["nose = 0"])
    tail: Width | None = Field(None, description="full width of the block at the tail tip")
    wide: Widest = Field(description="full width at the wide point", examples=['wide = "20 3/8"'])
    wide_at: Place | None = Field(None, description="station of the wide point")
    tail_form: TailWords | None = Field(None, description="how the outline ends at the tail")
    tail_corner: Corner | None = Field(None, description="radius of the corners of a square or squash tail")
    tail_depth: TailDepth | None = Field(None, description="notch of a swallow, point of a diamond")


class RockerTable(StationTable):
    """[rocker]: the bottom above the level line, at the finished stringer."""

    __pydantic_extra__: dict[str, Rocker] = Field(init=False)
    nose: Rocker = Field(description="rocker at the nose tip", examples=["nose = 4.75"])
    tail: Rocker = Field(description="rocker at the tail tip", examples=['tail = "2 1/8"'])
    apex: Place | None = Field(None, description="station of the lowest point")


class ThicknessTable(StationTable):
    """[thickness]: at the finished stringer."""

    __pydantic_extra__: dict[str, Thickness] = Field(init=False)
    nose: Thickness = Field(description="thickness at the nose tip", examples=['nose = "1/2"'])
    tail: Thickness = Field(description="thickness at the tail tip", examples=['tail = "5/8"'])
    thickest: Thickest = Field(description="greatest thickness", examples=['thickest = "2 1/2"'])
    thickest_at: Place | None = Field(None, description="station of the greatest thickness")


_RAIL = "{ apex = 0.4, lower = 2.3, upper = 2.1 }"


class RailTable(SheetModel):
    """A rail at one station."""

    apex: Share = Field(
        description="height of the apex as a share of the edge thickness", examples=["apex = 0.4"]
    )
    lower: LowerExponent = Field(
        description="roundness exponent below the apex, or hard", examples=["lower = 2.3"]
    )
    upper: Exponent = Field(description="roundness exponent above the apex", examples=["upper = 2.1"])


class RailsTable(StationTable):
    """[rails]: rails at stations."""

    __pydantic_extra__: dict[str, RailTable] = Field(init=False)
    nose: RailTable = Field(description="rail at the nose tip", examples=[f"nose = {_RAIL}"])
    tail: RailTable = Field(description="rail at the tail tip", examples=[f"tail = {_RAIL}"])


class ContourTable(SheetModel):
    """A bottom contour at one station."""

    shape: ShapeWord = Field(description="shape of the bottom across the board", examples=['shape = "flat"'])
    depth: ContourDepth | None = Field(None, description="depth of the contour")


class BottomTable(StationTable):
    """[bottom]: bottom contours at stations."""

    __pydantic_extra__: dict[str, ContourTable] = Field(init=False)
    nose: ContourTable = Field(description="contour at the nose tip", examples=['nose = { shape = "flat" }'])
    tail: ContourTable = Field(description="contour at the tail tip", examples=['tail = { shape = "flat" }'])


class FinBoxTable(SheetModel):
    """[[fins.box]]: a fin box, or a pair of them."""

    name: Name = Field(description="name of the box", examples=['name = "front"'])
    at: Place = Field(description="station of the trailing edge", examples=['at = "11 from tail"'])
    offset: Offset = Field(description="distance from the stringer", examples=['offset = "4 1/2"'])
    side: SideWord = Field(Side.BOTH, description="which side of the stringer")
    toe: Angle = Field(0.0, description="degrees that the front edge turns towards the stringer")
    cant: Angle = Field(0.0, description="degrees that the fin's tip leans outwards")
    length: BoxLength = Field(description="length of the box", examples=['length = "4 1/2"'])
    width: BoxWidth = Field(description="width of the box", examples=["width = 1"])
    depth: BoxDepth = Field(description="depth of the box", examples=['depth = "1/2"'])
    cover: Cover = Field(parse_length("1/4 in"), description="foam that must remain above the box")


class FinsTable(SheetModel):
    """[fins]: a usual layout by name, or boxes one by one."""

    layout: LayoutWord | None = Field(None, description="a usual layout by name")
    box: Annotated[list[FinBoxTable], entries()] = Field(
        [], description="fin boxes one by one", examples=["[[fins.box]]"]
    )


class BoardSheet(SheetModel):
    """A board sheet."""

    name: Name = Field(description="name of the board", examples=['name = "Groyne"'])
    units: UnitWord | None = Field(None, description="what a bare number means")
    length: BoardLength = Field(
        description="length from tail tip to nose tip along the level line", examples=['length = "6\'4\\""']
    )
    outline: OutlineTable = Field(description="full widths at stations", examples=["[outline]"])
    rocker: RockerTable = Field(description="heights above the level line at stations", examples=["[rocker]"])
    thickness: ThicknessTable = Field(description="thicknesses at stations", examples=["[thickness]"])
    rails: RailsTable = Field(description="rails at stations", examples=["[rails]"])
    bottom: BottomTable = Field(description="bottom contours at stations", examples=["[bottom]"])
    fins: FinsTable | None = Field(None, description="fin boxes", examples=["[fins]"])
