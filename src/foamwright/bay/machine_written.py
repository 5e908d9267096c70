"""A machine sheet as a person writes it; what it leaves away is as in the usual machine."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from foamwright.bay.machine import Carriages, WireAxes
from foamwright.sheets.fields import UNITS, SheetModel, count, entries, length, number, text, word
from foamwright.units import Unit

Name = Annotated[str, text("a name", "long wire")]
Currency = Annotated[str, text("a currency", "EUR", 10)]
FoamWords = Annotated[str, text("foam and density", "eps 20 kg/m3")]
UnitWord = Annotated[Unit, word("a unit that a sheet can declare", UNITS)]
Travel = Annotated[float, length("a travel", "100 mm", "10 m")]
Gap = Annotated[float, length("a gap", "0 mm", "2 m")]
Lead = Annotated[float, length("a lead", "1 mm", "500 mm")]
Small = Annotated[float, length("an overshoot or margin", "0 mm", "100 mm")]
Width = Annotated[float, length("the width of a kerf", "0.1 mm", "10 mm")]
Side = Annotated[float, length("the side of a block", "50 mm", "10 m")]
Place = Annotated[float, length("a place", "0 mm", "10 m")]
Seconds = Annotated[float, number("seconds", "5", 0, 600)]
Lines = list[Annotated[str, text("a line of a program", "M3 S800", 120)]]
ProgramUnit = Annotated[Unit, word("a unit of a program", {"mm": Unit.MM, "in": Unit.INCH})]
Feed = Annotated[float, number("millimetres in a minute", "360", 1, 100_000)]
Minutes = Annotated[float, number("minutes", "20", 0, 10_000)]
Days = Annotated[float, number("days", "4", 0, 1000)]
Price = Annotated[float, number("a price", "160", 0)]
Count = Annotated[int, count("how many there are", "3", 0, 100_000)]
CarriageWord = Annotated[Carriages, word("a way to move", {str(way): way for way in Carriages})]
AxesWord = Annotated[WireAxes, word("a set of axes", {str(axes).casefold(): axes for axes in WireAxes})]


class KerfTable(SheetModel):
    """[[kerf]]: one row of the kerf over the feed, measured on a test piece."""

    feed_mm_min: Feed = Field(
        description="speed of the wire, millimetres in a minute", examples=["feed_mm_min = 360"]
    )
    width: Width = Field(description="width of the slot", examples=['width = "1.6 mm"'])


class BlockTable(SheetModel):
    """[[block]]: a block of foam as it comes."""

    name: Name = Field(description="name of the block", examples=['name = "full block"'])
    length: Side = Field(description="side along the board", examples=['length = "2.5 m"'])
    width: Side = Field(description="side along the wire", examples=['width = "1.22 m"'])
    height: Side = Field(description="side upwards", examples=['height = "62 cm"'])
    foam: FoamWords = Field(description="foam family and density", examples=['foam = "eps 20 kg/m3"'])
    price: Price = Field(description="price of one", examples=["price = 160"])
    on_hand: Count | None = Field(None, description="how many are on hand; default: as many as are wanted")


class TermsTable(SheetModel):
    """[terms]: what a blank made to order takes besides foam."""

    setup_minutes: Minutes | None = Field(None, description="minutes to set up one blank")
    glue_minutes: Minutes | None = Field(None, description="minutes to glue in one stringer")
    stringer_price: Price | None = Field(None, description="price of one stringer")
    lead_time_days: Days | None = Field(None, description="days until a blank made to order is there")


class ParkTable(SheetModel):
    """[program] park: where the wire goes afterwards."""

    along: Place = Field(description="along the board from the zero of the machine", examples=["along = 0"])
    up: Place = Field(description="above the bed", examples=["up = 300"])


class ProgramTable(SheetModel):
    """[program]: what the controller wants besides the moves; its lines go in as they are written."""

    units: ProgramUnit | None = Field(None, description="what the program's numbers are: mm or in")
    header: Lines = Field([], description="lines after the opening words")
    heat_on: Lines = Field(
        [], description="lines that switch the wire on", examples=['heat_on = ["M3 S800"]']
    )
    heat_seconds: Seconds | None = Field(None, description="seconds until the wire is hot")
    heat_off: Lines = Field([], description="lines that switch the wire off", examples=['heat_off = ["M5"]'])
    park: ParkTable | None = Field(
        None, description="where the wire goes afterwards", examples=["park = { along = 0, up = 300 }"]
    )
    footer: Lines = Field([], description="lines before the end of the program")


class MachineSheet(SheetModel):
    """A machine sheet."""

    name: Name | None = Field(None, description="name of the machine")
    units: UnitWord | None = Field(None, description="what a bare number means")
    currency: Currency | None = Field(None, description="currency of every price")
    along: Travel | None = Field(None, description="travel along the board")
    up: Travel | None = Field(None, description="travel upwards")
    span: Travel | None = Field(None, description="distance between the two ends of the wire")
    near_gap: Gap | None = Field(None, description="from the near end of the wire to the block")
    carriages: CarriageWord | None = Field(None, description="whether the wire's ends move together or apart")
    axes: AxesWord | None = Field(
        None, description="letters of the axes: near end along and up, then the far end"
    )
    feed_mm_min: Feed | None = Field(None, description="usual speed through foam, millimetres in a minute")
    slowest_mm_min: Feed | None = Field(None, description="slowest speed through foam")
    fastest_mm_min: Feed | None = Field(None, description="fastest speed through foam")
    rapid_mm_min: Feed | None = Field(None, description="speed in air")
    carriage_fastest_mm_min: Feed | None = Field(
        None, description="fastest speed of one end of the wire by itself"
    )
    lead: Lead | None = Field(None, description="how far outside the foam a cut begins and ends")
    overshoot: Small | None = Field(None, description="how far the wire runs on past a corner")
    margin: Small | None = Field(None, description="foam left around a part")
    kerf: Annotated[list[KerfTable], entries()] = Field(
        [], description="kerf over feed, slow first", examples=["[[kerf]]"]
    )
    block: Annotated[list[BlockTable], entries()] = Field(
        [], description="blocks of foam", examples=["[[block]]"]
    )
    program: ProgramTable = Field(
        ProgramTable(), description="words of the controller", examples=["[program]"]
    )
    terms: TermsTable = Field(TermsTable(), description="terms of the work", examples=["[terms]"])
