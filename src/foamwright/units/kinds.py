"""Units of length, exact, and how lengths are read out."""

from __future__ import annotations

from enum import StrEnum
from fractions import Fraction

INCH = 0.0254
"""Metres in an inch, exact."""


class Unit(StrEnum):
    """A unit of length that people write."""

    INCH = "in"
    MM = "mm"
    CM = "cm"
    METRE = "m"
    FOOT = "ft"

    @property
    def exact(self) -> Fraction:
        """Metres in the unit, exact."""
        return _METRES[self]


class System(StrEnum):
    """What lengths are read out in."""

    INCH = "in"
    MM = "mm"


class Rounding(StrEnum):
    """Which side a printed number may lie on: `DOWN` is the smaller number, `UP` the larger."""

    NEAREST = "nearest"
    DOWN = "down"
    UP = "up"


_METRES = {
    Unit.INCH: Fraction(254, 10000),
    Unit.MM: Fraction(1, 1000),
    Unit.CM: Fraction(1, 100),
    Unit.METRE: Fraction(1),
    Unit.FOOT: Fraction(3048, 10000),
}
