"""Where on the board the rider belongs: the place that gives a wanted trim."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from scipy.optimize import brentq

from foamwright.units import INCH
from foamwright.water.afloat import Afloat, Craft, at_rest
from foamwright.water.body import Body
from foamwright.water.body_tables import Part
from foamwright.water.postures import Posture

NOSE_CLEAR = 2.0 * INCH
"""How far the nose should ride above the water while lying still. Common practice, no source."""

ENDS = 0.15
"""Metres from the nose tip beyond which nobody's breastbone lies."""


class Reach(StrEnum):
    """Whether the wanted trim can be had by moving along the board."""

    MET = "met"
    TOO_FAR_BACK = "too far back"
    TOO_FAR_FORWARD = "too far forward"


@dataclass(frozen=True, eq=False)
class Lain:
    """A rider lying where the trim is as wanted, or as near to it as the board allows."""

    afloat: Afloat
    reach: Reach


def lie_for_nose(craft: Craft, body: Body, density: float, clear: float = NOSE_CLEAR) -> Lain:
    """Return the rider lying prone so that the deck at the nose tip rides `clear` metres above the water.

    Parameters
    ----------
    craft, body
        Board and rider; together they must float.
    density
        kg/m3 of the water.
    clear
        Metres; negative is under water.
    """
    return _lain(craft, body, density, lambda afloat: afloat.nose_above - clear)


def lie_for_pitch(craft: Craft, body: Body, density: float, pitch: float) -> Lain:
    """Return the rider lying prone so that the board's level line rides nose up by `pitch` radians."""
    return _lain(craft, body, density, lambda afloat: afloat.pitch - pitch)


def _lain(craft: Craft, body: Body, density: float, miss: Callable[[Afloat], float]) -> Lain:
    """Return the place where `miss` is 0; it falls as the rider moves forward."""

    def lying(place: float) -> Afloat:
        return at_rest(craft, body, density, Posture.PRONE, place)

    low, high = _range(craft, body)
    for end, sign, reach in ((low, 1.0, Reach.TOO_FAR_BACK), (high, -1.0, Reach.TOO_FAR_FORWARD)):
        afloat = lying(end)
        if sign * miss(afloat) <= 0.0:
            return Lain(afloat, reach)
    place = float(brentq(lambda x: miss(lying(x)), low, high, xtol=1e-6))
    return Lain(lying(place), Reach.MET)


def _range(craft: Craft, body: Body) -> tuple[float, float]:
    """Return the places a breastbone may have: hips on the board, head not over the nose tip."""
    high = craft.board.length - ENDS
    return min(body.segments[Part.TRUNK].length, high - ENDS), high
