"""Scaling, stretching and volume-matching of any board's numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from math import atan, tan

from foamwright.board.board import board_of
from foamwright.board.contours.terms import Term
from foamwright.board.numbers import Beak, BoardNumbers, RailMark, Wing
from foamwright.board.sections import usual_deck
from foamwright.errors import NoAnswerError
from foamwright.shape.solid import volume
from foamwright.stations import Mark
from foamwright.units import System

MATCHED = 2e-6
"""m3 within which a matched volume lies."""

MOST_STRETCH = 3.0
"""Factor beyond which (or below whose inverse) no volume is sought."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Factors along the board, across it, and square to it (thickness, contours); `rise` is the rocker's."""

    along: float = 1.0
    across: float = 1.0
    deep: float = 1.0
    rise: float = 1.0


class Keep(StrEnum):
    """What a volume match leaves as it is."""

    NOTHING = "nothing"
    LENGTH = "length"
    PLAN = "plan"
    PROFILE = "profile"


POWERS = {
    Keep.NOTHING: (1 / 3, 1 / 3, 1 / 3),
    Keep.LENGTH: (0.0, 0.5, 0.5),
    Keep.PLAN: (0.0, 0.0, 1.0),
    Keep.PROFILE: (0.0, 1.0, 0.0),
}


def scaled(board: BoardNumbers, factor: float) -> BoardNumbers:
    """Return the board `factor` times as large in every way; its volume grows with the cube."""
    return stretched(board, Stretch(factor, factor, factor, factor))


def stretched(board: BoardNumbers, stretch: Stretch) -> BoardNumbers:
    """Return the board stretched; fin boxes move with it but keep their own size, toe and cant.

    Stations move along, so a width given 12 in from the tail stands elsewhere afterwards.
    """
    along, across, deep = stretch.along, stretch.across, stretch.deep
    tail = replace(
        board.tail,
        corner_radius=board.tail.corner_radius * min(along, across),
        depth=board.tail.depth * along,
        bow=board.tail.bow * along,
        point=board.tail.point * along,
        tip_width=board.tail.tip_width * across,
        crack_bow=board.tail.crack_bow * across,
    )
    return replace(
        board,
        length=board.length * along,
        outline=_marks(board.outline, along, across),
        wide=board.wide * across,
        wide_at=_moved(board.wide_at, along),
        tail=tail,
        rocker=_marks(board.rocker, along, stretch.rise),
        low_at=_moved(board.low_at, along),
        thickness=_marks(board.thickness, along, deep),
        thickest=board.thickest * deep,
        thickest_at=_moved(board.thickest_at, along),
        rails=tuple(_rail(mark, stretch) for mark in board.rails),
        deck=tuple(
            replace(mark, x=mark.x * along, crown=mark.crown * deep, roll=mark.roll * across)
            for mark in board.deck or (usual_deck(board.length),)
        ),
        bottom=tuple(_contour(term, stretch) for term in board.bottom),
        fins=tuple(replace(fin, x=fin.x * along, y=fin.y * across) for fin in board.fins),
        wings=tuple(_wing(wing, stretch) for wing in board.wings),
        beak=None if board.beak is None else _beak(board.beak, stretch),
        tail_tip=None if board.tail_tip is None else board.tail_tip * deep,
    )


def _wing(wing: Wing, stretch: Stretch) -> Wing:
    along, across = stretch.along, stretch.across
    return replace(
        wing,
        x=wing.x * along,
        step=wing.step * across,
        length=wing.length * along,
        flare=wing.flare * across,
        fade_forward=wing.fade_forward * along,
    )


def _beak(beak: Beak, stretch: Stretch) -> Beak:
    return replace(beak, length=beak.length * stretch.along, tip=beak.tip * stretch.deep)


def _rail(mark: RailMark, stretch: Stretch) -> RailMark:
    """A rail stretched; an edge keeps the share of its rise that its angle takes."""
    slope = None if mark.angle is None else tan(mark.angle) * stretch.deep / stretch.across
    angle = None if slope is None else atan(slope)
    return replace(mark, x=mark.x * stretch.along, tuck=mark.tuck * stretch.across, angle=angle)


def _contour(term: Term, stretch: Stretch) -> Term:
    """A contour stretched; what is no length across or along (a count, an angle) stays."""
    factor = {"depth": stretch.deep, "fade": stretch.along, "count": 1.0, "angle": 1.0}
    numbers = {key: value * factor.get(key, stretch.across) for key, value in term.numbers.items()}
    moved = (x * stretch.along for x in term.stretch.marks)
    return replace(term, numbers=numbers, stretch=term.stretch.moved(*moved))


def _moved(x: float | None, along: float) -> float | None:
    return None if x is None else x * along


def _marks(marks: tuple[Mark, ...], along: float, value: float) -> tuple[Mark, ...]:
    return tuple(replace(mark, x=mark.x * along, value=mark.value * value) for mark in marks)


def stretched_to(
    board: BoardNumbers,
    length: float | None = None,
    wide: float | None = None,
    thickest: float | None = None,
) -> BoardNumbers:
    """Return the board stretched to a length, a greatest width, a greatest thickness (metres; None keeps it).

    The rocker grows with the length, so the curve keeps its look.
    """
    along = 1.0 if length is None else length / board.length
    across = 1.0 if wide is None else wide / board.wide
    deep = 1.0 if thickest is None else thickest / board.thickest
    return stretched(board, Stretch(along, across, deep, along))


def volume_matched(board: BoardNumbers, target: float, keep: Keep = Keep.LENGTH) -> BoardNumbers:
    """Return the board stretched to a volume.

    Parameters
    ----------
    board
        Any board.
    target
        m3.
    keep
        Nothing: it is scaled. The length: width and thickness share the change. The plan: thickness takes
        it. The profile (length and thickness): width takes it.

    Raises
    ------
    NoAnswerError
        The volume lies more than threefold stretching away.
    InputError
        The stretched numbers are no fair board.
    """
    along, across, deep = POWERS[keep]

    def of(size: float) -> BoardNumbers:
        return stretched(board, Stretch(size**along, size**across, size**deep, size**along))

    return _matched(of, target, board.name)


def _matched(of: Callable[[float], BoardNumbers], target: float, name: str) -> BoardNumbers:
    """Return `of(size)` of the wanted volume; the volume goes about as `size`, so quotients settle fast."""
    size = 1.0
    for _ in range(12):
        numbers = of(size)
        here = volume_of(numbers)
        if abs(here - target) < MATCHED:
            return numbers
        size *= target / here
        if not 1.0 / MOST_STRETCH**3 < size < MOST_STRETCH**3:
            break
    raise NoAnswerError(
        f"{name} cannot be stretched to {target * 1000.0:.1f} litres: it is too far from its own volume."
    )


def volume_of(numbers: BoardNumbers) -> float:
    """Return the volume of a board's numbers, m3.

    Raises
    ------
    InputError
        They are no fair board; told in the units in which its stations are named.
    """
    return volume(board_of(numbers, _tape_of(numbers)))


def _tape_of(numbers: BoardNumbers) -> System:
    """Return the tape on which a board's stations are named."""
    return System.MM if any(" mm " in mark.place for mark in numbers.thickness) else System.INCH
