"""A board of a family from a few numbers: length, width, thickness; the rest follows the reference's curves.

Numbers stand where a tape measures them, 12 in (or 300 mm) from each tip, read off the reference's own fair
curves at the same share of the length. Those curves, stretched, pass through all of them, so a fair board
always exists.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache

import numpy as np

from foamwright.board.board import Board, board_of
from foamwright.board.contours.terms import Term
from foamwright.board.numbers import BoardNumbers, DeckMark, RailMark, Tail
from foamwright.brief.families import FAMILIES, Kind, contours_of, inches, rails_of, reference_numbers
from foamwright.sheets.stations import parse_station
from foamwright.stations import Mark
from foamwright.units import Unit


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
    inboard, fore
        How far from each tip the inner numbers stand, and from the nose the foremost rail, as written.
    """

    length: Fraction
    width: Fraction
    thickness: Fraction
    place: Fraction
    inboard: str
    fore: str

    @property
    def places(self) -> tuple[str, str, str, str]:
        """Stations of widths, rocker and thickness."""
        return "tail", f"{self.inboard} from tail", f"{self.inboard} from nose", "nose"

    @property
    def along(self) -> tuple[str, str, str, str]:
        """Stations of rails and contours."""
        return "tail", f"{self.inboard} from tail", "centre", f"{self.fore} from nose"

    @staticmethod
    def on(value: float, step: Fraction) -> float:
        """Return the mark of the tape nearest to a value, as the float that a sheet with it reads to."""
        return float(round(value / float(step)) * step)


EXACT_INCH, EXACT_MM = Unit.INCH.exact, Unit.MM.exact
INCHES = Grid(EXACT_INCH, EXACT_INCH / 16, EXACT_INCH / 32, EXACT_INCH / 2, "12 in", "24 in")
MILLIMETRES = Grid(10 * EXACT_MM, EXACT_MM, EXACT_MM / 2, 10 * EXACT_MM, "300 mm", "600 mm")


@dataclass(frozen=True)
class Draft:
    """The few numbers of a board of a family, metres.

    Attributes
    ----------
    kind
        The family.
    length, wide, thickest
        Its size.
    rise
        Factor on the rocker, beyond what the length asks for.
    own
        Numbers that are to stand as they are, whatever the family has there.
    """

    kind: Kind
    length: float
    wide: float
    thickest: float
    rise: float = 1.0
    own: dict[Number, float] = field(default_factory=dict)


@lru_cache(maxsize=16)
def reference(kind: Kind) -> Board:
    """Return the reference board of a kind, solid."""
    return board_of(reference_numbers(kind))


def drafted(draft: Draft, grid: Grid, name: str) -> BoardNumbers:
    """Return the numbers of a draft, on the tape except where they are the draft's own."""
    ref = reference(draft.kind)
    x = _stations(grid.places, draft.length)
    at = tuple(here / draft.length * ref.length for here in x)
    widths = _widths(draft, ref, at, grid)
    return BoardNumbers(
        name=name,
        length=draft.length,
        outline=_at(x, widths, grid),
        wide=draft.wide,
        wide_at=_station(draft, ref.outline.wide_at, grid),
        tail=_tail(draft, grid, widths[0]),
        rocker=_at(x, _rocker(draft, ref, at, grid), grid),
        low_at=_station(draft, ref.low_at, grid),
        thickness=_at(x, _thickness(draft, ref, at, grid), grid),
        thickest=draft.thickest,
        thickest_at=_station(draft, ref.thickest_at, grid),
        rails=_rails(draft, grid),
        deck=_deck(draft, grid),
        bottom=_bottom(draft, grid),
    )


def _stations(places: tuple[str, ...], length: float) -> tuple[float, ...]:
    """Return stations as a sheet with these names would have them, to the last bit."""
    return tuple(parse_station(place, length, None) for place in places)


def _at(x: tuple[float, ...], values: list[float], grid: Grid) -> tuple[Mark, ...]:
    return tuple(Mark(at, value, place) for at, value, place in zip(x, values, grid.places, strict=True))


def _station(draft: Draft, x: float, grid: Grid) -> float:
    """Return a station of the reference at the same share of the length, on the tape from the centre."""
    ref = reference(draft.kind)
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
    rise = draft.length / ref.length * draft.rise
    values = [float(ref.rocker(x)) * rise for x in at]
    for name, tip, inner in ((Number.TAIL_ROCKER, 0, 1), (Number.NOSE_ROCKER, 3, 2)):
        if name in draft.own:
            values[inner] *= draft.own[name] / values[tip]
    own = (Number.TAIL_ROCKER, None, None, Number.NOSE_ROCKER)
    return [_own(draft, name, Grid.on(v, grid.width)) for name, v in zip(own, values, strict=True)]


def _thickness(draft: Draft, ref: Board, at: tuple[float, ...], grid: Grid) -> list[float]:
    factor = draft.thickest / ref.numbers.thickest
    values = [float(ref.thickness(x)) * factor for x in at]
    own = (None, Number.TAIL_THICKNESS, Number.NOSE_THICKNESS, None)
    return [_own(draft, name, Grid.on(v, grid.thickness)) for name, v in zip(own, values, strict=True)]


def _own(draft: Draft, name: Number | None, value: float) -> float:
    return value if name is None else draft.own.get(name, value)


def _tail(draft: Draft, grid: Grid, block: float) -> Tail:
    """Return the family's tail form; its corners and its notch shrink with the block."""
    tail, ref = FAMILIES[draft.kind].tail, inches(FAMILIES[draft.kind].outline[0])
    size = block / ref if ref else 1.0
    return Tail(
        tail.kind,
        Grid.on(inches(tail.corner_radius) * size, grid.width),
        Grid.on(inches(tail.depth) * size, grid.width),
    )


def _rails(draft: Draft, grid: Grid) -> tuple[RailMark, ...]:
    rails = rails_of(FAMILIES[draft.kind], draft.length, grid.along)
    return tuple(replace(mark, tuck=Grid.on(mark.tuck, grid.width)) for mark in rails)


def _deck(draft: Draft, grid: Grid) -> tuple[DeckMark, ...]:
    family = FAMILIES[draft.kind]
    x, size = parse_station("centre", draft.length, None), draft.thickest / inches(family.thickest)
    crown, roll = Grid.on(inches(family.crown) * size, grid.width), Grid.on(inches(family.roll), grid.width)
    return (DeckMark(x, crown, roll, "centre"),)


def _bottom(draft: Draft, grid: Grid) -> tuple[Term, ...]:
    return tuple(
        replace(term, numbers={**term.numbers, "depth": Grid.on(term.numbers["depth"], grid.thickness)})
        for term in contours_of(FAMILIES[draft.kind], draft.length)
    )
