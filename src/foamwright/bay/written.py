"""A bay sheet as a person writes it: every key is optional; without it the usual bay's number holds."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field

from foamwright.findings import said
from foamwright.sheets.fields import UNITS, SheetModel, count, entries, length, number, problem, text, word
from foamwright.units import Unit


def _halved(fraction: int) -> int:
    """Return a division that a tape has: an inch halved, and halved again."""
    if fraction & (fraction - 1):
        raise problem(
            said("sheet.tape", "No tape divides the inch into {fraction}.", fraction=str(fraction)),
            said("sheet.tape.remedy", "Write 8, 16, 32 or 64."),
        )
    return fraction


Name = Annotated[str, text(said("sheet.of.name", "a name"), "harbour bay")]
Currency = Annotated[str, text(said("sheet.of.currency", "a currency"), "EUR", 10)]
UnitWord = Annotated[Unit, word(said("sheet.of.unit-that", "a unit that a sheet can declare"), UNITS)]
Sole = Annotated[float, length(said("sheet.of.length-sole", "the length of a sole"), "2 in", "40 in")]
Mouth = Annotated[
    float, length(said("sheet.of.distance-from", "the distance from toe to iron"), "1/8 in", "30 in")
]
PlaneWidth = Annotated[float, length(said("sheet.of.width-plane", "the width of a plane"), "1/2 in", "8 in")]
Chip = Annotated[float, length(said("sheet.of.chip", "a chip"), "0.01 mm", "1/4 in")]
StandardError = Annotated[
    float, length(said("sheet.of.standard-error", "the standard error of a tape"), "0 in", "1/4 in")
]
Allowance = Annotated[float, length(said("sheet.of.allowance", "an allowance"), "0 in", "2 in")]
Tolerance = Annotated[
    float, length(said("sheet.of.tolerance-run", "the tolerance of a run-off"), "0.1 mm", "1/4 in")
]
Given = Annotated[float, length(said("sheet.of.change", "a change"), "1/64 in", "6 in")]
StrokeError = Annotated[
    float, length(said("sheet.of.standard-error-start", "the standard error of a start"), "1/32 in", "2 in")
]
ChipShare = Annotated[float, number(said("sheet.of.share-chip", "a share of a chip"), "0.3", 0, 1)]
Rate = Annotated[float, number(said("sheet.of.minutes", "minutes"), "900", 0, 1_000_000)]
Factor = Annotated[float, number(said("sheet.of.factor", "a factor"), "1.6", 1, 1000)]
Fraction = Annotated[
    int,
    count(said("sheet.of.division-inch", "a division of the inch"), "16", 1, 128),
    AfterValidator(_halved),
]
Bands = Annotated[int, count(said("sheet.of.how-many-bands", "how many bands"), "3", 1, 12)]
HourlyPrice = Annotated[float, number(said("sheet.of.price", "a price"), "40", 0, 1_000_000)]


class PlaneTable(SheetModel):
    """[[plane]]: a plane with its numbers."""

    name: Name = Field(
        description=said("sheet.key.name-plane", "name of the plane"), examples=['name = "jack plane"']
    )
    sole: Sole = Field(
        description=said("sheet.key.length-sole", "length of the sole"), examples=["sole = 14"]
    )
    mouth: Mouth = Field(
        description=said("sheet.key.distance-from-toe", "distance from the toe to the iron"),
        examples=['mouth = "4 1/2"'],
    )
    width: PlaneWidth = Field(
        description=said("sheet.key.width-body", "width of the body"), examples=['width = "2 1/2"']
    )
    iron: PlaneWidth | None = Field(
        None,
        description=said("sheet.key.width-iron", "width of the iron (default: four fifths of the body)"),
        examples=['iron = "2"'],
    )
    chips: Annotated[list[Chip], entries()] = Field(
        description=said("sheet.key.chip-thicknesses", "chip thicknesses it is set to, coarse first"),
        examples=['chips = ["1/32", "1/64"]'],
    )


class RatesTable(SheetModel):
    """[rates]: how fast foam comes off."""

    stringer_min_per_m2: Rate | None = Field(
        None, description="minutes per square metre of stringer profile planed (depth times length)"
    )
    foam_min_per_m3: Rate | None = Field(
        None, description="minutes per cubic metre of foam brought down beside the stringer"
    )
    hollow_factor: Factor | None = Field(None, description="slower by this where the face is hollow")
    hard_factor: Factor | None = Field(None, description="slower by this in the foam of a hard face")
    strip_min_per_m: Rate | None = Field(
        None, description="minutes per metre of strip at each foam-down, over what its foam takes"
    )
    stop_min: Rate | None = Field(None, description="minutes per stop to measure, without its readings")
    reading_min: Rate | None = Field(None, description="minutes per reading")


class TapeTable(SheetModel):
    """[tape]: the tape that readings are made with."""

    fraction: Fraction | None = Field(None, description="finest division of the inch: 16 means 1/16")
    standard_error: StandardError | None = Field(None, description="standard error of one reading")


class AllowancesTable(SheetModel):
    """[allowances]: what is left on purpose."""

    saw: Allowance | None = Field(None, description="foam left outside the outline when it is sawn")
    finish: Allowance | None = Field(None, description="foam left on each face for the last sanding")
    run_off: Tolerance | None = Field(None, description="how far above its target a list of strokes may end")


class PricesTable(SheetModel):
    """[prices]: labour."""

    labour_hour: HourlyPrice | None = Field(None, description="price of an hour of labour")
    currency: Currency | None = Field(None, description="currency of every price")


class PowerPlanerTable(SheetModel):
    """[power_planer]: a bay that has one gets the ladder of its passes beside the hand planes' walk."""

    cutter: PlaneWidth | None = Field(None, description="width of the cutter")
    chip: Chip | None = Field(None, description="depth of one pass")


class RescueTable(SheetModel):
    """[rescue]: changes that are equally bad when a board must be got out of what foam remains."""

    rocker: Given | None = Field(None, description="change of rocker as bad as any other here")
    thickness: Given | None = Field(None, description="change of thickness as bad as any other here")
    width: Given | None = Field(None, description="change of width as bad as any other here")
    concave: Given | None = Field(None, description="change of a concave's depth as bad as any other here")


class HandsTable(SheetModel):
    """[hands]: how evenly strokes are made here."""

    start: StrokeError | None = Field(None, description="standard error of where a stroke starts")
    each: ChipShare | None = Field(None, description="standard error of one stroke's chip, a share of it")


class BaySheet(SheetModel):
    """A bay sheet."""

    name: Name | None = Field(None, description="name of the bay")
    units: UnitWord | None = Field(None, description="what a bare number means")
    rail_bands: Bands | None = Field(None, description="flats cut on each rail before it is rounded")
    plane: Annotated[list[PlaneTable], entries()] = Field(
        [], description="planes, instead of the usual three", examples=["[[plane]]"]
    )
    rates: RatesTable = Field(RatesTable(), description="how fast foam comes off", examples=["[rates]"])
    tape: TapeTable = Field(TapeTable(), description="the tape", examples=["[tape]"])
    allowances: AllowancesTable = Field(
        AllowancesTable(), description="what is left on purpose", examples=["[allowances]"]
    )
    power_planer: PowerPlanerTable | None = Field(
        None, description="the power planer, where there is one", examples=["[power_planer]"]
    )
    prices: PricesTable = Field(PricesTable(), description="labour", examples=["[prices]"])
    rescue: RescueTable = Field(
        RescueTable(), description="what a rescue gives up first", examples=["[rescue]"]
    )
    hands: HandsTable = Field(HandsTable(), description="how evenly strokes are made", examples=["[hands]"])
