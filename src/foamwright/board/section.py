"""Sections of a board: contours to the tuck, a conic rail to the apex, a conic roll to the crown.

At a station the section runs in three zones each way. Bottom: the contours themselves out to the tuck, then
the rail's lower curve lifts them to the apex. Deck: the crown out to where the roll begins, then the rail's
upper curve down to the apex. `share` is the distance from the stringer as a share of the half-width;
heights are above the level line.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.board.contours.kinds import KINDS
from foamwright.board.contours.terms import Across, Kind, Term
from foamwright.shape.conic import conic_left, conic_shares
from foamwright.shape.curves import Floats
from foamwright.shape.fade import fade

SEARCHED, HALVINGS = 17, 50
"""Places in each part of the flat where its lowest point is looked for, and halvings that settle it."""


@dataclass(frozen=True, eq=False)
class RailStep:
    """A deck lowered near the rail, arrays (N, 1): by `step` over `margin`, beginning over `blend`."""

    step: Floats
    margin: Floats
    blend: Floats

    def kinks(self, half: Floats) -> list[Floats]:
        """Return (N, 1) distances at which its formula changes."""
        inner = half - self.margin
        return [inner - self.blend, inner, half - self.margin / 2.0]

    def taken(self, half: Floats, y: Floats) -> Floats:
        """Return what it takes off the deck; nothing at the apex."""
        begins = fade((y - (half - self.margin - self.blend)) / self.blend)
        outer = self.margin / 2.0
        return np.asarray(self.step * begins * (1.0 - fade((y - (half - outer)) / outer)))


@dataclass(frozen=True, eq=False)
class InnerStep:
    """A deck lowered inside a margin from the rail, arrays (N, 1): by `step`, coming up over the margin."""

    step: Floats
    margin: Floats

    def kinks(self, half: Floats) -> list[Floats]:
        """Return (N, 1) distances at which its formula changes."""
        return [half - self.margin]

    def taken(self, half: Floats, y: Floats) -> Floats:
        """Return what it takes off the deck; nothing at the apex."""
        return np.asarray(self.step * (1.0 - fade((y - (half - self.margin)) / self.margin)))


@dataclass(frozen=True, eq=False)
class SectionNumbers:
    """The sections at stations, arrays (N, 1), metres.

    Attributes
    ----------
    rocker, thickness
        Bottom at the stringer above the level line, and the thickness there (before `rail_steps`).
    half
        Half-width.
    tuck, roll
        How far in from the edge the flat ends, and the deck begins to turn down.
    crown
        How much lower the deck is where the roll begins.
    apex
        Share of the rail's thickness below the apex.
    steep
        Share of the rise of the lower curve that its first tangent already takes: 0 a soft rail, 1 a
        straight side.
    lower, upper
        Fullness of the rail's curves below and above the apex.
    terms
        Bottom contours, each with its amount.
    rail_steps
        Steps of the deck along the rail, or inside of it.
    """

    rocker: Floats
    thickness: Floats
    half: Floats
    tuck: Floats
    roll: Floats
    crown: Floats
    apex: Floats
    steep: Floats
    lower: Floats
    upper: Floats
    terms: tuple[tuple[Kind, Term, Floats], ...] = ()
    rail_steps: tuple[RailStep | InnerStep, ...] = ()

    @cached_property
    def present(self) -> tuple[tuple[Kind, Term, Floats], ...]:
        """The contours that there are at any of the stations."""
        return tuple(one for one in self.terms if np.any(one[2] > 0.0))

    @cached_property
    def across(self) -> Across:
        """Where the contours lie."""
        edge = self.half - self.tuck
        reach = edge
        for _, term, amount in self.present:
            if term.shape == "chine":
                line = np.maximum(self.half - term.numbers["width"], self.half / 2.0)
                reach = edge + (np.minimum(line, edge) - edge) * amount
        return Across(self.half, edge, reach)

    @cached_property
    def edge_contour(self) -> Floats:
        """Height of the contours at the widest point over the stringer's."""
        return self.contour(self.half)

    @cached_property
    def rail(self) -> Floats:
        """The rail's thickness: the deck where the roll begins, less the bottom where the flat ends."""
        return np.maximum(self.thickness - self.crown - self.contour(self.across.edge), 0.0)

    @cached_property
    def rise(self) -> Floats:
        """Height of the apex over the contours at the widest point."""
        return self.apex * self.rail

    @cached_property
    def top(self) -> Floats:
        """Height of the deck where the roll begins over the apex."""
        return self.thickness - self.crown - self.edge_contour - self.rise

    @cached_property
    def fall(self) -> Floats:
        """What the crown's slope would take over the whole roll, never more than there is."""
        inner = np.maximum(self.half - self.roll, 1e-9)
        return np.minimum(2.0 * self.crown / inner * self.roll, np.maximum(self.top, 0.0))

    def contour(self, y: Floats) -> Floats:
        """Return the contours' height over the stringer's at distances (N, K)."""
        total = np.zeros(np.broadcast_shapes(self.half.shape, np.shape(y)))
        for kind, term, amount in self.present:
            total = total + kind.height(term, amount, self.across, y)
        return total

    def contour_slope(self, y: Floats) -> Floats:
        """Return the contours' slope outwards at distances (N, K)."""
        total = np.zeros(np.broadcast_shapes(self.half.shape, np.shape(y)))
        for kind, term, amount in self.present:
            total = total + kind.slope(term, amount, self.across, y)
        return total

    def contour_bottom(self, share: Floats) -> Floats:
        """Return the bottom without its rails, above the level line, at shares (N, K) or (K,)."""
        return np.asarray(self.rocker + self.contour(share * self.half))

    def lift(self, left: Floats) -> Floats:
        """Return what the rail lifts the contours by, for the root of what is left of the tuck."""
        corner, end = conic_shares(left, self.lower)
        return np.asarray(self.rise * (corner * self.steep + end))

    def drop(self, left: Floats) -> Floats:
        """Return how far the roll lies below where it began, for the root of what is left of it."""
        corner, end = conic_shares(left, self.upper)
        return np.asarray(corner * self.fall + end * self.top)

    def bottom(self, share: Floats) -> Floats:
        """Return the finished bottom (N, K) at shares (N, K) or (K,) of the half-width."""
        left = conic_left(share, self.tuck_share)
        return np.asarray(self.contour_bottom(share) + self.lift(left))

    def deck(self, share: Floats) -> Floats:
        """Return the finished deck (N, K) at shares (N, K) or (K,) of the half-width."""
        left = conic_left(share, self.roll_share)
        return self.deck_from(share, left)

    def deck_from(self, share: Floats, left: Floats) -> Floats:
        """Return the deck at shares whose root of what is left of the roll is known."""
        inner = np.maximum(1.0 - self.roll_share, 1e-9)
        crowned = self.crown * np.minimum(share / inner, 1.0) ** 2
        deck = self.rocker + self.thickness - crowned - self.drop(left)
        for step in self.rail_steps:
            deck = deck - step.taken(self.half, share * self.half)
        return np.asarray(deck)

    @cached_property
    def tuck_share(self) -> Floats:
        """Share of the half-width that the tuck takes."""
        return self._share(self.tuck)

    @cached_property
    def roll_share(self) -> Floats:
        """Share of the half-width that the roll takes."""
        return self._share(self.roll)

    def _share(self, length: Floats) -> Floats:
        return np.divide(length, self.half, out=np.zeros_like(length), where=self.half > 1e-12)

    @cached_property
    def bottom_kinks(self) -> Floats:
        """(N, J) shares at which the bottom's formula changes, 0 and 1 included."""
        lines = [line for kind, term, _ in self.terms for line in kind.kinks(term, self.across)]
        edge = 1.0 - self.tuck_share
        shares = [np.clip(self._share(line), 0.0, edge) for line in lines]
        return _rising(edge, shares)

    @cached_property
    def deck_kinks(self) -> Floats:
        """(N, J) shares at which the deck's formula changes, 0 and 1 included."""
        lines = [line for step in self.rail_steps for line in step.kinks(self.half)]
        return _rising(1.0 - self.roll_share, [np.clip(self._share(line), 0.0, 1.0) for line in lines])

    def lowest(self) -> Floats:
        """Return the least height (N,) of the contours over the stringer's, to rounding.

        Contours that only rise are lowest at the stringer; a concave that only falls at the edge. Where
        both meet, the slope's sign is followed to where it turns.
        """
        if all(kind.rises for kind, _, _ in self.present):
            return np.zeros(self.half.shape[0])
        kinks = self.bottom_kinks[:, :-1] * self.half
        steps = np.linspace(0.0, 1.0, SEARCHED)
        places = (kinks[:, :-1, None] + np.diff(kinks, axis=1)[:, :, None] * steps).reshape(len(kinks), -1)
        heights = self.contour(places)
        if not any(kind.rises for kind, _, _ in self.present):
            return np.asarray(np.min(heights, axis=1))
        at = np.argmin(heights, axis=1)
        rows = np.arange(len(at))
        low = places[rows, np.maximum(at - 1, 0)][:, None]
        high = places[rows, np.minimum(at + 1, places.shape[1] - 1)][:, None]
        for _ in range(HALVINGS):
            middle = (low + high) / 2.0
            falls = self.contour_slope(middle) < 0.0
            low, high = np.where(falls, middle, low), np.where(falls, high, middle)
        return np.asarray(np.minimum(np.min(heights, axis=1), self.contour(low)[:, 0]))


def _rising(edge: Floats, lines: list[Floats]) -> Floats:
    """Return 0, the lines and the edge in order, and 1, as (N, J)."""
    inner = np.sort(np.concatenate([*lines, edge], axis=1), axis=1)
    return np.concatenate([np.zeros_like(edge), inner, np.ones_like(edge)], axis=1)


def terms_at(terms: tuple[Term, ...], x: Floats) -> tuple[tuple[Kind, Term, Floats], ...]:
    """Return the contours with their amounts (N, 1) at stations `x` (N,)."""
    return tuple((KINDS[term.shape], term, term.stretch.share(x)[:, None]) for term in terms)
