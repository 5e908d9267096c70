"""A blank considered for a board: its best lay with all that follows from it, or where it fails."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import BlankNumbers
from foamwright.lay.curve import SlideCurve, curve_of
from foamwright.lay.limits import Allowed, Lay, Limits, allowed_of, limits_at
from foamwright.lay.profiles import BlankAt, BlankProfile, BoardProfile, Floats
from foamwright.lay.rates import Doing, FaceRates, face_rates, kind_of, rates_by_doing, steady_minutes
from foamwright.units import INCH

TIP = 12 * INCH
"""How far the parts `tail` and `nose` of the work reach in from the tips."""


@dataclass(frozen=True, slots=True)
class WorkParts:
    """Minutes of work, by part. `tail` and `nose` are the last 12 in of the board; (bottom, deck) each.

    `rails` is what stands above the finished deck towards the rails once the deck is down at the stringer:
    less on a domed blank; `steady`: first looks and last stops of the four run-offs. Neither depends on lift
    and tilt.
    """

    tail: tuple[float, float]
    middle: tuple[float, float]
    nose: tuple[float, float]
    rails: float
    steady: float

    @property
    def total(self) -> float:
        """All of it, minutes."""
        return sum(self.tail) + sum(self.middle) + sum(self.nose) + self.rails + self.steady

    @property
    def by_end(self) -> tuple[tuple[float, float], ...]:
        """(Bottom, deck) of tail, middle and nose, the steady part shared out to its run-offs."""
        share = self.steady / 4.0
        tail, nose = ((bottom + share, deck + share) for bottom, deck in (self.tail, self.nose))
        return tail, self.middle, nose


@dataclass(frozen=True, slots=True)
class FoamOff:
    """Foam in litres. `bottom`, `deck`: depth times the sawn width; `rails`: above the finished deck beside
    the stringer; `saw`: what falls off outside the sawn outline, and the ends of the blank.
    """

    bottom: float
    deck: float
    rails: float
    saw: float

    @property
    def planed(self) -> float:
        """What becomes shavings and dust up to the deck's section: all but the saw's offcuts."""
        return self.bottom + self.deck + self.rails


@dataclass(frozen=True, eq=False)
class Choice:
    """One blank for one board.

    Attributes
    ----------
    board, blank, bay
        What was compared, and with whose rates.
    fits
        Whether the board lies in the blank.
    lay
        The best lay; where none fits, the one that comes nearest (``None`` if the blank is too short or too
        narrow to try one).
    grid
        (S, 7) every slide tried, as the kernel returns it (empty if the blank is too short).
    lower, upper
        (N,) corrections of the true rotation to the limits of the line (-inf and inf: none).
    """

    board: BoardProfile
    blank: BlankProfile
    bay: Bay
    fits: bool
    lay: Lay | None
    grid: Floats
    lower: Floats
    upper: Floats

    @property
    def numbers(self) -> BlankNumbers:
        """The blank's numbers."""
        return self.blank.numbers

    @property
    def id(self) -> str:
        """The blank's name."""
        return self.numbers.id

    @cached_property
    def allowed(self) -> Allowed:
        """Least and most that comes off each face."""
        return allowed_of(self.numbers, self.bay)

    @cached_property
    def rates(self) -> FaceRates:
        """(N,) minutes per metre of depth per metre of length."""
        return face_rates(self.board, kind_of(self.numbers, self.bay), self.bay)

    @cached_property
    def curve(self) -> SlideCurve:
        """Work against slide, over the whole range of slides."""
        return curve_of(self.grid)

    @property
    def placed(self) -> Lay:
        """The lay, of a blank that has one."""
        if self.lay is None:
            raise ValueError(f"blank {self.id} has no lay")
        return self.lay

    @cached_property
    def under(self) -> BlankAt:
        """The blank at the board's stations."""
        return self.blank.at(self.board.x + self.placed.slide)

    @cached_property
    def limits(self) -> Limits:
        """What the line had to keep between, corrections of the true rotation included."""
        return limits_at(self.board, self.under, self.allowed).tightened(self.lower, self.upper)

    @cached_property
    def bottom_off(self) -> Floats:
        """(N,) depth that comes off the bottom, down to the flat before the contours, metres."""
        return self.placed.line(self.board.x) + self.board.bottom - self.under.bottom

    @cached_property
    def deck_off(self) -> Floats:
        """(N,) depth that comes off the deck at the stringer, metres."""
        return self.under.deck - self.placed.line(self.board.x) - self.board.deck

    @property
    def toward(self) -> Floats:
        """(2,) how the work grows with lift and tilt: minutes per metre, minutes per radian."""
        difference = self.board.weight * (self.rates.bottom - self.rates.deck)
        return np.array([difference.sum(), difference @ self.board.x])

    @cached_property
    def parts(self) -> WorkParts:
        """Minutes by part."""
        x, length = self.board.x, self.board.length
        bottom = self.board.weight * self.rates.bottom * self.bottom_off
        deck = self.board.weight * self.rates.deck * self.deck_off
        tail, nose = x < TIP, x > length - TIP
        both = [(float(bottom[m].sum()), float(deck[m].sum())) for m in (tail, ~tail & ~nose, nose)]
        return WorkParts(both[0], both[1], both[2], self._rails_min, steady_minutes(self.bay.rates))

    @property
    def _rails_min(self) -> float:
        return self.bay.rates.foam * 1e-3 * self.foam_off.rails

    @property
    def apart_min(self) -> dict[str, float]:
        """Minutes that do not depend on lift and tilt, by name."""
        return {"rails": self.parts.rails, "first_and_last_stops": self.parts.steady}

    @cached_property
    def by_doing(self) -> dict[Doing, float]:
        """Minutes by what is done; with the parts apart (`rails`, `steady`) they are the whole work."""
        weight = self.board.weight
        return {
            doing: float(weight @ (rate.bottom * self.bottom_off + rate.deck * self.deck_off))
            for doing, rate in rates_by_doing(self.board, kind_of(self.numbers, self.bay), self.bay).items()
        }

    @property
    def work_min(self) -> float:
        """Minutes of planing and shaping that depend on the blank (NaN where it does not fit)."""
        return self.parts.total if self.fits else float("nan")

    @cached_property
    def foam_off(self) -> FoamOff:
        """Foam that comes off, litres."""
        board, under, weight = self.board, self.under, self.board.weight
        width = 2.0 * (board.half_width + self.bay.allowances.saw)
        saved = under.dome * 2.0 / 3.0 * board.half_width**3
        return FoamOff(
            bottom=1e3 * float(weight @ (width * self.bottom_off)),
            deck=1e3 * float(weight @ (width * self.deck_off)),
            rails=1e3 * float(weight @ (board.crown - saved)),
            saw=1e3 * self._offcut(),
        )

    def _offcut(self) -> float:
        """Volume of the blank less what is left of it once the outline is sawn, m3."""
        blank, board = self.blank, self.board
        x = blank.spacing * np.arange(blank.bottom.size)
        inside = (x >= self.placed.slide) & (x <= self.placed.slide + board.length)
        half = np.interp(x - self.placed.slide, board.x, board.half_width) + self.bay.allowances.saw
        kept = np.where(inside, np.minimum(half, blank.half_width), 0.0)
        return float(np.trapezoid(_section(blank, blank.half_width) - _section(blank, kept), x))

    @property
    def wasted(self) -> float:
        """Length of the blank that is sawn off beyond the board, metres."""
        return self.blank.length - self.board.length

    @property
    def labour(self) -> float:
        """Price of the work, in the bay's currency."""
        return self.work_min / 60.0 * self.bay.prices.labour_hour

    @property
    def cost(self) -> float:
        """Price of the blank and of the work on it."""
        return self.numbers.price + self.labour

    def laid(self, lay: Lay, lower: Floats, upper: Floats) -> Choice:
        """Return the choice with another lay, under corrected limits."""
        return replace(self, lay=lay, lower=lower, upper=upper)


def _section(blank: BlankProfile, half: Floats) -> Floats:
    """Area of the blank's section within the half-width, m2."""
    return np.asarray(2.0 * half * (blank.deck - blank.bottom) - 2.0 / 3.0 * blank.dome * half**3)
