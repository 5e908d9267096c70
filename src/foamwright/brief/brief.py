"""From a rider's brief to the numbers of a board, every choice explained, every number adjustable."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from math import copysign

from foamwright.board.board import board_of
from foamwright.board.fin_layouts import Layout, usual_fins
from foamwright.board.numbers import BoardNumbers, FinMark
from foamwright.board.tail_words import POINTED
from foamwright.brief.choosing import (
    ROCKER_IN,
    Choice,
    board_word,
    kind_choice,
    rocker_choice,
    size_choice,
    target_volume,
    usual_kind,
    usual_length,
    volume_choice,
)
from foamwright.brief.drafting import INCHES, MILLIMETRES, Draft, Grid, Number, reference
from foamwright.brief.families import FAMILIES, Kind, Waves
from foamwright.brief.sizing import Sized, sized
from foamwright.errors import InputError, Problem
from foamwright.findings import Finding, Severity
from foamwright.sheets.rider import RiderNumbers
from foamwright.stations import Mark
from foamwright.units import System

MET = 5e-5
"""m3 within which a volume counts as met: 0.05 litres."""


@dataclass(frozen=True)
class Wish:
    """What is asked for besides the rider.

    Attributes
    ----------
    kind
        `None`: what suits.
    waves
        How big.
    fixed
        Numbers that stand: metres, and m3 for the volume.
    grid
        The tape that the numbers are put on.
    """

    kind: Kind | None = None
    waves: Waves = Waves.MEDIUM
    fixed: Mapping[Number, float] = field(default_factory=dict)
    grid: Grid = INCHES


@dataclass(frozen=True, eq=False)
class Brief:
    """A board from a brief.

    Attributes
    ----------
    numbers
        The board.
    volume, target
        m3 that it has and that were sought.
    choices
        What was chosen, and why.
    findings
        What could not be had.
    """

    numbers: BoardNumbers
    volume: float
    target: float
    choices: tuple[Choice, ...]
    findings: tuple[Finding, ...]


def brief_for(rider: RiderNumbers, wish: Wish | None = None) -> Brief:
    """Return starting numbers of a board for a rider.

    Parameters
    ----------
    rider
        Mass, stature, experience.
    wish
        Kind, waves, fixed numbers, tape.

    Raises
    ------
    InputError
        The fixed numbers contradict each other, or no fair board has them.
    """
    wish = Wish() if wish is None else wish
    kind = wish.kind or usual_kind(rider.experience, wish.waves)
    _require_freedom(wish.fixed)
    _require_tail(kind, wish.fixed)
    target = wish.fixed.get(Number.VOLUME, target_volume(rider, kind, wish.waves))
    made = sized(_draft(rider, kind, wish), target, wish.grid, f"{rider.name}, {kind}")
    numbers = replace(made.numbers, fins=fins_for(made.numbers, FAMILIES[kind].fins, wish.grid))
    return Brief(
        numbers, made.volume, target, _choices(rider, kind, wish, numbers), _findings(made, target, wish)
    )


def _require_freedom(fixed: Mapping[Number, float]) -> None:
    size = {Number.LENGTH, Number.WIDE, Number.THICKEST}
    if size <= fixed.keys() and Number.VOLUME in fixed:
        raise InputError(
            Problem(
                "--fix",
                "length, wide, thickest and volume are all fixed, so nothing is left to meet it with.",
                "Free one of them.",
            )
        )


def _require_tail(kind: Kind, fixed: Mapping[Number, float]) -> None:
    """Refuse a block at the tip of a family that comes to a point there, and a point where it has a block."""
    tail, block = FAMILIES[kind].tail.kind, fixed.get(Number.BLOCK)
    if block is None or (block == 0.0) == (tail in POINTED):
        return
    width = "no width" if tail in POINTED else "a width"
    what = f"A {board_word(kind)} has a {tail} tail here, and that has {width} at the tip."
    raise InputError(
        Problem("--fix tail block", what, "Choose another --kind, or leave the tail block free.")
    )


def _draft(rider: RiderNumbers, kind: Kind, wish: Wish) -> Draft:
    ref = reference(kind)
    own: dict[Number, float] = {
        number: value for number, value in wish.fixed.items() if number is not Number.VOLUME
    }
    return Draft(
        kind,
        length=own.get(Number.LENGTH, usual_length(rider.stature, kind)),
        wide=own.get(Number.WIDE, ref.numbers.wide),
        thickest=own.get(Number.THICKEST, ref.numbers.thickest),
        rise=ROCKER_IN[wish.waves],
        own=own,
    )


def fins_for(numbers: BoardNumbers, layout: Layout, grid: Grid) -> tuple[FinMark, ...]:
    """Return the boxes of a usual layout on a board, their distances from the stringer on the tape."""
    wide_at = numbers.wide_at if numbers.wide_at is not None else board_of(numbers).outline.wide_at
    wide = Mark(wide_at, numbers.wide, "wide")
    fins = usual_fins(layout, sorted([*numbers.outline, wide], key=lambda mark: mark.x))
    return tuple(replace(fin, y=copysign(Grid.on(abs(fin.y), grid.width), fin.y)) for fin in fins)


def _choices(rider: RiderNumbers, kind: Kind, wish: Wish, numbers: BoardNumbers) -> tuple[Choice, ...]:
    usual = (
        kind_choice(kind, wish.kind is not None, rider, wish.waves),
        volume_choice(rider, kind, wish.waves),
        size_choice(kind, numbers.length, System.MM if wish.grid == MILLIMETRES else System.INCH),
        Choice("wide", numbers.wide, "m", "width and thickness share what the volume still asks for.", OURS),
        Choice(
            "thickest", numbers.thickest, "m", "it takes a little more of the volume than the width.", OURS
        ),
        rocker_choice(wish.waves),
        Choice("fins", str(FAMILIES[kind].fins), "", f"the usual layout of a {board_word(kind)}.", OURS),
    )
    kept = tuple(choice for choice in usual if choice.name not in wish.fixed)
    return (*kept, *(_fixed_choice(number, value) for number, value in wish.fixed.items()))


OURS = "common practice, no source"


def _fixed_choice(number: Number, value: float) -> Choice:
    volume = number is Number.VOLUME
    return Choice(
        str(number),
        value * 1000.0 if volume else value,
        "l" if volume else "m",
        "it was fixed.",
        "fixed by you",
    )


def _findings(made: Sized, target: float, wish: Wish) -> tuple[Finding, ...]:
    missed, has = made.volume - target, made.volume * 1000.0
    if abs(missed) <= MET:
        return ()
    more = "more" if missed > 0.0 else "less"
    size = {Number.LENGTH, Number.WIDE, Number.THICKEST}
    free = size - wish.fixed.keys()
    return (
        Finding(
            "brief-volume-missed",
            Severity.WARNING,
            "volume",
            made.volume,
            target,
            "m3",
            f"The board has {has:.2f} litres, {abs(missed) * 1000.0:.2f} {more} than sought: "
            + ("its sizes are at their limits." if free else "length, wide and thickest are fixed."),
            "Free a number, or choose another kind."
            if not free
            else "Choose another kind or another volume.",
        ),
    )
