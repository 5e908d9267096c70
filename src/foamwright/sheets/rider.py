"""Reading a rider sheet: who lies on the board, and in what water."""

from __future__ import annotations

import math
import os
import re
from dataclasses import dataclass
from enum import StrEnum
from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from foamwright.findings import said
from foamwright.sheets.document import Document, parse_document, read_document
from foamwright.sheets.fields import HOLE, UNITS, SheetModel, length, mass, number, problem, text, word
from foamwright.sheets.opening import OpenSheet, open_sheet
from foamwright.units import Unit, quoted


class Experience(StrEnum):
    """How long and how well a person has been riding."""

    BEGINNER = "beginner"
    INTERMEDIATE = "intermediate"
    ADVANCED = "advanced"
    EXPERT = "expert"


class Lungs(StrEnum):
    """How much air is held: a full breath, the rest between two breaths, or breathed out."""

    FULL = "full"
    RESTING = "resting"
    EMPTY = "empty"


class AgeGroup(StrEnum):
    """To 12 years, 13 to 17, 18 to 54, 55 and over."""

    CHILD = "child"
    TEEN = "teen"
    ADULT = "adult"
    SENIOR = "senior"


class Suit(StrEnum):
    """What is worn in the water, by the thickness of its neoprene in mm."""

    NONE = "none"
    TWO = "2 mm"
    THREE_TWO = "3/2"
    FOUR_THREE = "4/3"
    FIVE_FOUR = "5/4 hood"
    SIX_FIVE = "6/5"


SUIT_FROM = (
    (23.0, Suit.NONE),
    (19.0, Suit.TWO),
    (16.0, Suit.THREE_TWO),
    (12.0, Suit.FOUR_THREE),
    (8.0, Suit.FIVE_FOUR),
)
"""From which water temperature a suit is enough, degrees Celsius; colder takes the thickest. Common practice,
no source."""


def suit_for(temperature_c: float) -> Suit:
    """Return the usual suit in water of a temperature."""
    return next((suit for least, suit in SUIT_FROM if temperature_c >= least), Suit.SIX_FIVE)


@dataclass(frozen=True, slots=True)
class Water:
    """Water by its temperature in degrees Celsius and its salinity in g/kg."""

    temperature_c: float
    salinity: float


@dataclass(frozen=True, slots=True)
class RiderNumbers:
    """A rider and the water: `mass` in kg, `stature` in metres; age and suit where they are given."""

    name: str
    mass: float
    stature: float
    experience: Experience
    lungs: Lungs
    water: Water
    age: AgeGroup | None = None
    suit: Suit | None = None

    @property
    def worn(self) -> Suit:
        """The suit given, or the usual one in this water."""
        return suit_for(self.water.temperature_c) if self.suit is None else self.suit


SALINITIES = {"sea": 35.0, "fresh": 0.0}
"""Salinity in g/kg of water that is only named: sea water by convention, a lake."""

USUAL_TEMPERATURE = 15.0
"""Degrees Celsius of water that is only named; common practice, no source."""

_NAMED_WATER = re.compile(r"([a-z]+)(?: water)?(?:, *(-?[0-9]+\.?[0-9]*) *°? *c?)?")


def _named_water(value: Any) -> Any:
    """The table behind ``sea`` or ``fresh, 12 C``."""
    if value is HOLE or isinstance(value, dict):
        return value
    match = _NAMED_WATER.fullmatch(" ".join(value.split()).casefold()) if isinstance(value, str) else None
    if match is None or match[1] not in SALINITIES:
        raise problem(
            said("sheet.no-water", "{written} is not a water.", written=quoted(value)),
            said(
                "sheet.no-water.remedy",
                'Write "sea", "fresh", "sea, 18 C", or temperature and salinity.',
            ),
        )
    return {"temperature": float(match[2] or USUAL_TEMPERATURE), "salinity": SALINITIES[match[1]]}


def _age_group(value: Any) -> Any:
    """The group of an age in years."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return value
    if not LEAST_YEARS <= value <= MOST_YEARS:
        raise problem(
            said("sheet.no-age", "{written} years are not possible.", written=f"{value:g}"),
            said("sheet.no-age.remedy", 'Write years from 3 to 110, or "child", "teen", "adult", "senior".'),
        )
    return next(str(group) for least, group in AGE_FROM if value >= least)


LEAST_YEARS, MOST_YEARS = 3, 110
AGE_FROM = ((55, AgeGroup.SENIOR), (18, AgeGroup.ADULT), (13, AgeGroup.TEEN), (0, AgeGroup.CHILD))

SUITS = {
    **{str(suit): suit for suit in Suit},
    "2": Suit.TWO,
    "2/2": Suit.TWO,
    "5/4": Suit.FIVE_FOUR,
    "6/5 hood": Suit.SIX_FIVE,
    ", ".join(("6/5 hood", "mitts", "boots")): Suit.SIX_FIVE,
}


def _plain_suit(value: Any) -> Any:
    """A suit without its trailing millimetres: ``4/3 mm`` is ``4/3``."""
    return re.sub(r" *mm(?=$| )", "", value.strip(), flags=re.IGNORECASE) if isinstance(value, str) else value


Name = Annotated[str, text(said("sheet.of.name", "a name"), "Mara")]
UnitWord = Annotated[Unit, word(said("sheet.of.unit-that", "a unit that a sheet can declare"), UNITS)]
# A child in a class to the heaviest and tallest people on record, roughly; common practice, no source.
Mass = Annotated[float, mass(said("sheet.of.rider-s", "a rider's mass"), 15, 250)]
Stature = Annotated[float, length(said("sheet.of.rider-s-stature", "a rider's stature"), "0.9 m", "2.5 m")]
ExperienceWord = Annotated[
    Experience, word(said("sheet.of.experience", "an experience"), {str(e): e for e in Experience})
]
LungsWord = Annotated[
    Lungs, word(said("sheet.of.state-lungs", "a state of the lungs"), {str(state): state for state in Lungs})
]
AgeWord = Annotated[
    AgeGroup,
    word(said("sheet.of.age", "an age"), {str(group): group for group in AgeGroup}),
    BeforeValidator(_age_group),
]
SuitWord = Annotated[Suit, word(said("sheet.of.suit", "a suit"), SUITS), BeforeValidator(_plain_suit)]
Temperature = Annotated[float, number(said("sheet.of.degrees-celsius", "degrees Celsius"), "15", -3, 40)]
# TEOS-10 holds from 0 to 42 g/kg.
Salinity = Annotated[float, number(said("sheet.of.salinity-in", "salinity in g/kg"), "35", 0, 42, SALINITIES)]


class WaterTable(SheetModel):
    """[water]."""

    temperature: Temperature = Field(
        description=said("sheet.key.temperature-in", "temperature in degrees Celsius"),
        examples=["temperature = 15"],
    )
    salinity: Salinity = Field(
        description=said("sheet.key.grams-salt", "grams of salt per kilogram, or sea, or fresh"),
        examples=["salinity = 35"],
    )


WaterWords = Annotated[WaterTable, BeforeValidator(_named_water)]


class RiderSheet(SheetModel):
    """A rider sheet."""

    name: Name = Field("rider", description="name of the rider")
    units: UnitWord | None = Field(None, description="what a bare length means")
    mass: Mass = Field(
        description=said("sheet.key.mass-with", "mass with its unit"), examples=['mass = "82 kg"']
    )
    stature: Stature = Field(
        description=said("sheet.key.standing-height", "standing height"), examples=['stature = "1.80 m"']
    )
    experience: ExperienceWord = Field(
        description=said("sheet.key.beginner-intermediate", "beginner, intermediate, advanced or expert"),
        examples=['experience = "intermediate"'],
    )
    age: AgeWord | None = Field(None, description="years, or child, teen, adult, senior")
    suit: SuitWord | None = Field(None, description="what is worn; where not given, what the water asks for")
    lungs: LungsWord = Field(Lungs.RESTING, description="air held: full, resting or empty")
    water: WaterWords = Field(
        description=said("sheet.key.sea-fresh", "sea, fresh, or temperature and salinity"),
        examples=['water = "sea, 15 C"'],
    )


def read_rider(path: str | os.PathLike[str]) -> RiderNumbers:
    """Return the rider in a sheet.

    Raises
    ------
    InputError
        The file cannot be read, or anything in it cannot stand; every problem is held.
    """
    return _read(read_document(path))


def rider_from_text(text: str, name: str) -> RiderNumbers:
    """Return the rider in a sheet's text; `name` stands for the file in messages.

    Raises
    ------
    InputError
        Anything in it cannot stand; every problem is held.
    """
    return _read(parse_document(text, name))


def freezing_point(salinity: float) -> float:
    """Degrees Celsius at which water of a salinity (g/kg) freezes at the surface.

    UNESCO Technical Papers in Marine Science 44 (1983), p. 29, at zero pressure; written from memory and
    compared with TEOS-10 in tests/unit/sheets/test_rider.py. It only tells liquid from ice here.
    """
    return -0.0575 * salinity + 1.710523e-3 * math.pow(salinity, 1.5) - 2.154996e-4 * salinity**2


def _read(document: Document) -> RiderNumbers:
    sheet = open_sheet(RiderSheet, document)
    _check_liquid(sheet)
    sheet.problems.finish()
    written = sheet.written
    return RiderNumbers(
        name=written.name,
        mass=written.mass,
        stature=written.stature,
        experience=written.experience,
        lungs=written.lungs,
        water=Water(written.water.temperature, written.water.salinity),
        age=written.age,
        suit=written.suit,
    )


def _check_liquid(sheet: OpenSheet[RiderSheet]) -> None:
    water = sheet.written.water
    if water.temperature < (ice := freezing_point(water.salinity)):
        sheet.problems.note(
            ("water", "temperature"),
            said(
                "sheet.ice",
                "Water of {salinity} g/kg is ice at {temperature} C.",
                salinity=f"{water.salinity:g}",
                temperature=f"{water.temperature:g}",
            ),
            said("sheet.ice.remedy", "It is liquid above {freezing} C.", freezing=f"{ice:.1f}"),
        )
