"""Strips of a half surface for exchange: smooth from edge to edge, and never empty inside a panel.

Quadrature may use patches that vanish where there is nothing (`board.patches`); faces of a solid may not.
Each face of a board is therefore a few strips that always have width: the parts of the flat, the rail's
lower curve, the roll, the crown. They meet where the section has its kinks, so a hard edge is an edge between
strips; where a kink lies off the board, its line runs beside the others, at a hundredth of the width.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np

from foamwright.board.patches import rail_left, rail_points
from foamwright.board.section import SectionNumbers
from foamwright.shape.conic import conic_from, middle_weight
from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import Solid, low_share


class Crowded(Enum):
    """Where across a strip places stand close together, and by which power."""

    NOWHERE = (1, 1)

    def sites(self, count: int) -> Floats:
        """Return `count` places from 0 to 1."""
        start, end = self.value
        even = np.linspace(0.0, 1.0, count)
        return np.asarray(even**start if start > 1 else 1.0 - (1.0 - even) ** end)


@dataclass(frozen=True, eq=False)
class Strip:
    """A strip of one half surface.

    Attributes
    ----------
    at
        From stations (N,) and places across (K,), 0 to 1, to shares of the half-width (N, K) and heights
        (N, K). It moves at an even pace: an end is never approached infinitely slowly.
    crowded
        Where it turns most.
    conic
        From stations (N,) to shares and heights (N, 3) of the ends and the corner of the conics that the
        strip is across, and the corners' weights (N,); ``None``: it is none.
    """

    at: Callable[[Floats, Floats], tuple[Floats, Floats]]
    crowded: Crowded = Crowded.NOWHERE
    conic: Callable[[Floats], tuple[Floats, Floats, Floats]] | None = None


POINTED = 1e-9
"""Metres of half-width below which an end has none."""

STRAIGHT = 1e-9
"""Metres that contours may bend off a straight line over the tuck, for the rail to be a conic with them."""

NARROWEST = 0.01
"""Share of the width that a strip has at least."""


@dataclass(frozen=True, eq=False)
class RailedStrips:
    """Strips of a solid whose sections are a board's, with `grown` left on both faces.

    `straight` takes the fold out of heights at an end of no width (see `BoardSolid`).
    """

    solid: Solid
    numbers: Callable[[Floats], SectionNumbers]
    straight: Callable[[Floats, Floats], Floats]
    grown: float = 0.0

    def strips(self) -> tuple[Strip, ...]:
        """Return the strips from the bottom at the stringer around the rail to the deck at the stringer."""
        numbers = self.numbers(np.array(self.solid.panels[:1]))
        bottom = numbers.bottom_kinks.shape[1] - 2
        deck = numbers.deck_kinks.shape[1] - 2
        wall = (Strip(self.wall),) if self.grown > 0.0 else ()
        return (
            *(Strip(_Between(self, part, deck=False)) for part in range(bottom)),
            Strip(self.lower, conic=self._lower_conic if self._straight_tuck() else None),
            *wall,
            Strip(self.upper, conic=None if numbers.rail_steps else self._upper_conic),
            *(Strip(_Between(self, part, deck=True)) for part in reversed(range(deck))),
        )

    def lower(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return the rail from where the flat ends to its edge."""
        numbers = self.numbers(x)
        split = self.lines(x, numbers, deck=False)[:, -1:]
        share, height = rail_points(numbers, rail_left(numbers, split, deck=False) * (1.0 - t), deck=False)
        return share, self.straight(x, height) - self.grown

    def upper(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return the rail from its edge to where the roll begins."""
        numbers = self.numbers(x)
        split = self.lines(x, numbers, deck=True)[:, -1:]
        share, height = rail_points(numbers, rail_left(numbers, split, deck=True) * t, deck=True)
        return share, self.straight(x, height) + self.grown

    def _straight_tuck(self) -> bool:
        """Whether the contours run straight over the tuck everywhere: the sum with the conic is a conic."""
        panels = np.array(self.solid.panels)
        numbers = self.numbers((panels[:-1, None] + np.diff(panels)[:, None] * np.linspace(0, 1, 17)).ravel())
        t = np.linspace(0.0, 1.0, 9)
        contour = numbers.contour((1.0 - numbers.tuck_share * (1.0 - t)) * numbers.half)
        chord = contour[:, :1] + (contour[:, -1:] - contour[:, :1]) * t
        return bool(np.max(np.abs(contour - chord)) < STRAIGHT)

    def _lower_conic(self, x: Floats) -> tuple[Floats, Floats, Floats]:
        numbers = self.numbers(x)
        start, edge = 1.0 - numbers.tuck_share, np.ones_like(numbers.half)
        inner, outer = numbers.contour_bottom(start), numbers.contour_bottom(edge)
        heights = [inner, outer + numbers.steep * numbers.rise, outer + numbers.rise]
        share, height, weight = self._conic(x, numbers, start, heights, deck=False)
        return share, self._between_ends(x, height) - self.grown, weight

    def _upper_conic(self, x: Floats) -> tuple[Floats, Floats, Floats]:
        numbers = self.numbers(x)
        begins = numbers.rocker + numbers.thickness - numbers.crown
        heights = [begins, begins - numbers.fall, begins - numbers.top]
        share, height, weight = self._conic(x, numbers, 1.0 - numbers.roll_share, heights, deck=True)
        return share[:, ::-1], self._between_ends(x, height[:, ::-1]) + self.grown, weight

    def _conic(
        self, x: Floats, numbers: SectionNumbers, start: Floats, heights: list[Floats], *, deck: bool
    ) -> tuple[Floats, Floats, Floats]:
        """Shares, heights and weights of a rail's curve outside its first line."""
        edge = np.ones_like(start)
        points = np.stack([np.concatenate([start, edge, edge], 1), np.concatenate(heights, 1)], axis=2)
        weight = middle_weight(numbers.upper if deck else numbers.lower)[:, 0]
        split = self.lines(x, numbers, deck=deck)[:, -1:]
        cut, weight = conic_from(points, weight, rail_left(numbers, split, deck=deck)[:, 0])
        return cut[:, :, 0], cut[:, :, 1], weight

    def _between_ends(self, x: Floats, heights: Floats) -> Floats:
        """Heights of conics whose corner at an end of no width lies between their ends."""
        heights = self.straight(x, heights)
        low, high = np.sort(heights[:, ::2], axis=1).T
        pointed = self.solid.half_width(x) < POINTED
        corner = np.where(pointed, np.clip(heights[:, 1], low, high), heights[:, 1])
        return np.stack([heights[:, 0], corner, heights[:, 2]], axis=1)

    def wall(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return the upright strip that the allowance leaves between both rails' edges."""
        (_, low), (_, high) = self.lower(x, np.ones(1)), self.upper(x, np.zeros(1))
        return np.ones((x.size, t.size)), low + (high - low) * t

    def lines(self, x: Floats, numbers: SectionNumbers, *, deck: bool) -> Floats:
        """Return shares (N, J) of the lines between strips, each farther out than the one before."""
        low = low_share(self.solid, x)[:, None]
        kinks = (numbers.deck_kinks if deck else numbers.bottom_kinks)[:, :-1]
        room, last = NARROWEST * (1.0 - low), kinks.shape[1] - 1
        found = [low]
        for n in range(1, last + 1):
            line = np.maximum(kinks[:, n : n + 1], found[-1] + room)
            # Room is left for the lines that follow, but not between the last one and an upright edge.
            found.append(np.minimum(line, kinks[:, -1:] - room * (last - n)) if n < last else line)
        return np.concatenate(found, axis=1)


@dataclass(frozen=True, eq=False)
class _Between:
    """A strip of the bottom (outwards) or the deck (inwards) between two lines."""

    railed: RailedStrips
    part: int
    deck: bool

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        lines = self.railed.lines(x, self.railed.numbers(x), deck=self.deck)
        near, far = lines[:, self.part, None], lines[:, self.part + 1, None]
        share = near + (far - near) * (1.0 - t if self.deck else t)
        solid = self.railed.solid
        return share, (solid.deck_at if self.deck else solid.bottom_at)(x, share)


class _Wall:
    """The upright edge from bottom to deck."""

    def __init__(self, solid: Solid) -> None:
        self.solid = solid

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        edge = np.ones((x.size, 1))
        low, high = self.solid.bottom_at(x, edge), self.solid.deck_at(x, edge)
        return np.ones((x.size, t.size)), low + (high - low) * t


class _Face:
    """A whole face of a solid without rails; outwards along the bottom, inwards along the deck."""

    def __init__(self, solid: Solid, field: Callable[[Floats, Floats], Floats], inwards: int) -> None:
        self.solid, self.field, self.inwards = solid, field, inwards

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        low = low_share(self.solid, x)[:, None]
        share = low + (1.0 - low) * (1.0 - t if self.inwards else t)
        return share, self.field(x, share)


def plain_strips(solid: Solid) -> tuple[Strip, ...]:
    """Return bottom, upright edge and deck of a solid without rails."""
    faces = _Face(solid, solid.bottom_at, 0), _Wall(solid), _Face(solid, solid.deck_at, 1)
    return tuple(Strip(face) for face in faces)
