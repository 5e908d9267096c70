"""Trials of a closed loop: a profile worn by noisy strokes, read by a noisy rule, followed by what is known.

Every chance is drawn from numbers that the caller made before, so that a trial is the same on every machine.
"""

from __future__ import annotations

from math import ceil, floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled
from foamwright.shape.kernels.profile_filter import (
    Known,
    expected_at,
    normal_below,
    stroke_filter,
    take_reading,
)
from foamwright.shape.kernels.stroke_choice import Care, choose_place, choose_stroke, settled
from foamwright.shape.kernels.strokes import stroke_into

Array = NDArray[np.float64]
Index = NDArray[np.int64]

SNAP = 1e-7
DOUBTED = 4.5
"""Standard errors from what is expected beyond which a reading is taken again."""

MOST_STROKES = 200
"""Strokes between two stops at most; none that is sane comes near it."""

PROBES = 5
"""Strokes after which a plane whose chip nobody has measured is measured, if there is anything to measure."""

UNPROBED = 0.2
"""Standard error of the chip's factor above which it counts as not measured."""

MOST_STOPS = 60
"""Stops after which a shaper gives up."""

MOST_READINGS = 160
"""Readings in one stop."""

STROKES, STOPS, READINGS, MOVES, DONE = 0, 1, 2, 3, 4
"""Places in the counts of a run."""


class Habits(NamedTuple):
    """How a shaper errs; metres and shares.

    Attributes
    ----------
    factor
        Chip taken over chip set, for the whole job.
    each
        Standard deviation of a chip from stroke to stroke, as a share.
    start
        Standard error of where a stroke begins, and of where it is lifted.
    tape, step, bias
        Standard error of the tape, the fraction it is read to, and what it always reads too much.
    skipped
        Share of strokes that are counted but not made.
    mistaken, mistake
        Share of readings that are misread, and by how much (either way).
    """

    factor: float
    each: float
    start: float
    tape: float
    step: float
    bias: float
    skipped: float
    mistaken: float
    mistake: float


class Foam(NamedTuple):
    """The profile as it is.

    Attributes
    ----------
    height, target
        (n,) metres outward, on a grid whose last point is the tip.
    step
        Grid step, metres.
    sole
        (behind, ahead) reach of the sole, metres.
    spare, chains
        Workspace, (n,) and (2, n).
    """

    height: Array
    target: Array
    step: float
    sole: Array
    spare: Array
    chains: Index


class Luck(NamedTuple):
    """Standard normal numbers in the order in which they are used, and how many were."""

    normals: Array
    used: Index


@compiled
def drawn(luck: Luck) -> float:
    """Return the next standard normal number; after the last comes the first again."""
    luck.used[0] += 1
    return luck.normals[(luck.used[0] - 1) % luck.normals.shape[0]]  # type: ignore[no-any-return]


@compiled
def happens(luck: Luck, share: float) -> bool:
    """Tell whether something that happens in a share of cases happens now."""
    return share > 0.0 and normal_below(drawn(luck)) < share


@compiled
def wear(foam: Foam, start: float, end: float, chip: float) -> None:
    """Make one stroke exactly: `start` and `end` metres before the tip (`end` below 0: off the tip)."""
    n = foam.height.shape[0]
    first = max(0, ceil(n - 1 - start / foam.step - SNAP))
    last = n if end < 0.0 else min(n, floor(n - 1 - end / foam.step + SNAP) + 1)
    if last <= first:
        return
    window = np.array([foam.sole[0] / foam.step, foam.sole[1] / foam.step, chip])
    stroke_into(foam.height, first, window, foam.spare, foam.chains)
    foam.height[first:last] = foam.spare[first:last]


@compiled
def wear_badly(foam: Foam, stroke: Array, habits: Habits, luck: Luck) -> None:
    """Make one stroke as a shaper does: `stroke` is (start, end, chip) as meant."""
    start = stroke[0] + habits.start * drawn(luck)
    chip = stroke[2] * habits.factor * max(0.0, 1.0 + habits.each * drawn(luck))
    end = -1.0
    if stroke[1] >= 0.0:
        end = max(0.0, stroke[1] + habits.start * drawn(luck))
    if not happens(luck, habits.skipped):
        wear(foam, start, end, chip)


@compiled
def left_at(foam: Foam, distance: float) -> float:
    """Return the height above the target at a distance from the tip, metres."""
    n = foam.height.shape[0]
    place = n - 1 - distance / foam.step
    node = min(max(int(place), 0), n - 2)
    part = place - node
    low = foam.height[node] - foam.target[node]
    return low + part * (foam.height[node + 1] - foam.target[node + 1] - low)  # type: ignore[no-any-return]


@compiled
def read_badly(foam: Foam, distance: float, habits: Habits, luck: Luck) -> float:
    """Return what a shaper reads at a distance from the tip: noisy, rounded, at times mistaken."""
    value = left_at(foam, distance) + habits.bias + habits.tape * drawn(luck)
    if happens(luck, habits.mistaken):
        value += habits.mistake if drawn(luck) > 0.0 else -habits.mistake
    return round(value / habits.step) * habits.step if habits.step > 0.0 else value


@compiled
def take_or_ask(known: Known, foam: Foam, k: int, habits: Habits, luck: Luck) -> int:
    """Read point `k`; what looks wrong is read again and counts if both agree. Return readings taken."""
    distance = (known.target.shape[0] - 1 - k) * known.step
    variance = habits.tape**2 + habits.step**2 / 12.0
    mean, doubt = expected_at(known, float(k))
    limit = DOUBTED * (doubt + variance) ** 0.5
    value = read_badly(foam, distance, habits, luck)
    if abs(value - mean) <= limit:
        take_reading(known, float(k), value, variance)
        return 1
    again = read_badly(foam, distance, habits, luck)
    if abs(again - value) <= DOUBTED * (2.0 * variance) ** 0.5:
        take_reading(known, float(k), (value + again) / 2.0, variance / 2.0)
    elif abs(again - mean) <= limit:
        take_reading(known, float(k), again, variance)
    return 2


@compiled
def work_on(
    known: Known, foam: Foam, chips: Array, care: Care, habits: Habits, luck: Luck
) -> tuple[int, int]:
    """Make strokes as advised until a reading is wanted; return strokes and moves to another mark."""
    n = known.target.shape[0]
    choice, last, stroke = np.zeros(3), np.zeros(3), np.zeros(3)
    made = moves = 0
    finest = chips[chips.shape[0] - 1]
    while made < MOST_STROKES and not probed(known, made, finest, care):
        if not choose_stroke(known, chips, care, made, choice):
            break
        stroke_filter(known, choice[0], choice[1], choice[2])
        if made == 0 or choice[0] != last[0] or choice[1] != last[1] or choice[2] != last[2]:
            moves += 1
        last[:] = choice
        made += 1
        stroke[0] = (n - 1 - choice[0]) * known.step
        stroke[1] = -1.0 if choice[1] >= n else (n - 1 - choice[1]) * known.step
        stroke[2] = choice[2]
        wear_badly(foam, stroke, habits, luck)
    return made, moves


@compiled
def probed(known: Known, made: int, finest: float, care: Care) -> bool:
    """Tell whether to measure what the first strokes took: never where no reading is worth a stop."""
    n = known.target.shape[0]
    if made < PROBES or known.cov[n, n] <= UNPROBED**2:
        return False
    return choose_place(known, finest, care) >= 0


@compiled
def finish_run(
    known: Known, foam: Foam, plane: tuple[Array, Care], habits: Habits, luck: Luck, counts: Array
) -> None:
    """Follow the advice from the blank's face to the finished one.

    Parameters
    ----------
    known
        What the shaper knows: at first the planned face and the chip's factor.
    foam
        The face as it is; both are overwritten.
    plane
        Chips and care.
    habits, luck
        The shaper.
    counts
        (5,) written: strokes, stops, readings, moves, done (1: surely within tolerance everywhere).
    """
    chips, care = plane
    finest = chips[chips.shape[0] - 1]
    counts[:] = 0.0
    while counts[STOPS] < MOST_STOPS:
        made, moves = work_on(known, foam, chips, care, habits, luck)
        counts[STROKES] += made
        counts[MOVES] += moves
        if made == 0 and settled(known, care):
            counts[DONE] = 1.0
            return
        counts[STOPS] += 1
        taken = 0
        while taken < MOST_READINGS:
            k = choose_place(known, finest, care)
            if k < 0:
                break
            taken += take_or_ask(known, foam, k, habits, luck)
        counts[READINGS] += taken
        # The advice ends a stage as soon as readings show it done, whatever more could be planed.
        if settled(known, care):
            counts[DONE] = 1.0
            return
        if made == 0 and taken == 0:
            return


@compiled
def follow_list(foam: Foam, strokes: Array, habits: Habits, luck: Luck, counts: Array) -> None:
    """Make a list of strokes, (k, 3) rows of start, end and chip, without a look at the foam."""
    counts[:] = 0.0
    for k in range(strokes.shape[0]):
        wear_badly(foam, strokes[k], habits, luck)
    counts[STROKES] = strokes.shape[0]


@compiled
def walk_inboard(foam: Foam, rule: tuple[float, float], habits: Habits, luck: Luck, counts: Array) -> None:
    """Follow the fixed rule: start one step before the tip, then a step further, until the tip mark is met.

    `rule` is (step, chip), metres. The tip is read after every stroke; each walk counts as a stop.
    """
    counts[:] = 0.0
    length = foam.step * (foam.height.shape[0] - 1)
    stroke = np.array([0.0, -1.0, rule[1]])
    while counts[STROKES] < 10 * MOST_STROKES:
        stroke[0] += rule[0]
        if stroke[0] > length:
            stroke[0] = rule[0]
            counts[STOPS] += 1
        wear_badly(foam, stroke, habits, luck)
        counts[STROKES] += 1
        if read_badly(foam, 0.0, habits, luck) <= 0.0:
            break
    counts[STOPS] += 1
    counts[DONE] = 1.0
