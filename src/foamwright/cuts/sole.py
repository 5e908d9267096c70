"""The sole of a plane on the work: how far it reaches either side of the iron, straight or turned."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians, sin, sqrt

from foamwright.bay.bay import Plane


@dataclass(frozen=True, slots=True)
class Sole:
    """Reach of a sole along a narrow stringer, metres: `behind` the iron to the heel, `ahead` to the toe."""

    behind: float
    ahead: float

    @property
    def length(self) -> float:
        """Length of the sole along the stringer, metres."""
        return self.behind + self.ahead


def turned(plane: Plane, skew_deg: float) -> Sole:
    """Return the sole of `plane` turned by `skew_deg` degrees (0 to 90) from the line of the stringer.

    On a stringer that stands proud and is much narrower than the plane, only the part of the sole over
    it carries: ``min(sole / cos a, width / sin a)``. The mouth keeps its share of that length.
    """
    angle = radians(skew_deg)
    length = plane.sole / cos(angle) if cos(angle) > 1e-12 else float("inf")
    if sin(angle) > 0.0:
        length = min(length, plane.width / sin(angle))
    ahead = plane.mouth * length / plane.sole
    return Sole(length - ahead, ahead)


def contact_radius(sole: Sole, chip: float) -> float:
    """Return the radius (metres) of the tightest hollow in which the iron just touches with `chip` set.

    A chord over the sole stands ``R' - sqrt(...)`` above the hollow at the iron; to second order that
    gap is ``ahead * behind / (2 R)``, and contact is lost where it exceeds the chip. The exact circle
    through heel and toe is used: with the iron at distance ``e`` from the middle of the sole, the gap
    is ``sqrt(R^2 - e^2) - sqrt(R^2 - s^2/4)``; it is ``chip`` at the returned radius.
    """
    half = sole.length / 2.0
    offset = half - sole.ahead
    # (sqrt(R2 - e2) - c)^2 = R2 - h2  ->  2 c sqrt(R2 - e2) = h2 - e2 + c2
    root = (half * half - offset * offset + chip * chip) / (2.0 * chip)
    return sqrt(root * root + offset * offset)


def hollow_gap(sole: Sole, radius: float) -> float:
    """Return the gap (metres) between iron line and foam where `sole` bridges a hollow of `radius`."""
    half = sole.length / 2.0
    offset = half - sole.ahead
    return sqrt(radius * radius - offset * offset) - sqrt(radius * radius - half * half)
