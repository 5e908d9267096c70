"""The sole of a plane in a hollow of constant radius: closed forms (docs/planing.md)."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from foamwright.bay.bay import Plane


@dataclass(frozen=True, slots=True)
class Sole:
    """Reach of a sole along the stringer, metres: `behind` the iron to the heel, `ahead` of it to the toe."""

    behind: float
    ahead: float

    @property
    def length(self) -> float:
        """Length of the sole, metres."""
        return self.behind + self.ahead


def sole_of(plane: Plane) -> Sole:
    """Return the sole of a plane held straight."""
    return Sole(plane.sole - plane.mouth, plane.mouth)


def contact_radius(sole: Sole, chip: float) -> float:
    """Return the radius (metres) of the tightest hollow in which the iron just touches with `chip` set.

    To second order the chord over the sole stands ``ahead * behind / (2 R)`` above the hollow at the iron,
    and contact is lost where that exceeds the chip. The exact circle through heel and toe is used: with the
    iron at distance ``e`` from the middle of the sole, the gap is ``sqrt(R^2 - e^2) - sqrt(R^2 - s^2/4)``.
    """
    half = sole.length / 2.0
    offset = half - sole.ahead
    # (sqrt(R2 - e2) - c)^2 = R2 - h2  ->  2 c sqrt(R2 - e2) = h2 - e2 + c2
    root = (half * half - offset * offset + chip * chip) / (2.0 * chip)
    return sqrt(root * root + offset * offset)


def steady_cut(sole: Sole, chip: float, gap: float) -> float:
    """Return what each stroke takes, metres, where the sole bridges a hollow by `gap` and rides on its cut.

    The line from the heel, a cut lower, to the toe stands ``gap - f cut`` above the foam at an iron that is
    the fraction ``f`` of the sole from the toe, and the chip reaches that much less deep:
    ``(chip - gap) / (1 - f)``, the whole chip at most, nothing where the gap takes it all.
    """
    share = sole.ahead / sole.length
    return min(chip, max(0.0, (chip - gap) / (1.0 - share)))
