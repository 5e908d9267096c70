"""How long it takes to take foam off: minutes per metre of depth and metre of length, station by station.

Work is linear in the depths, so these rates are all that the best lay depends on:
``work = integral of bottom * B + deck * D``. A rate is the sum of what a shaper does there:

- strokes down the stringer's line: the bay's minutes per square metre of stringer profile hold for a stringer
  of 1/8 in and grow in proportion to its width (twice the wood, twice the shavings). Without a stringer
  the same line is planed down the middle in foam, stroke by stroke, for the rest to be brought down to;
- bringing the foam down beside it: the bay's minutes per cubic metre times the width of foam that is
  there once the outline is cut, the board's width and the saw's margin on both sides;
- foam-downs: each eighth of depth is one trench, and one strip along all that it crosses;
- readings: each eighth is one stop, and a reading every 8 in of what was cut since;
- stops: as many as there are eighths of depth at the tip, since every stroke crosses it.

Strokes and foam are slower where the face that is to be cut is hollow along the board. A walk is counted
from the depth alone; what its sole bridges there is taken by strokes from mark to mark, hardly longer than
the sole. Those never ride on their own cut, so a chip ``c`` takes ``c - k m (S - m) / 2`` on a hollow of
curvature ``k`` (sole ``S``, mouth ``m`` from the toe: height of a chord over an arc). The time grows as the
chip shrinks, up to the bay's factor for hollow faces.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from foamwright.bay.bay import BETWEEN_READINGS, TRENCH, Bay, Plane, Rates
from foamwright.blank.numbers import BlankNumbers, Face
from foamwright.lay.profiles import BoardProfile, Floats, held
from foamwright.units import INCH

STRINGER_OF_RATE = INCH / 8
"""Stringer width that the bay's stringer rate holds for (the commonest one; common practice, no source)."""


FOAM_LINE = 0.5
"""Share of that rate for the line in bare foam (common practice, no source): as many strokes, each lighter.
Were it nothing, a blank without a stringer would win every board by the wood it lacks."""

VERY_TIP = 3 * INCH
"""The depth at a tip, which counts the stops, is taken as the mean over its last 3 in: a rate of one station
alone would grow without bound with the stations."""

RUN_OFFS = 4
"""Bottom and deck, towards nose and tail."""

MORE_STOPS = 1.5
"""Stops of a run-off beyond one an eighth: a first look after two strokes, and the last stop, which comes
half an eighth early on the average."""

MORE_READINGS = 2.5
"""Their readings: the first look reads the tip, the last stop three places."""


class Doing(StrEnum):
    """What the minutes go into."""

    STROKES = "strokes"
    FOAM = "foam"
    FOAM_DOWNS = "foam_downs"
    READINGS = "readings"
    STOPS = "stops"


@dataclass(frozen=True, eq=False)
class FaceRates:
    """(N,) minutes per metre of depth per metre of length on each face of one board in one blank."""

    bottom: Floats
    deck: Floats


@dataclass(frozen=True, slots=True)
class RateKind:
    """What of a blank the rates depend on: blanks that share it share their rates."""

    wood: float
    hard_bottom: float
    hard_deck: float


def kind_of(blank: BlankNumbers, bay: Bay) -> RateKind:
    """Return what the rates depend on: the stringer as a multiple of one of 1/8 in, and the hard factors."""
    hard = bay.rates.hard
    return RateKind(
        wood=max(blank.stringer.width / STRINGER_OF_RATE, FOAM_LINE),
        hard_bottom=hard if blank.hard_face is Face.BOTTOM else 1.0,
        hard_deck=hard if blank.hard_face is Face.DECK else 1.0,
    )


def slower_where_hollow(hollow: Floats, plane: Plane, most: float) -> Floats:
    """Return the factor on the time to cut a hollow face.

    Parameters
    ----------
    hollow
        (N,) curvature of the face, 1/m, 0 where it is flat or bulges.
    plane
        The plane it is cut with, at its coarsest chip.
    most
        Largest factor.

    Returns
    -------
    ndarray
        (N,) between 1 and `most`.
    """
    lost = hollow * plane.mouth * (plane.sole - plane.mouth) / (2.0 * max(plane.chips))
    return np.asarray(1.0 / np.maximum(1.0 - lost, 1.0 / most))


def looking_rates(board: BoardProfile, rates: Rates) -> dict[Doing, Floats]:
    """Return the rates of what comes with every eighth of depth, the same on both faces and in every blank.

    Returns
    -------
    dict
        (N,) minutes per square metre of foam-downs, readings and stops.
    """
    even = np.ones_like(board.x)
    tips = np.zeros_like(board.x)
    for at_tip in (board.x <= board.x[0] + VERY_TIP, board.x >= board.x[-1] - VERY_TIP):
        tips += at_tip / float(board.weight @ at_tip)
    return {
        Doing.FOAM_DOWNS: even * rates.strip / TRENCH,
        Doing.READINGS: even * rates.reading / (BETWEEN_READINGS * TRENCH),
        Doing.STOPS: tips * rates.stop / TRENCH,
    }


def steady_minutes(rates: Rates) -> float:
    """Return the minutes of looking that no lay and no blank changes: first looks and last stops."""
    return RUN_OFFS * (MORE_STOPS * rates.stop + MORE_READINGS * rates.reading)


def rates_by_doing(board: BoardProfile, kind: RateKind, bay: Bay) -> dict[Doing, FaceRates]:
    """Return the rates of both faces at the board's stations, minutes per square metre, by what is done."""
    wood = bay.rates.stringer * kind.wood
    foam = bay.rates.foam * 2.0 * (board.half_width + bay.allowances.saw)
    plane, most = bay.planes[0], bay.rates.hollow
    bottom, deck = (slower_where_hollow(one, plane, most) for one in (board.hollow_bottom, board.hollow_deck))
    looking = looking_rates(board, bay.rates)
    return {
        Doing.STROKES: FaceRates(held(bottom * wood), held(deck * wood)),
        Doing.FOAM: FaceRates(held(bottom * foam * kind.hard_bottom), held(deck * foam * kind.hard_deck)),
        **{doing: FaceRates(held(rate), held(rate)) for doing, rate in looking.items()},
    }


def face_rates(board: BoardProfile, kind: RateKind, bay: Bay) -> FaceRates:
    """Return the rates of both faces at the board's stations, minutes per square metre, all in all.

    Examples
    --------
    >>> from foamwright.bay.bay import Rates
    >>> rates = Rates(stringer=900.0, foam=2600.0)
    >>> round(rates.stringer + rates.foam * 0.5)  # planing alone, 1/8 in stringer, half a metre of foam
    2200
    """
    each = rates_by_doing(board, kind, bay).values()
    return FaceRates(
        held(np.sum([one.bottom for one in each], axis=0)), held(np.sum([one.deck for one in each], axis=0))
    )
