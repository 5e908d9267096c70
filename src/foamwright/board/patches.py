"""A board's surface as patches in which its rails are smooth, hard edges included.

Along the share of the half-width a rail stands upright at its edge; along the root of what is left of it, it
never does, and an upright side is just the limit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from foamwright.board.section import SectionNumbers
from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import Solid, low_share
from foamwright.shape.surface import Patch


class Sectioned(Solid, Protocol):
    """A solid whose sections are a board's."""

    def section_numbers(self, x: Floats) -> SectionNumbers:
        """Return the numbers of its sections."""


def patches_of(solid: Sectioned) -> tuple[Patch, ...]:
    """Return the patches of one half: each part of the bottom and its rail, each of the deck and its roll."""
    numbers = solid.section_numbers(np.array(solid.panels[:1]))
    flats = [Part(solid, part, deck=False) for part in range(numbers.bottom_kinks.shape[1] - 2)]
    crowns = [Part(solid, part, deck=True) for part in range(numbers.deck_kinks.shape[1] - 2)]
    return (*flats, Rail(solid, deck=False), *crowns, Rail(solid, deck=True))


def rail_left(numbers: SectionNumbers, low: Floats, *, deck: bool) -> Floats:
    """Return the root of what is left of a rail's curve where it begins outside a notch's share `low`."""
    span = numbers.roll_share if deck else numbers.tuck_share
    room = np.divide(1.0 - low, span, out=np.ones_like(span), where=span > 0.0)
    return np.asarray(np.sqrt(np.clip(room, 0.0, 1.0)))


def rail_points(numbers: SectionNumbers, left: Floats, *, deck: bool) -> tuple[Floats, Floats]:
    """Return shares and heights of a rail's points by the root of what is left of its curve."""
    share = 1.0 - (numbers.roll_share if deck else numbers.tuck_share) * left * left
    if deck:
        return share, numbers.deck_from(share, left)
    return share, numbers.contour_bottom(share) + numbers.lift(left)


@dataclass(frozen=True, eq=False)
class Part:
    """Part of the bottom or the deck inboard of its rail, between two of its kinks."""

    solid: Sectioned
    part: int
    deck: bool

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return shares and heights (N, K)."""
        numbers = self.solid.section_numbers(x)
        kinks = numbers.deck_kinks if self.deck else numbers.bottom_kinks
        near, far = np.maximum(kinks[:, self.part : self.part + 2], low_share(self.solid, x)[:, None]).T
        share = near[:, None] + (far - near)[:, None] * t
        return share, numbers.deck(share) if self.deck else numbers.contour_bottom(share)


@dataclass(frozen=True, eq=False)
class Rail:
    """The rail's lower curve, or the roll, from where it begins to the edge."""

    solid: Sectioned
    deck: bool

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return shares and heights (N, K)."""
        numbers = self.solid.section_numbers(x)
        begins = rail_left(numbers, low_share(self.solid, x)[:, None], deck=self.deck)
        return rail_points(numbers, begins * (1.0 - t), deck=self.deck)
