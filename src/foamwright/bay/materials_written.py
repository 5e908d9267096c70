"""A materials sheet as a person writes it: every key is optional; without it the usual number holds."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from foamwright.bay.materials import ResinKind
from foamwright.sheets.fields import UNITS, SheetModel, entries, length, number, text, word
from foamwright.units import Unit

Name = Annotated[str, text("a name", "glass 4 oz")]
UnitWord = Annotated[Unit, word("a unit that a sheet can declare", UNITS)]
Density = Annotated[float, number("kilograms per cubic metre", "22", 5, 3000)]
Scatter = Annotated[float, number("kilograms per cubic metre", "1", 0, 300)]
MegaPascal = Annotated[float, number("megapascals", "5", 0.1, 1000)]
GigaPascal = Annotated[float, number("gigapascals", "10", 0.1, 500)]
KiloPascal = Annotated[float, number("kilopascals", "67", 1, 10_000)]
Ratio = Annotated[float, number("a ratio", "0.1", 0, 0.95)]
KindWord = Annotated[ResinKind, word("a kind of resin", {str(kind): kind for kind in ResinKind})]
PerFibre = Annotated[float, number("kilograms of resin for each of cloth", "1", 0.2, 5)]
Gravity = Annotated[float, number("a specific gravity", "0.37", 0.05, 1.3)]
Grams = Annotated[float, number("grams", "35", 0, 2000)]
GramsPerArea = Annotated[float, number("grams per square metre", "135", 0, 3000)]
Ounces = Annotated[float, number("ounces per square yard", "4", 0.5, 80)]
Price = Annotated[float, number("a price", "14", 0, 1_000_000)]
Hours = Annotated[float, number("hours", "3", 0, 1000)]
StringerWidth = Annotated[float, length("the width of a stringer", "0 in", "2 in")]
RollWidth = Annotated[float, length("the width of a roll", "4 in", "120 in")]
Lap = Annotated[float, length("a lap", "0 in", "8 in")]
BoardLength = Annotated[float, length("a length of boards", "4 ft", "14 ft")]


class FoamTable(SheetModel):
    """[foam]: the core, where no blank says it."""

    name: Name | None = Field(None, description="name of the foam")
    density_kg_m3: Density | None = Field(None, description="density")
    scatter_kg_m3: Scatter | None = Field(None, description="standard deviation of the density")
    modulus_mpa: MegaPascal | None = Field(None, description="Young's modulus in compression")
    poisson: Ratio | None = Field(None, description="Poisson's ratio")
    strength_kpa: KiloPascal | None = Field(None, description="what it bears in shear")
    price_m3: Price | None = Field(None, description="price of a blank by the cubic metre of board")


class WoodTable(SheetModel):
    """[wood]: the stringer."""

    name: Name | None = Field(None, description="name of the wood")
    gravity: Gravity | None = Field(None, description="specific gravity at 12 % moisture")
    modulus_gpa: GigaPascal | None = Field(None, description="Young's modulus along the grain")
    scatter: Ratio | None = Field(None, description="coefficient of variation of the density")
    width: StringerWidth | None = Field(None, description="width of the stringer")


class FibreTable(SheetModel):
    """[fibre]: the fibre of the cloth."""

    density_kg_m3: Density | None = Field(None, description="density")
    modulus_gpa: GigaPascal | None = Field(None, description="Young's modulus along it")


class ResinTable(SheetModel):
    """[resin]: the laminating resin."""

    kind: KindWord | None = Field(
        None, description="epoxy or polyester; where not given, what the blank's foam takes"
    )
    name: Name | None = Field(None, description="name of the resin")
    density_kg_m3: Density | None = Field(None, description="density, cured")
    modulus_gpa: GigaPascal | None = Field(None, description="Young's modulus, cured")
    per_fibre: PerFibre | None = Field(None, description="kilograms of resin for each of cloth")
    scatter: Ratio | None = Field(None, description="standard deviation of per_fibre")
    spilt: Ratio | None = Field(None, description="share of what is mixed that is lost")
    price_kg: Price | None = Field(None, description="price of a kilogram mixed")


class CoatsTable(SheetModel):
    """[coats]: resin on top of the cloth."""

    hot_g_m2: GramsPerArea | None = Field(None, description="hot coat on each face")
    sanded: Ratio | None = Field(None, description="share of it that is sanded away")
    scatter_g_m2: GramsPerArea | None = Field(None, description="standard deviation of what stays")
    seal_g_m2: GramsPerArea | None = Field(
        None, description="seal coat under the cloth; where not given, what the blank's foam takes"
    )


class FittingsTable(SheetModel):
    """[fittings]: boxes and plugs."""

    small_box_g: Grams | None = Field(None, description="mass of a small fin box")
    large_box_g: Grams | None = Field(None, description="mass of a large fin box")
    leash_plug_g: Grams | None = Field(None, description="mass of a leash plug")
    setting_resin_g: Grams | None = Field(None, description="resin that sets one of them")
    small_box_price: Price | None = Field(None, description="price of a small fin box")
    large_box_price: Price | None = Field(None, description="price of a large fin box")
    leash_plug_price: Price | None = Field(None, description="price of a leash plug")


class HoursTable(SheetModel):
    """[hours]: work on one board."""

    shaping: Hours | None = Field(None, description="hours of shaping, where no plan counts them")
    beside_plan: Hours | None = Field(None, description="hours of shaping that a plan's minutes leave out")
    glassing: Hours | None = Field(None, description="hours of glassing")
    coating: Hours | None = Field(None, description="hours of coating")
    sanding: Hours | None = Field(None, description="hours of sanding")
    each_box: Hours | None = Field(None, description="hours for each fin box")


class ClothTable(SheetModel):
    """[[cloth]]: a cloth on the shelf."""

    name: Name = Field(description="name of the cloth", examples=['name = "glass 4 oz"'])
    oz_yd2: Ounces | None = Field(None, description="ounces per square yard")
    g_m2: GramsPerArea | None = Field(None, description="grams per square metre, instead")
    roll_width: RollWidth = Field(description="width of the roll", examples=["roll_width = 30"])
    price_m2: Price = Field(description="price of a square metre", examples=["price_m2 = 4"])


class LayupTable(SheetModel):
    """[layup]: which cloths go on which face, by name, inside first."""

    bottom: Annotated[list[Name], entries()] = Field(
        description="cloths on the bottom", examples=['bottom = ["glass 4 oz"]']
    )
    deck: Annotated[list[Name], entries()] = Field(
        description="cloths on the deck", examples=['deck = ["glass 4 oz", "glass 4 oz"]']
    )
    lap: Lap | None = Field(None, description="how far a cloth laps round the rail")
    overhang: Lap | None = Field(None, description="how far it hangs over at each tip")


class MaterialsSheet(SheetModel):
    """A materials sheet."""

    units: UnitWord | None = Field(None, description="what a bare length means")
    foam: FoamTable = Field(FoamTable(), description="the core", examples=["[foam]"])
    wood: WoodTable = Field(WoodTable(), description="the stringer", examples=["[wood]"])
    fibre: FibreTable = Field(FibreTable(), description="the fibre", examples=["[fibre]"])
    resin: ResinTable = Field(ResinTable(), description="the resin", examples=["[resin]"])
    coats: CoatsTable = Field(CoatsTable(), description="coats", examples=["[coats]"])
    fittings: FittingsTable = Field(FittingsTable(), description="boxes, plugs", examples=["[fittings]"])
    hours: HoursTable = Field(HoursTable(), description="hours of work", examples=["[hours]"])
    cloth: Annotated[list[ClothTable], entries()] = Field(
        [], description="cloths on the shelf, beside the usual two", examples=["[[cloth]]"]
    )
    layup: LayupTable | None = Field(None, description="the layup of every board", examples=["[layup]"])
    share: Ratio | None = Field(None, description="brushes, tape, gloves as a share of the materials")
    margin: Ratio | None = Field(None, description="margin on the whole")
