"""What to do next on one face towards one tip: strokes, foam down, a stick, a gauge, rubbing, or no more.

The one rule of the loop. `next_step` asks it for the run in hand, the trials ask it for every simulated
shaper; nothing else decides.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import sqrt

import numpy as np

from foamwright.bench.as_is import Since
from foamwright.bench.belief import GRID, Belief, Made
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.face_choice import (
    LEAST_WORTH,
    Care,
    best_place,
    best_stroke,
    done,
    in_the_way,
    list_strokes,
)
from foamwright.shape.kernels.face_filter import Hands
from foamwright.units import INCH

MOST_STROKES = 60
"""Strokes listed at once."""

STICK_UNDER = INCH / 4
"""With more left somewhere, a stick's shims tell nothing: gauges are read instead."""

FINE_UNDER = 5.0 * INCH / 64
"""With less left everywhere, all safe useful strokes are made in one go."""

RUB_UNDER = INCH / 8
"""With more left, what the iron cannot take is not for a sanding block."""

STOPS = 4
"""Stops in a row without a stroke after which the rest is left to the last sanding."""

DEEP_STOPS = 12
"""The same while more is left than a block takes: one gauge a stop, so more of them before giving up."""

GAUGE_ERROR = sqrt((INCH / 128) ** 2 + (INCH / 64) ** 2 / 12.0)
"""Standard error of a gauge read to 1/64 in, metres."""

UNKNOWN_CHIP = 0.2
"""Standard error of the chip's factor above which nobody has measured it yet."""

APART = 3
"""Places (1/2 in) between two gauge readings of one stop, at least."""


RUBS = (INCH / 64, INCH / 128, INCH / 256)
"""What a sanding block is rubbed down by at once: 40, 20 and 10 rubs on wood, metres."""


class Act(StrEnum):
    """What is to be done on a face."""

    STROKES = "strokes"
    RUB = "sand"
    FOAM = "foam_down"
    STICK = "stick"
    GAUGE = "measure"
    DONE = "done"
    LEFT = "left"


@dataclass(frozen=True, eq=False)
class FaceStep:
    """The next step on a face.

    Attributes
    ----------
    act
        What is to be done.
    strokes
        In order; none where it is no stroke.
    places
        Distances from the tip to read a gauge at, metres.
    after
        What will be known once the strokes are made.
    """

    act: Act
    strokes: tuple[Made, ...] = ()
    places: tuple[float, ...] = ()
    after: Belief | None = None


def usual_care(tolerance: float = INCH / 32) -> Care:
    """Return the care with which strokes and readings are chosen, found by trials (docs/bench.md).

    Parameters
    ----------
    tolerance
        How far a finished place may be off its target either way, metres.
    """
    return Care(
        tolerance=tolerance,
        safe=4.2,
        sure=2.6,
        shortest=6.0,
        patience=0.15,
        tip=0.25 * tolerance,
        nearest=2.0,
        read=1.5e-4,
        trench=INCH / 8,
    )


def rubbing_care(care: Care) -> Care:
    """Return the same for a sanding block: it is set down where it rubs, and reaches the tip."""
    return care._replace(shortest=3.0, nearest=3.0, tip=-1.0, patience=0.0, trench=INCH)


@dataclass(frozen=True, eq=False)
class FaceState:
    """A face in hand: what is known, the trench beside the foam, what was measured since the last stroke."""

    belief: Belief
    trench: Floats
    since: Since
    chips: tuple[float, ...]
    rubs: tuple[float, ...]
    touched: bool = True

    @property
    def stops(self) -> int:
        """Stops in a row without a stroke."""
        return max(self.since.sticks, self.since.gauges if self._deep else 0)

    @property
    def _deep(self) -> bool:
        return self.highest >= STICK_UNDER

    @property
    def highest(self) -> float:
        """Most that is expected to be left anywhere, metres."""
        return float(self.belief.left.max())


def face_step(state: FaceState, care: Care) -> FaceStep:
    """Return the next step on a face; never nothing."""
    if done(state.belief.face, care):
        return FaceStep(Act.DONE)
    planed = _planed(state, care if state.stops <= 1 else care._replace(patience=0.0))
    if planed is not None:
        return planed
    if state.stops >= 1 and state.highest < (FINE_UNDER if state.stops == 1 else RUB_UNDER):
        rubbed = _rubbed(state, rubbing_care(care))
        if rubbed is not None:
            return rubbed
    if state.stops >= (STOPS if state.highest < RUB_UNDER else DEEP_STOPS):
        return _at_last(state, care)
    places = _places(state, care)
    if state.highest < STICK_UNDER:
        return FaceStep(Act.STICK, places=places)
    return FaceStep(Act.GAUGE, places=places)


def _planed(state: FaceState, care: Care) -> FaceStep | None:
    tool = _Tool(state.belief.hands, state.chips, state.trench.copy(), FINE_UNDER, rubs=False)
    found, foam_first, after = _listed(state, care, tool)
    if found:
        return FaceStep(Act.STROKES, found, after=after)
    return FaceStep(Act.FOAM) if foam_first else None


def _rubbed(state: FaceState, care: Care) -> FaceStep | None:
    level = np.zeros(state.belief.size)
    tool = _Tool(state.belief.rubbing, state.rubs, level, fine=np.inf, rubs=True)
    found, _, after = _listed(state, care, tool)
    return FaceStep(Act.RUB, found, after=after) if found else None


@dataclass(frozen=True, eq=False)
class _Tool:
    """What strokes are made with: how it is trusted, its settings, the trench under it, its fine end."""

    hands: Hands
    chips: tuple[float, ...]
    trench: Floats
    fine: float
    rubs: bool


def _listed(state: FaceState, care: Care, tool: _Tool) -> tuple[tuple[Made, ...], bool, Belief]:
    """Return strokes of one tool until the next stop, whether foam comes first, what is known then."""
    face = state.belief.copied()
    rows = np.zeros((MOST_STROKES, 3))
    found = list_strokes(face, tool.hands, care, np.array(tool.chips), tool.trench, tool.fine, rows)
    made = -1 - found if found < 0 else found
    strokes = tuple(
        Made(float(start) * GRID, None if end < 0.0 else float(end) * GRID, float(chip), tool.rubs)
        for start, end, chip in rows[:made]
    )
    return strokes, found < 0, state.belief.with_face(face)


def _at_last(state: FaceState, care: Care) -> FaceStep:
    """Return what is left to do when no stroke is safe after many readings.

    While a trench keeps the plane up, the foam comes down; otherwise the rest is sanded at the end.
    """
    if float(state.trench.max()) > care.trench / 4.0:
        return FaceStep(Act.FOAM)
    return FaceStep(Act.LEFT)


def _places(state: FaceState, care: Care) -> tuple[float, ...]:
    """Return where a gauge takes most doubt from what keeps the best stroke or rub from being safe."""
    face = state.belief.face
    weight, asked = _in_the_way(state, care), np.zeros(state.belief.size)
    places: list[float] = []
    # Before the chip is known a second place, well inboard, tells whether the heel rides on the cut.
    for _ in range(2 if state.belief.chip.error > UNKNOWN_CHIP else 1):
        k = best_place(face, weight, GAUGE_ERROR**2, asked)
        if k < 0:
            break
        asked[max(0, k - APART) : k + APART + 1] = 1.0
        places.append(k * GRID)
    return tuple(places) or (0.0,)


def _in_the_way(state: FaceState, care: Care) -> Floats:
    """Return (n,) how much the doubt at each place matters for the coarsest stroke that is wanted."""
    belief, n = state.belief, state.belief.size
    wanted, weight = np.zeros(7), np.zeros(n)
    chips = state.chips if state.highest > FINE_UNDER else state.chips[1:] or state.chips
    ways = [(belief.hands, care, chip) for chip in chips]
    if state.highest < RUB_UNDER:
        ways += [(belief.rubbing, rubbing_care(care), rub) for rub in state.rubs]
    for hands, careful, chip in ways:
        best_stroke(belief.face, hands, careful, chip, np.zeros(n), wanted)
        if wanted[3] > LEAST_WORTH * chip * belief.chip.mean * careful.shortest:
            break
    in_the_way(belief.face, hands, careful, chip, wanted, weight)
    return weight
