"""What every bottom contour has in common: its numbers, where along the board it is, what its kind knows.

A contour is counted from the stringer, so its height is 0 there. It is told for distances from the
stringer out to the edge of the board; the rail lifts what lies outside the tuck (`board.section`).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.shape.fade import fade
from foamwright.units import parse_length

INCH = parse_length("1 in")
RAIL_TO_RAIL = float("inf")
"""Width of a contour that runs as far as the flat does."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Where along the board a contour is, metres from the tail tip, named as the person did.

    It begins at `begin` (nearer the nose), is full from `fore` to `aft`, and is gone at `end`; where `end` is
    `aft` it runs out full. `places` are the four in words.
    """

    begin: float
    fore: float
    aft: float
    end: float
    # How a person named them makes no other contour: stretches at the same stations are equal.
    places: tuple[str, str, str, str] = field(default=("", "", "", ""), compare=False)

    def share(self, x: Floats) -> Floats:
        """Return how much of the contour there is at `x`, 0 to 1."""
        fading_in = fade((self.begin - x) / max(self.begin - self.fore, 1e-9))
        if self.end >= self.aft:
            # It runs out full: at the tail nothing lies behind it, farther forward it stops there.
            return np.asarray(np.where(x >= self.aft - 1e-9, fading_in, 0.0))
        return np.asarray(fading_in * fade((x - self.end) / (self.aft - self.end)))

    @property
    def marks(self) -> tuple[float, float, float, float]:
        """Stations at which its fading changes."""
        return self.begin, self.fore, self.aft, self.end

    def moved(self, begin: float, fore: float, aft: float, end: float) -> Stretch:
        """Return it between other stations, under the same names."""
        return Stretch(begin, fore, aft, end, self.places)


@dataclass(frozen=True, slots=True)
class Term:
    """One contour of a bottom.

    Attributes
    ----------
    shape
        Name of its kind.
    numbers
        Its numbers in SI by key (`width` is infinite from rail to rail; angles in degrees, as written).
    words
        What else it says, by key.
    stretch
        Where along the board it is.
    """

    shape: str
    numbers: Mapping[str, float]
    stretch: Stretch
    words: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Across:
    """The half sections in which contours lie, arrays (N, 1), metres.

    Attributes
    ----------
    half
        Half-width.
    edge
        Where the flat ends and the rail begins.
    reach
        Where the bottom's own shape ends: at the chine where there is one, else at `edge`.
    """

    half: Floats
    edge: Floats
    reach: Floats


class Kind(Protocol):
    """What a kind of contour knows. `amount` (N, 1) is the share of it at the stations, `y` (N, K) metres."""

    @property
    def shape(self) -> str:
        """Its name in the sheet."""

    @property
    def keys(self) -> tuple[Key, ...]:
        """Its numbers and words."""

    @property
    def scanned(self) -> bool:
        """Whether a scan can tell it."""

    @property
    def rises(self) -> bool:
        """Whether it is nowhere below the stringer and lowest there."""

    def stretch(self, length: float, numbers: Mapping[str, float]) -> Stretch:
        """Return where it is if the sheet says nothing."""

    def height(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its heights over the stringer's."""

    def slope(self, term: Term, amount: Floats, across: Across, y: Floats) -> Floats:
        """Return its slope outwards."""

    def kinks(self, term: Term, across: Across) -> list[Floats]:
        """Return (N, 1) distances at which its formula changes, between stringer and edge."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a kind of contour.

    Attributes
    ----------
    name
        The key; its reader, words and unit are declared once in `contours.table`.
    usual
        What is taken where the sheet says nothing; ``None``: it must be said.
    least, most
        Usual limits, in the key's SI unit; beyond them the board's check says so.
    """

    name: str
    usual: float | str | None = None
    least: float = 0.0
    most: float = float("inf")


def from_tail(length: float, inches: float) -> tuple[float, str]:
    """Return a station so many inches from the tail, and its words."""
    return min(inches * INCH, length), f"{inches:g} in from tail"


def from_nose(length: float, inches: float) -> tuple[float, str]:
    """Return a station so many inches from the nose, and its words."""
    return max(length - inches * INCH, 0.0), f"{inches:g} in from nose"


def stretch_of(*stations: tuple[float, str]) -> Stretch:
    """Return a stretch from its four stations, nose to tail, none forward of the one before."""
    x = np.minimum.accumulate([station for station, _ in stations])
    begin, fore, aft, end = (float(at) for at in x)
    first, second, third, last = (place for _, place in stations)
    return Stretch(begin, fore, aft, end, (first, second, third, last))
