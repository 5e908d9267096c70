"""A board made solid: the fair curves through its numbers and the heights of both faces everywhere."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import ArrayLike

from foamwright.board.foil import beak_problems, foil_of
from foamwright.board.impossible import impossible_rails
from foamwright.board.numbers import BoardNumbers
from foamwright.board.outline import Outline, outline_of, stray_widths
from foamwright.board.patches import patches_of
from foamwright.board.section import SectionNumbers
from foamwright.board.sections import Sections, sections_of
from foamwright.board.tips import with_tips
from foamwright.errors import InputError
from foamwright.shape.curves import FairCurve, Floats
from foamwright.shape.fade import fade
from foamwright.shape.rolled import RolledCurve
from foamwright.shape.solid import MassProperties, mass_properties
from foamwright.shape.surface import Patch
from foamwright.shape.trade_curves import Point, touching
from foamwright.sheets.unfair import Attempts
from foamwright.stations import Mark
from foamwright.units import System

ENOUGH = 24, 12
"""Gauss nodes along each panel and across each part: right to 1e-9 (docs/accuracy.md)."""

SAME_MARK = 1e-6
"""Metres under which two stations of kinks are one."""


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
    low_at, thickest_at
        Stations of the low point and of the greatest thickness.
    sections
        Rails and contours along the board.
    """

    numbers: BoardNumbers
    outline: Outline
    rocker_curve: FairCurve
    thickness_curve: FairCurve
    low_at: float
    thickest_at: float
    sections: Sections

    def __repr__(self) -> str:
        """Return a line for an interpreter."""
        return f"<Board {self.name!r} {self.length:.3f} m, {1000.0 * self.mass.volume:.1f} l>"

    def _repr_svg_(self) -> str:
        """Return the board drawn from above and from the side, for a notebook."""
        from foamwright.board.picture import board_svg

        return board_svg(self)

    @property
    def name(self) -> str:
        """The board's name."""
        return self.numbers.name

    @property
    def length(self) -> float:
        """Tail tip to nose tip along the level line."""
        return self.numbers.length

    @cached_property
    def panels(self) -> tuple[float, ...]:
        """Stations of kinks, ends included (for quadrature)."""
        inner = sorted(x for x in self._marks if self.outline.corner + 0.01 < x < self.length - 0.01)
        apart = [x for n, x in enumerate(inner) if n == 0 or x - inner[n - 1] > SAME_MARK]
        return tuple(sorted({*self.outline.panels, *apart}))

    @property
    def _marks(self) -> tuple[float, ...]:
        """Stations at which the section, or the foil, changes its formula."""
        beak = self.numbers.beak
        return (*self.sections.marks, *(() if beak is None else (self.length - beak.length,)))

    def rocker(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the finished bottom at the stringer above the level line (or a derivative) at `x`."""
        return self.rocker_curve(x, derivative)

    def thickness(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the finished thickness at the stringer (or a derivative) at `x`."""
        return np.asarray(self.thickness_curve(x, derivative) - self._stepped(x, derivative))

    def _stepped(self, x: ArrayLike, derivative: int) -> Floats | float:
        """What a step of the deck takes off at the stringer, or a derivative of it."""
        step = self.numbers.deck_step
        if step is None:
            return 0.0
        share = (np.asarray(x, dtype=float) - step.x) / step.blend
        return np.asarray(step.step * fade(share, derivative) / step.blend**derivative)

    def unrolled(self, x: ArrayLike) -> Floats:
        """Return the thickness at the stringer before a beak is rolled down: what planes leave there."""
        curve = self.thickness_curve
        fair = curve.fair if isinstance(curve, RolledCurve) else curve
        return np.asarray(fair(x) - self._stepped(x, 0))

    def deck_line(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return the finished deck at the stringer (or a derivative) at `x`."""
        return np.asarray(self.rocker(x, derivative) + self.thickness(x, derivative))

    def half_width(self, x: ArrayLike) -> Floats:
        """Return the outer half-width at `x`."""
        return self.outline.half_width(np.asarray(x, dtype=float))

    def inner(self, x: ArrayLike) -> Floats:
        """Return the outer edge of the tail's notch at `x`; 0 where there is none."""
        return self.outline.inner(np.asarray(x, dtype=float))

    def core(self, x: ArrayLike) -> Floats:
        """Return the half-width of the foam between two notches at `x` (the middle point of a bat tail)."""
        return self.outline.core(np.asarray(x, dtype=float))

    def kinks(self, x: Floats) -> Floats:
        """Return shares of the half-width where either face changes its formula, 0 and 1 included."""
        numbers = self.section_numbers(x)
        both = np.concatenate([numbers.bottom_kinks, numbers.deck_kinks[:, 1:-1]], axis=1)
        return np.sort(both, axis=1)

    def bottom_kinks(self, x: Floats) -> Floats:
        """Return shares of the half-width where the bottom changes its formula, 0 and 1 included."""
        return self.section_numbers(x).bottom_kinks

    def deck_kinks(self, x: Floats) -> Floats:
        """Return shares of the half-width where the deck changes its formula, 0 and 1 included."""
        return self.section_numbers(x).deck_kinks

    def section_numbers(self, x: Floats) -> SectionNumbers:
        """Return the numbers of the sections at `x` (N,)."""
        return self.sections.at(x, self.rocker(x), self.thickness(x))

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        """Return the finished bottom (N, K) at stations (N,) and shares (N, K) or (K,) of the half-width."""
        return self.section_numbers(x).bottom(share)

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        """Return the finished deck (N, K) at stations (N,) and shares (N, K) or (K,) of the half-width."""
        return self.section_numbers(x).deck(share)

    def patches(self) -> tuple[Patch, ...]:
        """Return the patches of one half of the surface, smooth along the rails."""
        return patches_of(self)

    def contour_at(self, x: Floats, share: Floats) -> Floats:
        """Return the bottom without its rails (N, K): what the contours' tools leave."""
        return self.section_numbers(x).contour_bottom(share)

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
        return np.asarray((self.rocker(at) + self.section_numbers(at).lowest()).reshape(np.shape(x)))

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
        return mass_properties(self, *ENOUGH)


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
    rocker = attempts.make("rocker", lambda: touching(_points(numbers.rocker), numbers.low_at))
    foil = attempts.make("thickness", lambda: foil_of(numbers))
    if foil is not None:
        attempts.problems.extend(beak_problems(numbers, foil.curve, system))
    if outline is None or rocker is None or foil is None or attempts.problems:
        raise InputError(attempts.problems)
    if numbers.tail_tip is None:
        sections = sections_of(numbers, outline.half_width, outline.parted, foil.curve)
    else:
        numbers, foil, sections = with_tips(numbers, outline, foil)
    if problems := impossible_rails(numbers, sections, system):
        raise InputError(problems)
    return Board(numbers, outline, rocker.curve, foil.curve, rocker.at, foil.at, sections)


def _points(marks: tuple[Mark, ...]) -> tuple[Point, ...]:
    return tuple(Point(m.x, m.value, m.place) for m in marks)
