"""A measured board as the numbers of a board sheet: at stations, rounded to a tape's marks, and fair."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from statistics import median

import numpy as np

from foamwright.board.contours.kinds import term_of
from foamwright.board.contours.terms import Stretch, Term
from foamwright.board.numbers import BoardNumbers, DeckMark, Edge, RailMark, Tail, TailKind
from foamwright.errors import InputError, Problem
from foamwright.exchange.fairing import faired
from foamwright.exchange.scan_measure import Measured
from foamwright.exchange.scan_sections import Basis, Section
from foamwright.exchange.scan_shaping import shaped
from foamwright.exchange.scan_tips import End
from foamwright.findings import Finding, Severity
from foamwright.shape.curves import Floats
from foamwright.sheets.stations import parse_station
from foamwright.stations import Mark
from foamwright.units import System, Unit

STEPS = {Unit.INCH: Unit.INCH.exact / 64, Unit.MM: Unit.MM.exact / 10, Unit.CM: Unit.MM.exact / 10}
"""What lengths are rounded to: 1/64 in, or a tenth of a millimetre."""

HARD = 0.004
"""Metres of tuck below which a steep edge is a hard one."""

STEEP = 0.35
"""Share of a rail's rise that its first tangent takes, above which the edge can be felt."""

SHALLOW = 0.6
"""Share of a contour's greatest depth above which it is full."""

NEAR = 0.09
"""Metres around a station whose sections speak for it."""

WIDE_ENOUGH = 0.07
"""Metres of half-width below which a section says little of rails and contours."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A board as a sheet's numbers, and what there is to say about how they were found."""

    numbers: BoardNumbers
    findings: tuple[Finding, ...]


def unit_of(system: System) -> Unit:
    """Return the unit that a sheet is written in for a person who reads in that system."""
    return Unit.INCH if system is System.INCH else Unit.MM


def sheet_of(measured: Measured, name: str, unit: Unit) -> Sheet:
    """Return a measured board as numbers of a board sheet.

    Parameters
    ----------
    measured
        The board.
    name
        What it is called.
    unit
        Whose stations and marks are used.

    Raises
    ------
    InputError
        What was measured has no board's size, or no fair board comes near it.
    """
    require_board(measured)
    tape = Tape(unit, measured.length)
    numbers = drafted(measured, name, tape)
    fair, moves = faired(_rounded(shaped(numbers, measured), tape))
    return Sheet(_rounded_marks(fair, tape), (*_said(measured), *moves))


def drafted(measured: Measured, name: str, tape: Tape) -> BoardNumbers:
    """Return what single places of a measured board show, before its tail and its curves are fitted."""
    places, few = tape.places(), tape.few()
    thick_at = _greatest(measured.thickness, measured.length)
    return BoardNumbers(
        name=name,
        length=tape.length,
        outline=(
            tape.mark("tail", 0.0),
            *(tape.mark(place, 2.0 * float(measured.half_width(tape.x(place)))) for place in places[1:-1]),
            tape.mark("nose", 0.0),
        ),
        wide=tape.rounded(2.0 * float(measured.half_width(_greatest(measured.half_width, measured.length)))),
        wide_at=tape.rounded(_greatest(measured.half_width, measured.length)),
        tail=Tail(TailKind.ROUND, depth=tape.rounded(measured.tail.depth)),
        rocker=tuple(tape.mark(place, float(measured.lines.bottom(tape.x(place)))) for place in places),
        low_at=tape.rounded(measured.apex),
        thickness=tuple(tape.mark(place, float(measured.thickness(tape.x(place)))) for place in places),
        thickest=tape.rounded(float(measured.thickness(thick_at))),
        thickest_at=tape.rounded(thick_at),
        rails=tuple(_rail(measured, tape, place) for place in few),
        deck=(_deck(measured, tape),),
        bottom=_bottom(measured, tape),
    )


@dataclass(frozen=True, slots=True)
class Tape:
    """Stations and roundings of a sheet in a unit for a board of a length (metres)."""

    unit: Unit
    measured: float

    @property
    def length(self) -> float:
        """The board's length, rounded."""
        return self.rounded(self.measured)

    def rounded(self, metres: float) -> float:
        """Return the nearest mark of the tape, as the float that reading it gives."""
        step = STEPS[self.unit]
        return float(round(Fraction(metres) / step) * step)

    def places(self) -> tuple[str, ...]:
        """Return the stations of a sheet, tail to nose, by name."""
        steps = (12, 24) if self.unit is Unit.INCH else (300, 600)
        word = "" if self.unit is Unit.INCH else " mm"
        kept = [n for n in steps if float(n * self.unit.exact) < 0.33 * self.measured]
        aft, fore = [f"{n}{word} from tail" for n in kept], [f"{n}{word} from nose" for n in reversed(kept)]
        return ("tail", *aft, *fore, "nose")

    def few(self) -> tuple[str, ...]:
        """Return the stations of rails and contours: the tips, the first from each, the centre."""
        places = self.places()
        return (places[0], places[1], "centre", places[-2], places[-1])

    def x(self, place: str) -> float:
        """Return metres from the tail of a station."""
        return parse_station(place, self.length, self.unit)

    def mark(self, place: str, value: float) -> Mark:
        """Return a rounded number at a station; none is below 0."""
        return Mark(self.x(place), max(self.rounded(value), 0.0), place)


def _rounded(numbers: BoardNumbers, tape: Tape) -> BoardNumbers:
    """Round what was fitted: the tail's numbers and the wide point."""
    tail = numbers.tail
    return replace(
        numbers,
        tail=replace(tail, corner_radius=tape.rounded(tail.corner_radius), depth=tape.rounded(tail.depth)),
        outline=(
            replace(numbers.outline[0], value=tape.rounded(numbers.outline[0].value)),
            *numbers.outline[1:],
        ),
        wide_at=None if numbers.wide_at is None else tape.rounded(numbers.wide_at),
        thickest_at=None if numbers.thickest_at is None else tape.rounded(numbers.thickest_at),
    )


def _rounded_marks(numbers: BoardNumbers, tape: Tape) -> BoardNumbers:
    """Round what fairness moved, where the rounded number is fair too."""

    def by_tape(marks: tuple[Mark, ...]) -> tuple[Mark, ...]:
        return tuple(replace(mark, value=tape.rounded(mark.value)) for mark in marks)

    rounded = replace(
        numbers,
        outline=by_tape(numbers.outline),
        rocker=by_tape(numbers.rocker),
        thickness=by_tape(numbers.thickness),
    )
    try:
        return numbers if faired(rounded)[1] else rounded
    except InputError:
        return numbers


def _greatest(curve: Callable[[Floats], Floats], length: float) -> float:
    """Station of the greatest value, by the quintic through the middle half of a curve: maxima are flat."""
    x = np.linspace(0.25 * length, 0.75 * length, 401)
    smooth = np.polynomial.Polynomial.fit(x, curve(x), 5)
    return float(x[int(np.argmax(smooth(x)))])


def _near(measured: Measured, x: float) -> list[Section]:
    wide = [s for s in measured.sections if s.half_width > WIDE_ENOUGH] or list(measured.sections)
    close = [s for s in wide if abs(s.x - x) < NEAR]
    return close or sorted(wide, key=lambda s: abs(s.x - x))[:5]


def _rail(measured: Measured, tape: Tape, place: str) -> RailMark:
    x = tape.x(place)
    near = _near(measured, x)
    apex = round(min(max(median(s.apex for s in near), 0.0), 0.95), 2)
    tuck, steep = median(s.tuck for s in near), median(s.steep for s in near)
    if steep < STEEP:
        return RailMark(x, apex, tape.rounded(tuck), place)
    edge = Edge.HARD if tuck < HARD else Edge.TUCKED
    return RailMark(x, apex, tape.rounded(tuck), place, edge)


def _deck(measured: Measured, tape: Tape) -> DeckMark:
    x = tape.x("centre")
    near = _near(measured, x)
    crown, roll = median(s.crown for s in near), median(s.roll for s in near)
    return DeckMark(x, tape.rounded(crown), tape.rounded(roll), "centre")


def _bottom(measured: Measured, tape: Tape) -> tuple[Term, ...]:
    """Return a contour for each kind that sections show, from the first of them to the last."""
    found = []
    for basis in Basis:
        own = [s for s in measured.sections if s.contour.basis is basis and s.half_width > WIDE_ENOUGH]
        if len(own) > 2:
            found.append(_term(basis, own, tape))
    return tuple(found)


def _term(basis: Basis, own: list[Section], tape: Tape) -> Term:
    depths = np.array([s.contour.depth for s in own])
    depth = float(np.quantile(depths, 0.75))
    full = [s.x for s, one in zip(own, depths, strict=True) if one > SHALLOW * depth]
    x = [s.x for s in own]
    ends = (max(x), max(full), min(full), min(x))
    begin, fore, aft, end = (tape.rounded(min(max(at, 0.0), tape.length)) for at in ends)
    stretch = Stretch(begin, fore, aft, 0.0 if end < NEAR else end)
    return term_of(basis.value, stretch, depth=tape.rounded(depth))


def _said(measured: Measured) -> list[Finding]:
    noise = median(s.misfit for s in measured.sections)
    found = [
        Finding(
            "scan-noise",
            Severity.NOTE,
            "whole board",
            noise,
            None,
            "m",
            f"Points lie {noise * 1000:.2f} mm from the fitted sections, in the middle of all sections.",
            "Widths, rocker and thickness are means over many points; rails and contours are less sure.",
        )
    ]
    if measured.tail.kind is End.NOTCH:
        found.append(
            Finding(
                "scan-notch",
                Severity.WARNING,
                "tail",
                measured.tail.depth,
                None,
                "m",
                "The tail is notched: rocker and thickness at the tail are carried on from the notch's foot.",
                "Check both on the board, beside the notch.",
            )
        )
    return found


def require_board(measured: Measured) -> None:
    """Raise unless what was measured has the size of a board.

    Raises
    ------
    InputError
        It is too short, narrow or wide.
    """
    wide = 2.0 * float(np.max(measured.half_width(np.linspace(0.0, measured.length, 201))))
    if not 1.1 <= measured.length <= 4.3 or not 0.2 <= wide <= 0.85:
        size = f"{measured.length:.2f} m long and {wide * 1000:.0f} mm wide"
        raise InputError(
            Problem("scan", f"is {size}: no board is.", "Check the unit and what else is in the scan.")
        )
