"""How long it takes to take foam off: minutes per metre of depth and metre of length, station by station.

Work is linear in the depths, so these rates are all that the best lay depends on:
``work = integral of bottom * B + deck * D``. A rate is the sum of two things a shaper does there:

- planing the stringer's line: the bay's minutes per square metre of stringer profile hold for a stringer
  of 1/8 in and grow in proportion to its width (twice the wood, twice the shavings). Without a stringer
  the same line is planed down the middle in foam, stroke by stroke, for the rest to be brought down to;
- bringing the foam down beside it: the bay's minutes per cubic metre times the width of foam that is
  there once the outline is cut, the board's width and the saw's margin on both sides.

Both are slower where the face that is to be cut is hollow along the board. There the sole bridges, and
a plane set to a chip ``c`` takes only ``c - k m (S - m) / 2`` on a hollow of curvature ``k`` (sole ``S``,
mouth ``m`` from the toe: height of a chord over an arc). The time grows as the chip shrinks, up to the
bay's factor for hollow faces, where one turns the plane askew or takes another.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.bay.bay import Bay, Plane
from foamwright.blank.numbers import BlankNumbers, Face
from foamwright.lay.profiles import BoardProfile, Floats, held
from foamwright.units import INCH

STRINGER_OF_RATE = INCH / 8
"""Stringer width that the bay's stringer rate holds for (the commonest one; common practice, no source)."""


FOAM_LINE = 0.5
"""Share of that rate for the line in bare foam (common practice, no source): as many strokes, each lighter.
Were it nothing, a blank without a stringer would win every board by the wood it lacks."""


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


def face_rates(board: BoardProfile, kind: RateKind, bay: Bay) -> FaceRates:
    """Return the rates of both faces at the board's stations, minutes per square metre.

    Examples
    --------
    >>> from foamwright.bay.bay import Rates
    >>> rates = Rates(stringer=900.0, foam=2600.0)
    >>> round(rates.stringer + rates.foam * 0.5)  # flat face, 1/8 in stringer, half a metre of foam
    2200
    """
    wood = bay.rates.stringer * kind.wood
    foam = bay.rates.foam * 2.0 * (board.half_width + bay.allowances.saw)
    plane, most = bay.planes[0], bay.rates.hollow
    bottom = slower_where_hollow(board.hollow_bottom, plane, most) * (wood + foam * kind.hard_bottom)
    deck = slower_where_hollow(board.hollow_deck, plane, most) * (wood + foam * kind.hard_deck)
    return FaceRates(held(bottom), held(deck))
