"""A board after a pattern from length, width, thickness; the rest follows the reference's curves.

Numbers stand where a tape measures them, 12 in (or 300 mm) from each tip, read off the reference's own fair
curves at the same share of the length. Those curves, stretched, pass through all of them, so a fair board
always exists.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

import numpy as np

from foamwright.board.board import Board, board_of
from foamwright.board.contours.kinds import KINDS
from foamwright.board.contours.terms import Term, stretch_of
from foamwright.board.numbers import BoardNumbers, DeckMark, RailMark, Tail
from foamwright.board.sheet_tips import TIP_CROWN
from foamwright.board.tail_forms import FORMS, most_corner, tail_of
from foamwright.brief.families import FAMILIES
from foamwright.brief.family_forms import Contour, Rail, inches
from foamwright.brief.kinds import Pattern
from foamwright.sheets.stations import parse_station
from foamwright.stations import Mark
from foamwright.units import INCH, Unit


class Number(StrEnum):
    """A number of a board that may be fixed; nose and tail widths and thicknesses 12 in from the tip."""

    LENGTH = "length"
    WIDE = "wide"
    THICKEST = "thickest"
    VOLUME = "volume"
    NOSE_WIDTH = "nose width"
    TAIL_WIDTH = "tail width"
    BLOCK = "tail block"
    NOSE_THICKNESS = "nose thickness"
    TAIL_THICKNESS = "tail thickness"
    NOSE_ROCKER = "nose rocker"
    TAIL_ROCKER = "tail rocker"


@dataclass(frozen=True, slots=True)
class Grid:
    """A tape, exact: steps in metres, and the station near each tip at which a board is measured.

    Attributes
    ----------
    length, width, thickness, place
        Steps of lengths of boards, of widths and rocker, of thickness, of stations from the centre.
    unit
        What its numbers are in.
    inch
        How much of the unit stands for an inch where only a round number matters: 25 mm.
    """

    length: Fraction
    width: Fraction
    thickness: Fraction
    place: Fraction
    unit: str
    inch: float

    @property
    def places(self) -> tuple[str, str, str, str]:
        """Stations of widths, rocker and thickness."""
        return "tail", self.place_of("12 from tail"), self.place_of("12 from nose"), "nose"

    def place_of(self, words: str, scale: float = 1.0) -> str:
        """Return a station said in inches on this tape: ``12 from tail`` is 300 mm from it."""
        amount, _, rest = words.partition(" from ")
        if not rest:
            return words
        return f"{max(round(float(amount) * scale), 1) * self.inch:g} {self.unit} from {rest}"

    @staticmethod
    def on(value: float, step: Fraction) -> float:
        """Return the mark of the tape nearest to a value, as the float that a sheet with it reads to."""
        return float(round(value / float(step)) * step)


EXACT_INCH, EXACT_MM = Unit.INCH.exact, Unit.MM.exact
INCHES = Grid(EXACT_INCH, EXACT_INCH / 16, EXACT_INCH / 32, EXACT_INCH / 2, "in", 1.0)
MILLIMETRES = Grid(10 * EXACT_MM, EXACT_MM, EXACT_MM / 2, 10 * EXACT_MM, "mm", 25.0)

LEAST_NOSE, LEAST_TAIL, LEAST_TIP = 0.5 * INCH, 0.625 * INCH, 0.65625 * INCH
"""Foam at the tips of every board: foam does not know how heavy the rider is."""

NOSE_ROCKERS, TAIL_ROCKERS = (2.8125 * INCH, 6.6875 * INCH), (0.8125 * INCH, 3.4375 * INCH)
"""Between which the rocker of every board stays: less goes under or does not turn, more pushes water."""


@dataclass(frozen=True)
class Draft:
    """The few numbers of a board of a pattern, metres.

    Attributes
    ----------
    pattern
        What it is cut after.
    length, wide, thickest
        Its size.
    rise
        Factor on the reference's rocker.
    own
        Numbers that are to stand as they are, whatever the pattern has there.
    """

    pattern: Pattern
    length: float
    wide: float
    thickest: float
    rise: float = 1.0
    own: Mapping[Number, float] = field(default_factory=dict)


@lru_cache(maxsize=16)
def reference(pattern: Pattern) -> Board:
    """Return the reference board of a pattern, solid."""
    return board_of(reference_numbers(pattern))


def reference_numbers(pattern: Pattern) -> BoardNumbers:
    """Return the reference board of a pattern, in SI."""
    family = FAMILIES[pattern]
    length = inches(family.length)
    x, middle = _stations(INCHES.places, length), 0.5 * length
    tip = _tail_tip(pattern, 1.0, INCHES)

    def marks(values: tuple[float, ...]) -> tuple[Mark, ...]:
        return _at(x, [inches(value) for value in values], INCHES)

    return BoardNumbers(
        name=str(pattern),
        length=length,
        outline=marks(family.outline),
        wide=inches(family.wide),
        wide_at=middle + inches(family.wide_at),
        tail=_tail(pattern, family.outline[0] * INCH, 1.0, INCHES),
        rocker=marks(family.rocker),
        low_at=None,
        thickness=_with_tip(marks(family.thickness), tip),
        thickest=inches(family.thickest),
        thickest_at=middle + inches(family.thickest_at),
        rails=_rails(pattern, length, INCHES),
        deck=_deck(pattern, length, 1.0, INCHES),
        bottom=_bottom(pattern, length, INCHES),
        tail_tip=tip,
    )


def drafted(draft: Draft, grid: Grid, name: str) -> BoardNumbers:
    """Return the numbers of a draft, on the tape except where they are the draft's own."""
    ref, pattern = reference(draft.pattern), draft.pattern
    x = _stations(grid.places, draft.length)
    at = tuple(here / draft.length * ref.length for here in x)
    widths = _widths(draft, ref, at, grid)
    across, deep = draft.wide / ref.numbers.wide, draft.thickest / ref.numbers.thickest
    tip = _tail_tip(pattern, deep, grid)
    return BoardNumbers(
        name=name,
        length=draft.length,
        outline=_at(x, widths, grid),
        wide=draft.wide,
        wide_at=_station(draft, ref.outline.wide_at, grid),
        tail=_tail(pattern, widths[0], across, grid),
        rocker=_at(x, _rocker(draft, ref, at, grid), grid),
        low_at=None,
        thickness=_with_tip(_at(x, _thickness(draft, ref, at, grid), grid), tip),
        thickest=draft.thickest,
        thickest_at=_station(draft, ref.thickest_at, grid),
        rails=_rails(pattern, draft.length, grid),
        deck=_deck(pattern, draft.length, deep, grid),
        bottom=_bottom(pattern, draft.length, grid),
        tail_tip=tip,
    )


def _stations(places: tuple[str, ...], length: float) -> tuple[float, ...]:
    """Return stations as a sheet with these names would have them, to the last bit."""
    return tuple(parse_station(place, length, None) for place in places)


def _at(x: tuple[float, ...], values: list[float], grid: Grid) -> tuple[Mark, ...]:
    return tuple(Mark(at, value, place) for at, value, place in zip(x, values, grid.places, strict=True))


def _station(draft: Draft, x: float, grid: Grid) -> float:
    """Return a station of the reference at the same share of the length, on the tape from the centre."""
    ref = reference(draft.pattern)
    off = (x - ref.length / 2.0) * draft.length / ref.length
    way = "forward" if off > 0.0 else "aft"
    return parse_station(
        f"{1000.0 * Grid.on(abs(off), grid.place):.3f} mm {way} of centre", draft.length, None
    )


def _widths(draft: Draft, ref: Board, at: tuple[float, ...], grid: Grid) -> list[float]:
    factor = draft.wide / ref.numbers.wide
    values = [2.0 * float(ref.outline.side(np.array(x))) * factor for x in at]
    values[0], values[3] = ref.numbers.outline[0].value * factor, ref.numbers.outline[3].value * factor
    own = (Number.BLOCK, Number.TAIL_WIDTH, Number.NOSE_WIDTH, None)
    return [_own(draft, name, Grid.on(v, grid.width)) for name, v in zip(own, values, strict=True)]


def _rocker(draft: Draft, ref: Board, at: tuple[float, ...], grid: Grid) -> list[float]:
    """Return the rocker; a fixed tip takes the number 12 in from it along in proportion."""
    values = [float(ref.rocker(x)) * draft.rise for x in at]
    for name, tip, inner in ((Number.TAIL_ROCKER, 0, 1), (Number.NOSE_ROCKER, 3, 2)):
        if name in draft.own:
            values[inner] *= draft.own[name] / values[tip]
    for tip, (least, most) in ((0, TAIL_ROCKERS), (3, NOSE_ROCKERS)):
        values[tip] = min(max(values[tip], least), most)
    own = (Number.TAIL_ROCKER, None, None, Number.NOSE_ROCKER)
    return [_own(draft, name, Grid.on(v, grid.width)) for name, v in zip(own, values, strict=True)]


def _thickness(draft: Draft, ref: Board, at: tuple[float, ...], grid: Grid) -> list[float]:
    """Return the foil: it thins with the board, the tips by the root of that and never under their least."""
    factor = draft.thickest / ref.numbers.thickest
    values = [float(ref.thickness(x)) * factor for x in at]
    for end, least in ((0, LEAST_TAIL), (3, LEAST_NOSE)):
        values[end] = max(values[end] / factor**0.5, least)
    own = (None, Number.TAIL_THICKNESS, Number.NOSE_THICKNESS, None)
    return [_own(draft, name, Grid.on(v, grid.thickness)) for name, v in zip(own, values, strict=True)]


def _own(draft: Draft, name: Number | None, value: float) -> float:
    return value if name is None else draft.own.get(name, value)


def _tail(pattern: Pattern, width: float, across: float, grid: Grid) -> Tail:
    """Return the pattern's tail form; its own numbers grow and shrink with the width, within their limits."""
    family = FAMILIES[pattern]
    given: dict[str, float | None] = {}
    for key, value in family.tail_numbers.items():
        limit = FORMS[family.tail][key]
        given[key] = Grid.on(min(max(inches(value) * across, limit.least), limit.most), grid.width)
    tail = tail_of(family.tail, width, given)
    most = most_corner(family.tail, width, tail.tip_width)
    return replace(tail, corner_radius=Grid.on(min(tail.corner_radius, most), grid.width / 2))


def _with_tip(marks: tuple[Mark, ...], tip: float | None) -> tuple[Mark, ...]:
    """Return thicknesses with the imagined one of a swallow's stringer, as a sheet with this tip has it."""
    return marks if tip is None else (Mark(0.0, tip + TIP_CROWN, "tail_tip"), *marks[1:])


def _tail_tip(pattern: Pattern, deep: float, grid: Grid) -> float | None:
    """Return the foam in the tips of a swallow; a tail that is none has no such number."""
    tip = FAMILIES[pattern].tail_tip
    return None if tip is None else Grid.on(max(inches(tip) * deep**0.5, LEAST_TIP), grid.thickness)


def _rails(pattern: Pattern, length: float, grid: Grid) -> tuple[RailMark, ...]:
    return tuple(_rail(rail, length, grid) for rail in FAMILIES[pattern].rails)


SHORT = 60.0 * INCH
"""Boards under this have their foremost rail 18 in from the nose: 24 in would be the centre."""


def _rail(rail: Rail, length: float, grid: Grid) -> RailMark:
    at = "18 from nose" if rail.at == "24 from nose" and length < SHORT else rail.at
    place = grid.place_of(at)
    return RailMark(
        parse_station(place, length, None),
        rail.apex,
        Grid.on(inches(rail.tuck), grid.width),
        place,
        rail.edge,
    )


def _deck(pattern: Pattern, length: float, deep: float, grid: Grid) -> tuple[DeckMark, ...]:
    family, x = FAMILIES[pattern], parse_station("centre", length, None)
    crown = Grid.on(inches(family.crown) * deep, grid.width)
    return (DeckMark(x, crown, Grid.on(inches(family.roll), grid.width), "centre"),)


def _bottom(pattern: Pattern, length: float, grid: Grid) -> tuple[Term, ...]:
    scale = length / inches(FAMILIES[pattern].length)
    return tuple(_term(contour, length, scale, grid) for contour in FAMILIES[pattern].bottom)


def _term(contour: Contour, length: float, scale: float, grid: Grid) -> Term:
    """Return a contour on a board; its stations keep their share of the length, in whole inches."""
    kind = KINDS[contour.shape]
    numbers = {key.name: key.usual for key in kind.keys if isinstance(key.usual, float)}
    numbers |= {name: _number(name, value, grid) for name, value in contour.numbers.items()}
    words = {key.name: key.usual for key in kind.keys if isinstance(key.usual, str)}
    places = [grid.place_of(place, scale) for place in contour.stretch]
    stations = [(parse_station(place, length, None), place) for place in places]
    return Term(contour.shape, numbers, stretch_of(*stations), words)


def _number(name: str, value: float, grid: Grid) -> float:
    return value if name == "angle" else Grid.on(inches(value), grid.thickness)


def with_soft_tail(numbers: BoardNumbers, radius: float) -> BoardNumbers:
    """Return a board whose edges are soft to the tail, as a child's who begins."""
    least = min(mark.tuck for mark in numbers.rails if mark.tuck > 0.0)
    rails = tuple(
        mark
        if mark.edge.value == "soft"
        else replace(mark, edge=type(mark.edge).SOFT, tuck=least, radius=radius)
        for mark in numbers.rails
    )
    return replace(numbers, rails=rails)
