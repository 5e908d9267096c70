"""Kinds of board as families: one reference board each, from which the others follow by stretching.

Generic kinds and our own numbers: common practice, no source. Lengths here are in inches, as a shaper says
them; `reference_numbers` turns them into SI.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from foamwright.board.contours.kinds import term_of
from foamwright.board.contours.terms import Term, stretch_of
from foamwright.board.fin_layouts import Layout
from foamwright.board.numbers import (
    BoardNumbers,
    DeckMark,
    Edge,
    RailMark,
    Tail,
    TailKind,
)
from foamwright.sheets.rider import Experience
from foamwright.sheets.stations import parse_station
from foamwright.stations import Mark
from foamwright.units import Unit, parse_length


class Kind(StrEnum):
    """A generic kind of board."""

    LONG_BOARD = "long board"
    MID_LENGTH = "mid-length"
    FISH = "fish"
    SMALL_WAVE = "small-wave"
    PERFORMANCE = "performance"
    STEP_UP = "step-up"
    GUN = "gun"


class Waves(StrEnum):
    """How big the waves are that the board is for."""

    SMALL = "small"
    MEDIUM = "medium"
    LARGE = "large"
    HUGE = "huge"


Ends = tuple[float, float, float, float]
"""Numbers at the tail tip, 12 in from it, 12 in from the nose tip, at the nose tip."""

RailNumbers = tuple[float, float, Edge]
"""Share below the apex, tuck in inches, edge."""

ContourNumbers = tuple[str, float, str, str, str, str]
"""Shape, depth in inches, and where it begins, is full from and to, and is gone."""


@dataclass(frozen=True, slots=True)
class Family:
    """A kind of board.

    Attributes
    ----------
    length, stretch
        Inches of the reference, and how much longer a board is per inch of stature beyond 70 in.
    outline, wide, wide_at
        Widths, the widest, and how far forward of the centre it is.
    tail
        Tail form; corner radius and depth in inches.
    rocker, low_at
        Rocker, and how far forward of the centre its lowest point is.
    thickness, thickest, thickest_at
        Thicknesses, the greatest, and how far forward of the centre it is.
    rails
        At tail, 12 in from the tail, centre and 24 in from the nose.
    crown, roll
        Inches at the centre.
    bottom
        Contours, which add.
    litres_per_kg
        Volume for each kg of rider, by experience.
    fins
        Usual layout.
    """

    length: float
    stretch: float
    outline: Ends
    wide: float
    wide_at: float
    tail: Tail
    rocker: Ends
    low_at: float
    thickness: Ends
    thickest: float
    thickest_at: float
    rails: tuple[RailNumbers, RailNumbers, RailNumbers, RailNumbers]
    crown: float
    roll: float
    bottom: tuple[ContourNumbers, ...]
    litres_per_kg: dict[Experience, float]
    fins: Layout


_SOFT, _TUCKED, _HARD = Edge.SOFT, Edge.TUCKED, Edge.HARD
_SHARP_RAILS = ((0.05, 0.0, _HARD), (0.2, 0.25, _TUCKED), (0.4, 0.375, _SOFT), (0.45, 0.375, _SOFT))
_MIDDLE_RAILS = ((0.05, 0.0, _HARD), (0.2, 0.25, _TUCKED), (0.4, 0.5, _SOFT), (0.5, 0.625, _SOFT))
_ROUND_RAILS = ((0.2, 0.125, _HARD), (0.3, 0.5, _TUCKED), (0.45, 0.875, _SOFT), (0.5, 1.0, _SOFT))
_LONG_RAILS = ((0.05, 0.0, _HARD), (0.2, 0.5, _TUCKED), (0.4, 0.875, _SOFT), (0.5, 1.0, _SOFT))

_TAIL = "tail"


def _out_at_tail(shape: str, depth: float, begin: str, full: str) -> ContourNumbers:
    return shape, depth, begin, full, _TAIL, _TAIL


def _per_kg(beginner: float, intermediate: float, advanced: float, expert: float) -> dict[Experience, float]:
    return dict(zip(Experience, (beginner, intermediate, advanced, expert), strict=True))


FAMILIES: dict[Kind, Family] = {
    Kind.LONG_BOARD: Family(
        length=110.0,
        stretch=0.5,
        outline=(6.5, 14.75, 17.5, 0.0),
        wide=22.5,
        wide_at=2.0,
        tail=Tail(TailKind.SQUARE, 1.0),
        rocker=(2.25, 0.875, 2.0, 4.5),
        low_at=-4.0,
        thickness=(0.75, 1.9375, 1.8125, 0.625),
        thickest=3.0,
        thickest_at=2.0,
        rails=_LONG_RAILS,
        crown=0.625,
        roll=3.25,
        bottom=(_out_at_tail("vee", 0.125, "24 in from tail", "10 in from tail"),),
        litres_per_kg=_per_kg(1.05, 0.92, 0.85, 0.80),
        fins=Layout.ONE_LARGE_TWO_SMALL,
    ),
    Kind.MID_LENGTH: Family(
        length=86.0,
        stretch=0.8,
        outline=(0.0, 14.5, 15.75, 0.0),
        wide=21.25,
        wide_at=1.5,
        tail=Tail(TailKind.ROUND),
        rocker=(2.0, 0.75, 1.875, 4.5),
        low_at=-3.0,
        thickness=(0.625, 1.75, 1.6875, 0.5625),
        thickest=2.75,
        thickest_at=2.0,
        rails=_ROUND_RAILS,
        crown=0.4375,
        roll=2.75,
        bottom=(_out_at_tail("vee", 0.125, "22 in from tail", "10 in from tail"),),
        litres_per_kg=_per_kg(0.85, 0.65, 0.58, 0.54),
        fins=Layout.ONE_LARGE_TWO_SMALL,
    ),
    Kind.FISH: Family(
        length=66.0,
        stretch=0.8,
        outline=(9.5, 15.75, 14.75, 0.0),
        wide=21.0,
        wide_at=2.0,
        tail=Tail(TailKind.SWALLOW, 0.0, 4.0),
        rocker=(1.375, 0.5, 1.5, 3.75),
        low_at=-1.0,
        thickness=(0.75, 1.6875, 1.5625, 0.5),
        thickest=2.5,
        thickest_at=2.0,
        rails=_MIDDLE_RAILS,
        crown=0.3125,
        roll=2,
        bottom=(
            ("concave", 0.125, "44 in from tail", "34 in from tail", "22 in from tail", "16 in from tail"),
            _out_at_tail("vee", 0.125, "16 in from tail", "8 in from tail"),
        ),
        litres_per_kg=_per_kg(0.65, 0.50, 0.44, 0.41),
        fins=Layout.TWO,
    ),
    Kind.SMALL_WAVE: Family(
        length=68.0,
        stretch=0.9,
        outline=(6.5, 15.375, 12.75, 0.0),
        wide=19.75,
        wide_at=1.0,
        tail=Tail(TailKind.SQUASH, 1.25),
        rocker=(1.875, 0.6875, 1.75, 4.375),
        low_at=-1.0,
        thickness=(0.6875, 1.625, 1.4375, 0.5),
        thickest=2.4375,
        thickest_at=2.0,
        rails=_MIDDLE_RAILS,
        crown=0.3125,
        roll=2,
        bottom=(
            ("concave", 0.125, "46 in from tail", "34 in from tail", "18 in from tail", "8 in from tail"),
            _out_at_tail("vee", 0.0625, "8 in from tail", "2 in from tail"),
        ),
        litres_per_kg=_per_kg(0.65, 0.48, 0.42, 0.39),
        fins=Layout.THREE,
    ),
    Kind.PERFORMANCE: Family(
        length=72.0,
        stretch=1.0,
        outline=(5.5, 14.5, 11.75, 0.0),
        wide=18.875,
        wide_at=-0.5,
        tail=Tail(TailKind.SQUASH, 1.25),
        rocker=(2.25, 0.875, 2.125, 5.0),
        low_at=-1.0,
        thickness=(0.625, 1.5625, 1.3125, 0.5),
        thickest=2.375,
        thickest_at=1.0,
        rails=_SHARP_RAILS,
        crown=0.3125,
        roll=2.25,
        bottom=(
            ("concave", 0.1875, "58 in from tail", "26 in from tail", "12 in from tail", "1 in from tail"),
            _out_at_tail("vee", 0.0625, "6 in from tail", "2 in from tail"),
        ),
        litres_per_kg=_per_kg(0.60, 0.44, 0.38, 0.35),
        fins=Layout.THREE,
    ),
    Kind.STEP_UP: Family(
        length=76.0,
        stretch=1.0,
        outline=(0.0, 13.5, 11.25, 0.0),
        wide=18.75,
        wide_at=0.5,
        tail=Tail(TailKind.ROUNDED_PIN),
        rocker=(2.375, 0.9375, 2.25, 5.25),
        low_at=-1.5,
        thickness=(0.5625, 1.5625, 1.375, 0.5),
        thickest=2.4375,
        thickest_at=1.5,
        rails=_SHARP_RAILS,
        crown=0.375,
        roll=2.5,
        bottom=(
            ("concave", 0.125, "46 in from tail", "34 in from tail", "20 in from tail", "8 in from tail"),
        ),
        litres_per_kg=_per_kg(0.60, 0.45, 0.39, 0.36),
        fins=Layout.THREE,
    ),
    Kind.GUN: Family(
        length=92.0,
        stretch=1.0,
        outline=(0.0, 11.75, 11.25, 0.0),
        wide=19.5,
        wide_at=2.5,
        tail=Tail(TailKind.PIN),
        rocker=(2.625, 1.125, 2.625, 5.75),
        low_at=-2.0,
        thickness=(0.5625, 1.6875, 1.625, 0.5625),
        thickest=2.75,
        thickest_at=2.5,
        rails=_SHARP_RAILS,
        crown=0.4375,
        roll=2.75,
        bottom=(_out_at_tail("vee", 0.1875, "30 in from tail", "12 in from tail"),),
        litres_per_kg=_per_kg(0.60, 0.50, 0.46, 0.44),
        fins=Layout.THREE,
    ),
}


def inches(value: float) -> float:
    """Return inches in metres: the float that a sheet would give, which ``value * 0.0254`` may miss."""
    return parse_length(value, Unit.INCH)


def reference_numbers(kind: Kind) -> BoardNumbers:
    """Return the reference board of a kind, in SI."""
    family = FAMILIES[kind]
    length, foot = inches(family.length), inches(12.0)
    stations = (0.0, foot, length - foot, length)
    middle = length / 2.0
    return BoardNumbers(
        name=f"{kind}",
        length=length,
        outline=_marks(stations, family.outline),
        wide=inches(family.wide),
        wide_at=middle + inches(family.wide_at),
        tail=Tail(family.tail.kind, inches(family.tail.corner_radius), inches(family.tail.depth)),
        rocker=_marks(stations, family.rocker),
        low_at=middle + inches(family.low_at),
        thickness=_marks(stations, family.thickness),
        thickest=inches(family.thickest),
        thickest_at=middle + inches(family.thickest_at),
        rails=rails_of(family, length, ALONG),
        deck=(DeckMark(middle, inches(family.crown), inches(family.roll), "centre"),),
        bottom=contours_of(family, length),
    )


def rails_of(family: Family, length: float, places: tuple[str, ...]) -> tuple[RailMark, ...]:
    """Return a family's rails at stations of a board."""
    return tuple(
        RailMark(parse_station(place, length, None), apex, inches(tuck), place, edge)
        for place, (apex, tuck, edge) in zip(places, family.rails, strict=True)
    )


def contours_of(family: Family, length: float) -> tuple[Term, ...]:
    """Return a family's contours on a board."""
    found = []
    for shape, depth, *places in family.bottom:
        stations = [(parse_station(place, length, None), place) for place in places]
        found.append(term_of(shape, stretch_of(*stations), depth=inches(depth)))
    return tuple(found)


PLACES = ("tail", "12 in from tail", "12 in from nose", "nose")
ALONG = ("tail", "12 in from tail", "centre", "24 in from nose")


def _marks(stations: Ends, values: Ends) -> tuple[Mark, ...]:
    return tuple(
        Mark(x, inches(value), place) for x, value, place in zip(stations, values, PLACES, strict=True)
    )
