"""The size of a board that meets a volume, every number on the tape.

Length and width come from the law and go on the tape as they are; the thickness is what the volume leaves.
A step of the tape in the thickness is worth half a litre, so what is still missing goes into single steps at
the 12 in marks, by the known growth of volume with each, and is proved by building the board.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

import numpy as np

from foamwright.board.numbers import BoardNumbers
from foamwright.brief.drafting import Draft, Grid, Number, drafted, reference
from foamwright.brief.kinds import Pattern
from foamwright.brief.stretching import volume_of
from foamwright.shape.curves import Floats
from foamwright.stations import Mark

CLOSE = 3e-5
"""m3 within which a volume counts as met; half of the 0.05 litres promised, and a little."""

LIMITS = {Number.LENGTH: (1.2192, 4.2), Number.WIDE: (0.21, 0.755), Number.THICKEST: (0.026, 0.15)}
"""Metres between which a board's size stays (a board sheet allows no more)."""

SOFTEST_FIRST = (Number.THICKEST, Number.WIDE, Number.LENGTH)
"""Which number takes what the volume asks for; a later one where those before are fixed."""

KNOBS = (
    Number.NOSE_WIDTH,
    Number.TAIL_WIDTH,
    Number.NOSE_THICKNESS,
    Number.TAIL_THICKNESS,
    Number.THICKEST,
)
TURNS = 2
"""Steps of the tape that each number may move either way in one go."""

TRIES = 8
"""How many ways of moving them are tried for one guess of the growth."""


@dataclass(frozen=True)
class Sized:
    """A board's numbers and its volume in m3."""

    numbers: BoardNumbers
    volume: float


def sized(draft: Draft, target: float, grid: Grid, name: str) -> Sized:
    """Return the draft sized to a volume, on the tape; what the draft owns is not touched.

    Parameters
    ----------
    draft
        Starting size; its own numbers hold.
    target
        m3.
    grid
        The tape.
    name
        Name of the board.

    Returns
    -------
    Sized
        As near to the target as the numbers that are free allow (see its volume).
    """
    free = tuple(knob for knob in KNOBS if knob not in draft.own)
    best = _measured(drafted(_on_tape(draft, target, grid), grid, name))
    knobs = _Knobs(draft.pattern, free, grid)
    for growth in (_expected_growth, _measured_growth, _measured_growth):
        if abs(best.volume - target) < CLOSE or not free:
            break
        best = _nearest(best, target, knobs, growth(best, knobs))
    return best


def _nearest(best: Sized, target: float, knobs: _Knobs, growth: Floats) -> Sized:
    """Return the first of the likeliest moves that meets the target, or the best of them.

    Growth only guesses: a foil may answer one step by bending elsewhere.
    """
    start = best.numbers
    for turns in _likely_turns(growth, target - best.volume):
        if abs(best.volume - target) < CLOSE:
            break
        turned = _measured(_turned(start, turns, knobs))
        best = min(best, turned, key=lambda made: abs(made.volume - target))
    return best


def _measured(numbers: BoardNumbers) -> Sized:
    return Sized(numbers, volume_of(numbers))


def fill_of(pattern: Pattern) -> float:
    """Return a reference's volume over its length, width and thickness."""
    ref = reference(pattern)
    return reference_volume(pattern) / (ref.length * ref.numbers.wide * ref.numbers.thickest)


def guessed_volume(draft: Draft) -> float:
    """Return the volume of a draft as the reference's own, in proportion to length, width and thickness."""
    return fill_of(draft.pattern) * draft.length * draft.wide * draft.thickest


@lru_cache(maxsize=16)
def reference_volume(pattern: Pattern) -> float:
    """Return the volume of a pattern's reference board, m3."""
    return volume_of(reference(pattern).numbers)


def _size(draft: Draft) -> dict[Number, float]:
    return {Number.LENGTH: draft.length, Number.WIDE: draft.wide, Number.THICKEST: draft.thickest}


def _with(draft: Draft, size: dict[Number, float]) -> Draft:
    return replace(draft, length=size[Number.LENGTH], wide=size[Number.WIDE], thickest=size[Number.THICKEST])


def _on_tape(draft: Draft, target: float, grid: Grid) -> Draft:
    """Return the draft on the tape; its softest free number takes what the volume asks for."""
    steps = {Number.LENGTH: grid.length, Number.WIDE: grid.width, Number.THICKEST: grid.thickness}
    size = _size(draft)
    free = [number for number in SOFTEST_FIRST if number not in draft.own]
    for number in free[1:]:
        size[number] = _within(number, Grid.on(size[number], steps[number]))
    if not free:
        return _with(draft, size)
    soft = free[0]
    size[soft] = _within(soft, size[soft] * target / guessed_volume(_with(draft, size)))
    for _ in range(2):
        true = volume_of(drafted(_with(draft, size), grid, "draft"))
        size[soft] = _within(soft, size[soft] * target / true)
    size[soft] = _within(soft, Grid.on(size[soft], steps[soft]))
    return _with(draft, size)


def _within(number: Number, value: float) -> float:
    low, high = LIMITS[number]
    return min(max(value, low), high)


@dataclass(frozen=True)
class _Knobs:
    """The numbers that may still be moved, on which tape."""

    pattern: Pattern
    free: tuple[Number, ...]
    grid: Grid

    def step(self, knob: Number) -> Fraction:
        return self.grid.thickness if knob in THICK else self.grid.width


def _expected_growth(best: Sized, knobs: _Knobs) -> Floats:
    """Return how much the volume grows for a step of each number, in proportion to the reference's."""
    known = elasticities(knobs.pattern)
    return np.array(
        [best.volume * known[k] * float(knobs.step(k)) / _value(best.numbers, k) for k in knobs.free]
    )


def _measured_growth(best: Sized, knobs: _Knobs) -> Floats:
    """Return how much the volume grows for a step of each number, by trying each."""
    return np.array([volume_of(_stepped(best.numbers, k, 1, knobs)) - best.volume for k in knobs.free])


def _stepped(numbers: BoardNumbers, knob: Number, turns: int, knobs: _Knobs) -> BoardNumbers:
    step = knobs.step(knob)
    return changed(numbers, knob, Grid.on(_value(numbers, knob) + turns * float(step), step))


def _turned(numbers: BoardNumbers, turns: Floats, knobs: _Knobs) -> BoardNumbers:
    """Return the numbers with each moved by whole steps of the tape."""
    for knob, count in zip(knobs.free, turns, strict=True):
        if count:
            numbers = _stepped(numbers, knob, int(count), knobs)
    return numbers


def _likely_turns(growth: Floats, missing: float) -> Floats:
    """Return whole steps of each number (TRIES, knobs) that come near to what is missing, likeliest first.

    Likeliest are those that come near with few steps: a fifth of CLOSE weighs as much as one step.
    """
    steps = np.arange(-TURNS, TURNS + 1)
    grid = np.stack(np.meshgrid(*[steps] * growth.size, indexing="ij"), axis=-1).reshape(-1, growth.size)
    cost = ((grid @ growth - missing) / (0.2 * CLOSE)) ** 2 + np.sum(grid**2, axis=1)
    return np.asarray(grid[np.argsort(cost, kind="stable")[:TRIES]])


THICK = (Number.NOSE_THICKNESS, Number.TAIL_THICKNESS, Number.THICKEST)


def _value(numbers: BoardNumbers, knob: Number) -> float:
    return {
        Number.NOSE_WIDTH: numbers.outline[2].value,
        Number.TAIL_WIDTH: numbers.outline[1].value,
        Number.NOSE_THICKNESS: numbers.thickness[2].value,
        Number.TAIL_THICKNESS: numbers.thickness[1].value,
        Number.THICKEST: numbers.thickest,
    }[knob]


@lru_cache(maxsize=16)
def elasticities(pattern: Pattern) -> dict[Number, float]:
    """Return by what share the volume of the reference grows for a share that one of its numbers grows by."""
    numbers = reference(pattern).numbers
    return {knob: _elasticity(numbers, knob) for knob in KNOBS}


def _elasticity(numbers: BoardNumbers, knob: Number, by: float = 0.002) -> float:
    more, less = (volume_of(changed(numbers, knob, _value(numbers, knob) * (1.0 + d))) for d in (by, -by))
    return (more - less) / (2.0 * by) / volume_of(numbers)


def changed(numbers: BoardNumbers, knob: Number, value: float) -> BoardNumbers:
    """Return a board with one of the `KNOBS` changed and all else as it was."""
    if knob is Number.THICKEST:
        return replace(numbers, thickest=value)
    place = 2 if knob in (Number.NOSE_WIDTH, Number.NOSE_THICKNESS) else 1
    if knob in THICK:
        return replace(numbers, thickness=_set(numbers.thickness, place, value))
    return replace(numbers, outline=_set(numbers.outline, place, value))


def _set(marks: tuple[Mark, ...], place: int, value: float) -> tuple[Mark, ...]:
    return (*marks[:place], replace(marks[place], value=value), *marks[place + 1 :])
