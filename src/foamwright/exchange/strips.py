"""Strips of a half surface for exchange: smooth from edge to edge, and never empty inside a panel.

Quadrature may use patches that vanish where there is nothing (`board.patches`); faces of a solid may not.
Each face of a board is therefore two strips that always have width: the flat and half of the rail. They
meet where a rail turns most (the diagonal of its Lamé curve), so a hard edge is an edge between strips.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

import numpy as np

from foamwright.board.section import SectionNumbers, contour
from foamwright.shape.curves import Floats
from foamwright.shape.lame import lame_angle, lame_point
from foamwright.shape.quadrature import Solid, low_share


class Crowded(Enum):
    """Where across a strip places stand close together, and by which power."""

    NOWHERE = (1, 1)
    AT_START = (3, 1)
    AT_END = (1, 3)
    A_LITTLE_AT_END = (1, 2)

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
    """

    at: Callable[[Floats, Floats], tuple[Floats, Floats]]
    crowded: Crowded = Crowded.NOWHERE


DIAGONAL = np.pi / 4.0


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
        wall = (Strip(_Wall(self.solid)),) if self.grown > 0.0 else ()
        return (
            Strip(self.flat, Crowded.A_LITTLE_AT_END),
            Strip(self.lower, Crowded.AT_START),
            *wall,
            Strip(self.upper, Crowded.AT_END),
            Strip(self.deck, Crowded.AT_START),
        )

    def flat(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return the bottom from the stringer (or the notch) to where the lower rail turns most."""
        low, split, _ = self._split(x, self.numbers(x).lower, scooped=True)
        share = low + (split - low) * t
        return share, self.solid.bottom_at(x, share)

    def lower(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return the rail from where it turns most below the apex to its edge."""
        numbers = self.numbers(x)
        _, _, angle = self._split(x, numbers.lower, scooped=True)
        across, height = lame_point(angle * (1.0 - t), numbers.lower)
        share = numbers.scoop + (1.0 - numbers.scoop) * across
        flat = numbers.low + contour(numbers, share)
        heights = flat + (numbers.apex - flat) * (1.0 - height)
        return share, self.straight(x, heights) - self.grown

    def upper(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return the rail from its edge to where it turns most above the apex."""
        numbers = self.numbers(x)
        _, _, angle = self._split(x, numbers.upper, scooped=False)
        share, height = lame_point(angle * t, numbers.upper)
        heights = numbers.apex + (numbers.top - numbers.apex) * height
        return share, self.straight(x, heights) + self.grown

    def deck(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        """Return the deck from where the upper rail turns most to the stringer (or the notch)."""
        low, _, angle = self._split(x, self.numbers(x).upper, scooped=False)
        numbers = self.numbers(x)
        top = lame_angle(low, numbers.upper)
        share, height = lame_point(angle + (top - angle) * t, numbers.upper)
        heights = numbers.apex + (numbers.top - numbers.apex) * height
        return share, self.straight(x, heights) + self.grown

    def _split(self, x: Floats, inverse: Floats, *, scooped: bool) -> tuple[Floats, Floats, Floats]:
        """Notch's share, share where the strips meet, its direction on the Lamé curve; each (N, 1).

        The strips meet at the diagonal's share of what is left outside the notch: both always have width.
        """
        base = self.numbers(x).scoop if scooped else np.zeros_like(inverse)
        across, _ = lame_point(np.full_like(inverse, DIAGONAL), inverse)
        low = low_share(self.solid, x)[:, None]
        split = low + (1.0 - low) * (base + (1.0 - base) * across)
        return low, split, lame_angle(np.clip((split - base) / (1.0 - base), 0.0, 1.0), inverse)


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
