"""Why a board does not lie in a blank: which limit is in the way, where, and by how much.

The questions are asked in this order, and the first that is answered "no" names the failure:

1. Is the blank long enough?
2. Is it wide enough, at any slide?
3. Is it thick enough at every station, at any slide? If it is, a blank of the same thickness with a curve
   that matches the board's would take it, and only the curve can be in the way.
4. Would it fit if the hard face might be cut as deep as one likes?
5. Which end has too little or too much rocker? The one that misses by more with both level lines
   parallel, if bending it would let the board in; else the other, else both.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamwright.lay.choice import Choice
from foamwright.lay.limits import Limits, crown_room, limits_at
from foamwright.lay.profiles import Floats
from foamwright.shape.kernels.line_between import FITS

Ends = NDArray[np.bool_]

FARTHEST = 0.5
"""Metres: a limit that would have to give way by more than this is not what is in the way."""


class Obstacle(StrEnum):
    """What is in the way; the values are the codes of the findings."""

    SHORT = "lay-too-short"
    NARROW = "lay-too-narrow"
    THIN = "lay-too-thin"
    HARD_FACE = "lay-hard-face"
    NOSE_ROCKER = "lay-rocker-nose"
    TAIL_ROCKER = "lay-rocker-tail"


class Sense(StrEnum):
    """Whether a rocker is too little or too much."""

    LITTLE = "not enough"
    MUCH = "too much"


@dataclass(frozen=True, slots=True)
class Failure:
    """Why a board does not lie in a blank.

    Attributes
    ----------
    obstacle
        What is in the way.
    missing
        By how much, metres, positive. For a width the full width; for a rocker how far that end of the blank
        would have to bend up or down.
    x
        Station of the board where it shows, metres from its tail tip; NaN for a blank that is too short.
    slide
        The slide at which least is missing; NaN for a blank that is too short.
    sense
        For a rocker: too little or too much.
    """

    obstacle: Obstacle
    missing: float
    x: float
    slide: float
    sense: Sense | None = None


SAME = 1e-6
"""Metres; stations that lack foam within this of each other lack the same: a least lack has several."""


def first_worst(lack: Floats) -> int:
    """Return the first station from the tail, of those that lack the most foam.

    A lay that lacks least touches at several stations alike; which of them is ahead in the last digit is the
    processor's choice, and must not be what a person is told.

    Parameters
    ----------
    lack
        What is missing at each station, metres, shape (N,).
    """
    return int(np.argmax(lack >= np.max(lack) - SAME))


def failures_of(choice: Choice) -> tuple[Failure, ...]:
    """Return why the choice does not fit; none if it does, two if both ends' rockers are in the way."""
    if choice.fits:
        return ()
    if not choice.grid.size:
        saw = choice.bay.allowances.saw
        short = choice.board.length + 2.0 * saw - choice.blank.length
        return (Failure(Obstacle.SHORT, short, np.nan, np.nan),)
    if choice.lay is None:
        return (_too_narrow(choice),)
    soft = _soft(choice)
    return _too_thin(soft) or _hard_face(choice, soft) or _rocker(soft)


def _too_narrow(choice: Choice) -> Failure:
    slide = float(choice.curve.slide[np.argmax(choice.curve.margin)])
    need = choice.board.half_width + choice.bay.allowances.saw
    margin = choice.blank.at(choice.board.x + slide).half_width - need
    worst = first_worst(-margin)
    return Failure(Obstacle.NARROW, -2.0 * float(margin[worst]), float(choice.board.x[worst]), slide)


@dataclass(frozen=True, eq=False)
class _Soft:
    """The limits at every slide where the outline fits, without those of a hard face; (S,) and (S, N)."""

    x: Floats
    slides: Floats
    lower: Floats
    upper: Floats

    def at(self, row: int) -> Limits:
        return Limits(self.x, self.lower[row], self.upper[row])

    @cached_property
    def nearest(self) -> int:
        """Row of the slide with the widest gap."""
        return int(np.argmax([self.at(row).widest_line().gap for row in range(self.slides.size)]))


def _soft(choice: Choice) -> _Soft:
    slides = np.append(choice.curve.slide[choice.curve.margin >= 0.0], choice.placed.slide)
    board, allowed = choice.board, choice.allowed
    read = choice.blank.at((slides[:, None] + board.x).ravel())
    bottom, deck, dome = (v.reshape(slides.size, -1) for v in (read.bottom, read.deck, read.dome))
    lower = bottom - board.bottom + allowed.skim_bottom
    upper = deck - board.deck - allowed.skim_deck + crown_room(board, dome)
    return _Soft(board.x, slides, lower, upper)


def _too_thin(soft: _Soft) -> tuple[Failure, ...]:
    """Return the failure if at every slide some station lacks foam whatever the curve."""
    room = soft.upper - soft.lower
    row = int(np.argmax(np.min(room, axis=1)))
    worst = first_worst(-room[row])
    if room[row, worst] >= 0.0:
        return ()
    missing, x = -float(room[row, worst]), float(soft.x[worst])
    return (Failure(Obstacle.THIN, missing, x, float(soft.slides[row])),)


def _hard_face(choice: Choice, soft: _Soft) -> tuple[Failure, ...]:
    """Return the failure if the board would fit were the hard face as soft as the other."""
    if not choice.allowed.has_hard_face:
        return ()
    tried = [_hard_face_at(choice, soft, row) for row in (soft.slides.size - 1, soft.nearest)]
    best = min(tried, key=lambda failure: failure.missing)
    return (best,) if np.isfinite(best.missing) else ()


def _hard_face_at(choice: Choice, slides: _Soft, row: int) -> Failure:
    """Return by how much the limit of the hard face would have to give way at a slide, and where."""
    soft, slide = slides.at(row), float(slides.slides[row])
    hard = limits_at(choice.board, choice.blank.at(choice.board.x + slide), choice.allowed)

    def eased(amount: float) -> Limits:
        lower = np.maximum(soft.lower, hard.lower - amount * (hard.lower > soft.lower))
        upper = np.minimum(soft.upper, hard.upper + amount * (hard.upper < soft.upper))
        return Limits(soft.x, lower, upper)

    missing = least_easing(eased)
    line = soft.widest_line() if np.isinf(missing) else eased(missing).widest_line()
    height = line.lift + line.tilt * soft.x
    worst = first_worst(np.maximum(hard.lower - height, height - hard.upper))
    return Failure(Obstacle.HARD_FACE, missing, float(soft.x[worst]), slide)


def _rocker(soft: _Soft) -> tuple[Failure, ...]:
    """Return the end whose rocker is in the way, or both."""
    slide, limits = float(soft.slides[soft.nearest]), soft.at(soft.nearest)
    sense, middle = _touch(limits)
    nose = _End(Obstacle.NOSE_ROCKER, limits.x > middle, float(limits.x[-1]))
    tail = _End(Obstacle.TAIL_ROCKER, limits.x < middle, 0.0)
    for end in sorted((nose, tail), key=lambda e: -_level_miss(limits, e.where, sense)):
        missing = _bending(limits, end.where, sense)
        if np.isfinite(missing):
            return (Failure(end.obstacle, missing, end.tip, slide, sense),)
    both = _bending(limits, nose.where | tail.where, sense)
    if np.isinf(both):
        both = -limits.widest_line().gap
    return tuple(Failure(end.obstacle, both, end.tip, slide, sense) for end in (nose, tail))


@dataclass(frozen=True, eq=False)
class _End:
    """One end of the board: all stations from the middle point of touch to its tip."""

    obstacle: Obstacle
    where: Ends
    tip: float


def _level_miss(limits: Limits, where: Ends, sense: Sense) -> float:
    """Return by how much an end misses with the two level lines parallel, which rocker is measured from."""
    if sense is Sense.LITTLE:
        return float(np.max(np.max(limits.lower) - limits.upper[where], initial=-np.inf))
    return float(np.max(limits.lower[where] - np.min(limits.upper), initial=-np.inf))


def _bending(limits: Limits, where: Ends, sense: Sense) -> float:
    """Return how far an end of the blank must bend up (too little rocker) or down (too much)."""
    up, down = (1.0, 0.0) if sense is Sense.LITTLE else (0.0, 1.0)

    def bent(amount: float) -> Limits:
        return Limits(limits.x, limits.lower - down * amount * where, limits.upper + up * amount * where)

    return least_easing(bent)


def _touch(limits: Limits) -> tuple[Sense, float]:
    """Return whether the blank's ends are too low for the board or too high, and the station between them.

    The line that misses both sets by the least is touched by three points, in turn from above and below.
    Where the ends are too low, it is the blank's deck that holds it down at both ends, and its bottom that
    holds it up between them.
    """
    line = limits.widest_line()
    height = line.lift + line.tilt * limits.x
    above, below = limits.lower - height, height - limits.upper
    lower = limits.x[above > np.max(above) - 1e-9]
    upper = limits.x[below > np.max(below) - 1e-9]
    if np.ptp(upper) > np.ptp(lower):
        return Sense.LITTLE, float(np.median(lower))
    return Sense.MUCH, float(np.median(upper))


def least_easing(eased: Callable[[float], Limits]) -> float:
    """Return the least amount by which limits must give way for a line to fit.

    Parameters
    ----------
    eased
        The limits after giving way by an amount (metres); more must never fit less.

    Returns
    -------
    float
        Metres, too large by less than 1e-9; infinite if even `FARTHEST` does not do.
    """
    enough, short = FARTHEST, 0.0
    if eased(enough).widest_line().status != FITS:
        return float("inf")
    while enough - short > 1e-9:
        middle = 0.5 * (enough + short)
        if eased(middle).widest_line().status == FITS:
            enough = middle
        else:
            short = middle
    return enough
