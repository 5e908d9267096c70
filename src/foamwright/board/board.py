"""A board made solid: the fair curves through its numbers and the heights of both faces everywhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from foamwright.board.numbers import BoardNumbers
from foamwright.board.outline import Outline, outline_of, stray_widths
from foamwright.board.patches import LowerRail, Scoop, UpperRail
from foamwright.board.section import (
    SectionNumbers,
    Sections,
    bottom_height,
    deck_height,
    lowest_contour,
    sections_of,
)
from foamwright.errors import InputError
from foamwright.shape.curves import FairCurve, Floats
from foamwright.shape.solid import MassProperties, mass_properties
from foamwright.shape.surface import Patch
from foamwright.shape.trade_curves import Point, Searched, domed, touching
from foamwright.sheets.unfair import Attempts
from foamwright.stations import Mark
from foamwright.units import System


@dataclass(frozen=True, eq=False)
class Board:
    """A finished board core. Everything is in the board's frame (see docs/architecture.md), SI.

    Attributes
    ----------
    numbers
        What the shaper asked for.
    outline
        Half-widths and the tail's form.
    rocker_curve, thickness_curve
        Fair curves over the length, at the finished stringer.
    apex, thickest_at
        Stations of the lowest bottom and of the greatest thickness.
    sections
        Rails and contours along the board.
    """

    numbers: BoardNumbers
    outline: Outline
    rocker_curve: FairCurve
    thickness_curve: FairCurve
    apex: float
    thickest_at: float
    sections: Sections

    @property
    def name(self) -> str:
        """The board's name."""
        return self.numbers.name

    @property
    def length(self) -> float:
        """Tail tip to nose tip along the level line."""
        return self.numbers.length

    @property
    def panels(self) -> tuple[float, ...]:
        """Stations of kinks, ends included (for quadrature)."""
        marks = [m.x for m in self.numbers.rails] + [m.x for m in self.numbers.bottom]
        inner = [x for x in marks if 0.01 < x < self.length - 0.01]
        return tuple(sorted({*self.outline.panels, *inner}))

    def rocker(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the finished bottom at the stringer above the level line (or a derivative) at `x`."""
        return self.rocker_curve(x, derivative)

    def thickness(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the finished thickness at the stringer (or a derivative) at `x`."""
        return self.thickness_curve(x, derivative)

    def deck_line(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the finished deck at the stringer (or a derivative) at `x`."""
        return np.asarray(self.rocker(x, derivative) + self.thickness(x, derivative))

    def half_width(self, x: ArrayLike) -> Floats:
        """Return the outer half-width at `x`."""
        return self.outline.half_width(np.asarray(x, dtype=float))

    def inner(self, x: ArrayLike) -> Floats:
        """Return the half-width of the tail's notch at `x`."""
        return self.outline.inner(np.asarray(x, dtype=float))

    def kinks(self, x: Floats) -> Floats:
        """Return shares of the half-width where the section changes its formula: 0, the scoop's end, 1."""
        scoop = self.sections.scoop(x)
        return np.stack([np.zeros_like(scoop), scoop, np.ones_like(scoop)], axis=1)

    def section_numbers(self, x: Floats) -> SectionNumbers:
        """Return the numbers of the sections at `x` (N,)."""
        return self.sections.at(x, self.rocker(x), self.thickness(x))

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        """Return the finished bottom (N, K) at stations (N,) and shares (N, K) or (K,) of the half-width."""
        return bottom_height(self.section_numbers(x), share)

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        """Return the finished deck (N, K) at stations (N,) and shares (N, K) or (K,) of the half-width."""
        return deck_height(self.section_numbers(x), share)

    def patches(self) -> tuple[Patch, ...]:
        """Return the patches of one half of the surface, smooth along the rails."""
        rails = [
            kind(self, self.section_numbers, outer)
            for kind in (LowerRail, UpperRail)
            for outer in (True, False)
        ]
        return (Scoop(self, self.section_numbers), *rails)

    def bottom(self, x: Floats, y: Floats) -> Floats:
        """Return the finished bottom (N, K) at stations (N,) and distances from the stringer (N, K)."""
        return self.bottom_at(x, self._share(x, y))

    def deck(self, x: Floats, y: Floats) -> Floats:
        """Return the finished deck (N, K) at stations (N,) and distances from the stringer (N, K)."""
        return self.deck_at(x, self._share(x, y))

    def _share(self, x: Floats, y: Floats) -> Floats:
        half = np.maximum(self.half_width(x), 1e-9)[:, None]
        return np.clip(np.abs(y) / half, 0.0, 1.0)

    def pre_contour(self, x: ArrayLike) -> Floats:
        """Return the lowest finished bottom over y at `x`: the flat from which contours are cut."""
        at = np.atleast_1d(np.asarray(x, dtype=float))
        numbers = self.section_numbers(at)
        return np.asarray((numbers.low[:, 0] + lowest_contour(numbers)).reshape(np.shape(x)))

    def held_back(self, x: ArrayLike) -> Floats:
        """Return what the contours will still take from the stringer at `x`: finished less pre-contour."""
        return np.asarray(self.rocker(x) - self.pre_contour(x))

    def pre_contour_thickness(self, x: ArrayLike) -> Floats:
        """Return the thickness to hold at `x` until the contours are cut."""
        return np.asarray(self.deck_line(x) - self.pre_contour(x))

    def bottom_curvature(self, x: ArrayLike) -> Floats:
        """Return d2z/dx2 of the pre-contour bottom at `x` (>0: it bulges, seen from below), 1/m."""
        return _second_difference(self.pre_contour, np.asarray(x, dtype=float), self.length)

    def deck_curvature(self, x: ArrayLike) -> Floats:
        """Return d2z/dx2 of the deck at the stringer at `x` (>0: hollow, seen from above), 1/m."""
        return self.deck_line(x, 2)

    @cached_property
    def mass(self) -> MassProperties:
        """Volume, area, centroid and moments of the finished core."""
        return mass_properties(self)


def _second_difference(function: Callable[[Floats], Floats], x: Floats, length: float) -> Floats:
    step = length / 400.0
    at = np.clip(x, step, length - step)
    high, middle, low = function(at + step), function(at), function(at - step)
    return np.asarray((high - 2.0 * middle + low) / step**2)


def board_of(numbers: BoardNumbers, system: System = System.INCH) -> Board:
    """Return the board with fair curves through its numbers.

    Parameters
    ----------
    numbers
        What the shaper asked for.
    system
        Units in which a failure is told.

    Raises
    ------
    InputError
        Numbers that no fair curve can meet: for each curve the stations, by how much they would have to
        move, and the nearest numbers that are fair.
    """
    attempts = Attempts(numbers.name, system, stray_widths(numbers))
    outline = attempts.make("outline", lambda: outline_of(numbers))
    rocker = attempts.make("rocker", lambda: touching(_points(numbers.rocker), numbers.apex))
    foil = attempts.make("thickness", lambda: _foil(numbers))
    if outline is None or rocker is None or foil is None or attempts.problems:
        raise InputError(attempts.problems)
    return Board(numbers, outline, rocker.curve, foil.curve, rocker.at, foil.at, sections_of(numbers))


def _foil(numbers: BoardNumbers) -> Searched:
    return domed(_points(numbers.thickness), numbers.thickest, numbers.thickest_at)


def _points(marks: tuple[Mark, ...]) -> tuple[Point, ...]:
    return tuple(Point(m.x, m.value, m.place) for m in marks)
