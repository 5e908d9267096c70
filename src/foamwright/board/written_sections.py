"""Rails, decks and bottom contours of a board sheet as a person writes them: tables, keys and limits.

The limits here catch slips of the pen; what is unusual for a kind of contour stands with the kind
(`board.contours`), and the board's check says it.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Annotated, Any

from pydantic import Field

from foamwright.board.contours.kinds import KINDS
from foamwright.board.contours.terms import RAIL_TO_RAIL
from foamwright.board.contours.vee import PANELS
from foamwright.board.numbers import Edge
from foamwright.findings import said
from foamwright.sheets.fields import (
    HOLE,
    Kind,
    Reads,
    SheetModel,
    StationTable,
    count,
    entries,
    length,
    number,
    problem,
    text,
    word,
)
from foamwright.units import quoted

DOWN = 0.05
"""Share of a rail that is "down": its apex lies near the bottom. Common practice, no source."""

MOST_APEX = 0.95
_ABOVE_BELOW = re.compile(r"(\d+(?:\.\d+)?)\s*/\s*(\d+(?:\.\d+)?)")


def _apex(value: Any) -> float:
    """Read ``"60/40"`` (above the apex first), ``"down"``, or the share below the apex."""
    if value is HOLE:
        return math.nan
    words = " ".join(value.split()).casefold() if isinstance(value, str) else ""
    parts = _ABOVE_BELOW.fullmatch(words)
    if words == "down":
        return DOWN
    if parts and float(parts[1]) + float(parts[2]) == 100.0:
        share = float(parts[2]) / 100.0
    elif isinstance(value, int | float) and not isinstance(value, bool):
        share = float(value)
    else:
        raise problem(
            said("sheet.no-apex", "{written} is no place of an apex.", written=quoted(value)), _APEX_REMEDY
        )
    if not 0.0 <= share <= MOST_APEX:
        raise problem(
            said("sheet.not-possible", "{written} is not possible.", written=quoted(value)), _APEX_REMEDY
        )
    return share


_APEX_REMEDY = said(
    "sheet.no-apex.remedy",
    'Write what is above and below it, like "60/40", or the share below it, from 0 to 0.95.',
)


def _or_rail_to_rail(reader: Reads) -> Reads:
    """The reader of a width, or of the words for all of it."""

    def read(value: Any, info: Any) -> float:
        if isinstance(value, str) and " ".join(value.split()).casefold() == "rail to rail":
            return RAIL_TO_RAIL
        inner: Any = reader.func
        return float(inner(value, info))

    return replace(reader, func=read, choices=("rail to rail",))


Apex = Annotated[
    float,
    Reads(_apex, kind=Kind.NUMBER, what=said("sheet.of.apex", "an apex"), least=0.0, most=MOST_APEX),
]
Tuck = Annotated[float, length(said("sheet.of.tuck", "a tuck"), "0 in", "2 in")]
Crown = Annotated[float, length(said("sheet.of.crown", "a crown"), "0 in", "1 in")]
Roll = Annotated[float, length(said("sheet.of.roll", "a roll"), "1/8 in", "4 in")]
EdgeWord = Annotated[Edge, word(said("sheet.of.edge", "an edge"), {str(edge): edge for edge in Edge})]
EdgeAngle = Annotated[float, number(said("sheet.of.angle-in", "an angle in degrees"), "45", 0, 80)]
Fullness = Annotated[float, number(said("sheet.of.fullness", "a fullness"), "0.5", 0.05, 0.95)]
Radius = Annotated[float, length(said("sheet.of.edge-radius", "the radius of an edge"), "0 in", "1 in")]
Depth = Annotated[float, length(said("sheet.of.depth-contour", "the depth of a contour"), "1/64 in", "1 in")]
ContourWidth = Annotated[
    float,
    _or_rail_to_rail(length(said("sheet.of.width-contour", "the width of a contour"), "1/2 in", "30 in")),
]
Small = Annotated[float, length(said("sheet.of.part-contour", "a part of a contour"), "0 in", "12 in")]
Wall = Annotated[float, length(said("sheet.of.wall", "the wall of a channel"), "1/32 in", "1 in")]
FadeLength = Annotated[float, length(said("sheet.of.fade", "the length of a fade"), "0 in", "8 ft")]
ChannelCount = Annotated[int, count(said("sheet.of.channels", "the number of channels"), "4", 2, 8)]
StepDepth = Annotated[float, length(said("sheet.of.step", "the depth of a step"), "1/16 in", "1 in")]
Margin = Annotated[float, length(said("sheet.of.margin", "a margin"), "0 in", "8 in")]
Blend = Annotated[float, length(said("sheet.of.blend", "what a step fades over"), "1/8 in", "24 in")]
Place = Annotated[str, text(said("sheet.of.station", "a station"), "12 from tail")]
ShapeWord = Annotated[
    str, word(said("sheet.of.contour-shape", "a contour"), {shape: shape for shape in KINDS})
]
PanelsWord = Annotated[
    str, word(said("sheet.of.panels", "a form of a vee's panels"), {panels: panels for panels in PANELS})
]
ProfileWord = Annotated[
    str, word(said("sheet.of.profile", "a profile of channels"), {"square": "square", "ramp": "ramp"})
]
AlongWord = Annotated[
    str, word(said("sheet.of.along", "what channels run along"), {"stringer": "stringer", "rail": "rail"})
]


class RailTable(SheetModel):
    """A rail at one station."""

    apex: Apex = Field(
        description=said("sheet.key.apex", "what of the rail is above and below its outermost point"),
        examples=['apex = "60/40"'],
    )
    tuck: Tuck | None = Field(None, description="how far in from the edge the bottom's flat ends")
    edge: EdgeWord = Field(Edge.SOFT, description="how the rail leaves the bottom: soft, tucked or hard")
    angle: EdgeAngle | None = Field(None, description="degrees at which a tucked edge leaves the bottom")
    fullness: Fullness = Field(0.5, description="fullness of the rail's curve below the apex")
    radius: Radius | None = Field(None, description="radius to which the edge is sanded")


class RailsTable(StationTable):
    """[rails]: rails at stations."""

    __pydantic_extra__: dict[str, RailTable] = Field(init=False)


class DeckTable(SheetModel):
    """A deck at one station."""

    crown: Crown | None = Field(None, description="how much lower the deck is where the roll begins")
    roll: Roll | None = Field(None, description="how far in from the edge the deck begins to turn down")
    fullness: Fullness = Field(0.5, description="fullness of the rail's curve above the apex")


class DeckStepTable(SheetModel):
    """[deck.step]: a deck lowered towards the nose."""

    at: Place = Field(
        description=said("sheet.key.station-step", "station where the step begins"),
        examples=['at = "22 from nose"'],
    )
    step: StepDepth = Field(
        description=said("sheet.key.depth-step", "how much lower the deck is there"),
        examples=['step = "3/8"'],
    )
    blend: Blend = Field(0.1016, description="how long the step is")
    margin: Margin = Field(0.0, description="how far in from the rail the step ends; 0: at the rail")


class RailStepTable(SheetModel):
    """[deck.rail_step]: a deck lowered along the rail."""

    step: StepDepth = Field(
        description=said("sheet.key.depth-step", "how much lower the deck is there"),
        examples=['step = "1/4"'],
    )
    margin: Margin = Field(
        description=said("sheet.key.margin-step", "how far in from the edge it reaches"),
        examples=["margin = 3"],
    )
    blend: Blend = Field(0.0254, description="over what the deck comes down to it")


class DeckTables(StationTable):
    """[deck]: decks at stations, and steps."""

    __pydantic_extra__: dict[str, DeckTable] = Field(init=False)
    step: DeckStepTable | None = Field(None, description="a step of the deck", examples=["[deck.step]"])
    rail_step: RailStepTable | None = Field(
        None, description="a step along the rail", examples=["[deck.rail_step]"]
    )


def _places(value: Any) -> Any:
    if value is HOLE or value is None:
        return None
    listed = value if isinstance(value, list) else [value]
    if not 1 <= len(listed) <= 2 or not all(isinstance(one, str) and one.strip() for one in listed):
        raise problem(
            said("sheet.no-full", "{written} does not say where it is full.", written=quoted(value)),
            said("sheet.no-full.remedy", 'Write one station, or two, like ["centre", "12 from tail"].'),
        )
    return listed


_FULL = Reads(_places, what=said("sheet.of.station", "a station"))


class ContourTable(SheetModel):
    """[[bottom.contour]]: one contour of the bottom."""

    shape: ShapeWord = Field(
        description=said("sheet.key.shape-contour", "shape of the contour"), examples=['shape = "concave"']
    )
    depth: Depth | None = Field(None, description="depth, or height at the edge", examples=['depth = "3/16"'])
    width: ContourWidth | None = Field(
        None, description="width across the board, of a channel, or of a chine", examples=["width = 2"]
    )
    begin: Place | None = Field(
        None, alias="from", description="station where it begins", examples=['from = "18 from nose"']
    )
    full: Annotated[str | list[str] | None, _FULL] = Field(
        None, description="station, or two, where it is full", examples=['full = "12 from tail"']
    )
    to: Place | None = Field(
        None, description="station where it is gone; where it is full: it runs out there"
    )
    blend: Small | None = Field(None, description="what the sides of a concave are softened over")
    panels: PanelsWord | None = Field(None, description="panels of a vee, flat or rolled")
    count: ChannelCount | None = Field(
        None, description="channels, both sides together", examples=["count = 4"]
    )
    first: Small | None = Field(None, description="first wall of the channels from the stringer")
    pitch: Small | None = Field(None, description="from one channel to the next")
    wall: Wall | None = Field(None, description="width of a channel's sloped wall")
    profile: ProfileWord | None = Field(None, description="profile of channels, square or ramp")
    along: AlongWord | None = Field(None, description="what channels run along, stringer or rail")
    angle: EdgeAngle | None = Field(
        None, description="degrees by which a chine turns up", examples=["angle = 20"]
    )
    fade: FadeLength | None = Field(None, description="length over which it begins")


class BottomTable(SheetModel):
    """[bottom]: contours, which add; none is flat."""

    contour: Annotated[list[ContourTable], entries()] = Field(
        [], description="bottom contours, which add", examples=["[[bottom.contour]]"]
    )
