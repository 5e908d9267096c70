"""Where on the board the rider belongs: the place that gives a wanted trim."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from math import radians

from scipy.optimize import brentq

from foamwright.units import INCH
from foamwright.water.afloat import Afloat, Craft, at_rest, held_at
from foamwright.water.body import Body
from foamwright.water.body_tables import Part
from foamwright.water.equilibrium import OnEndError
from foamwright.water.postures import Posture, placed

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

    Where the board stands on end under a rider far back or far forward, only places between are looked at.

    Parameters
    ----------
    craft, body
        Board and rider; together they must float.
    density
        kg/m3 of the water.
    clear
        Metres; negative is under water.

    Raises
    ------
    OnEndError
        The board stands on end under the rider wherever they lie.
    """
    return _lain(craft, body, density, lambda afloat: afloat.nose_above - clear)


def lie_for_pitch(craft: Craft, body: Body, density: float, pitch: float) -> Lain:
    """Return the rider lying prone so that the board's level line rides nose up by `pitch` radians."""
    return _lain(craft, body, density, lambda afloat: afloat.pitch - pitch)


UPRIGHT_PITCH = {Posture.SITTING: radians(20.0), Posture.KNEELING: radians(5.0)}
"""How far the nose points up under someone who sits or kneels at ease. Common practice, no source."""


def seat_for_pitch(
    craft: Craft, body: Body, density: float, posture: Posture, pitch: float | None = None
) -> Afloat | None:
    """Return the rider sitting or kneeling, upright in the world, where the nose points up by `pitch`.

    Parameters
    ----------
    craft, body
        Board and rider; together they must float.
    density
        kg/m3 of the water.
    posture
        Sitting or kneeling.
    pitch
        Radians; `None`: `UPRIGHT_PITCH`.

    Returns
    -------
    Afloat or None
        Balanced, which is not to say that it rights itself; `None` where no place on the board balances.
    """
    nose_up = UPRIGHT_PITCH[posture] if pitch is None else pitch

    def held(place: float) -> Afloat:
        return held_at(craft, placed(craft.board, body, posture, place, nose_up), density, nose_up)

    low, high = (share * craft.board.length for share in SEATS)
    if held(low).moment <= 0.0 or held(high).moment >= 0.0:
        return None
    return held(float(brentq(lambda place: held(place).moment, low, high, xtol=1e-12, rtol=1e-14)))


SEATS = (0.1, 0.9)
"""Shares of the length between which seat and knees may be."""


def _lain(craft: Craft, body: Body, density: float, miss: Callable[[Afloat], float]) -> Lain:
    """Return the place where `miss` is 0; it falls as the rider moves forward."""

    def lying(place: float) -> Afloat:
        return at_rest(craft, body, density, Posture.PRONE, place)

    low, high = _resting(lying, *_range(craft, body))
    for end, sign, reach in ((low, 1.0, Reach.TOO_FAR_BACK), (high, -1.0, Reach.TOO_FAR_FORWARD)):
        afloat = lying(end)
        if sign * miss(afloat) <= 0.0:
            return Lain(afloat, reach)
    afloat = lying(float(brentq(lambda x: miss(lying(x)), low, high, xtol=1e-6)))
    return Lain(afloat, _reached(miss(afloat)))


NEAR = 1e-3
"""Metres or radians within which a trim is met; where the board tips over there, none near it exists."""


def _reached(missed: float) -> Reach:
    if abs(missed) <= NEAR:
        return Reach.MET
    return Reach.TOO_FAR_FORWARD if missed > 0.0 else Reach.TOO_FAR_BACK


PLACES = 25
"""Places along the board that are tried where it stands on end under someone at one end of the range."""

CLOSE = 1e-3
"""Metres within which the first place is found at which the board no longer stands on end."""


def _resting(lying: Callable[[float], Afloat], low: float, high: float) -> tuple[float, float]:
    """Return the outermost places of a range at which the board comes to rest under the rider.

    Raises
    ------
    OnEndError
        There is none.
    """
    if _rests(lying, low) and _rests(lying, high):
        return low, high
    places = [low + (high - low) * i / (PLACES - 1) for i in range(PLACES)]
    rests = [place for place in places if _rests(lying, place)]
    if not rests:
        lying(places[PLACES // 2])  # raises, and says which way it turns
    step = (high - low) / (PLACES - 1)
    return (
        _edge(lying, max(low, rests[0] - step), rests[0]),
        _edge(lying, min(high, rests[-1] + step), rests[-1]),
    )


def _edge(lying: Callable[[float], Afloat], outer: float, inner: float) -> float:
    """Return the place nearest to `outer`, within `CLOSE`, at which it rests; at `inner` it does."""
    if outer == inner or _rests(lying, outer):
        return outer
    while abs(outer - inner) > CLOSE:
        middle = 0.5 * (outer + inner)
        outer, inner = (outer, middle) if _rests(lying, middle) else (middle, inner)
    return inner


def _rests(lying: Callable[[float], Afloat], place: float) -> bool:
    try:
        lying(place)
    except OnEndError:
        return False
    return True


def _range(craft: Craft, body: Body) -> tuple[float, float]:
    """Return the places a breastbone may have: hips on the board, head not over the nose tip."""
    high = craft.board.length - ENDS
    return min(body.segments[Part.TRUNK].length, high - ENDS), high
