"""The size of a board that meets a volume, every number on the tape.

Length comes from stature, and gives a little when the volume asks for much; width and thickness share the
rest. Then length, thickness and width are put on the tape one after another, each time the next taking up
what was lost; what is still missing goes into single steps of the tape, most of them at the 12 in marks, by
the known growth of volume with each.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

import numpy as np

from foamwright.board.numbers import BoardNumbers
from foamwright.brief.drafting import Draft, Grid, Number, drafted, reference
from foamwright.brief.families import Kind
from foamwright.brief.stretching import volume_of
from foamwright.shape.curves import Floats
from foamwright.stations import Mark

CLOSE = 3e-5
"""m3 within which a volume counts as met; half of the 0.05 litres promised, and a little."""

SHARES = {Number.LENGTH: 0.15, Number.WIDE: 0.40, Number.THICKEST: 0.45}
"""How length, width and thickness share a change of volume. Our own choice."""

LIMITS = {Number.LENGTH: (1.25, 4.2), Number.WIDE: (0.21, 0.755), Number.THICKEST: (0.026, 0.15)}
"""Metres between which a board's size stays (a board sheet allows no more)."""

KNOBS = (
    Number.NOSE_WIDTH,
    Number.TAIL_WIDTH,
    Number.NOSE_THICKNESS,
    Number.TAIL_THICKNESS,
    Number.WIDE,
    Number.THICKEST,
)
TURNS = 2
"""Steps of the tape that each knob may be turned either way in one go."""

TRIES = 6
"""How many ways of turning them are tried for one guess of the growth."""


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
    best = _measured(drafted(_on_tape(_grown(draft, target), target, grid), grid, name))
    knobs = _Knobs(draft.kind, free, grid)
    for growth in (_expected_growth, _measured_growth, _measured_growth):
        if abs(best.volume - target) < CLOSE or not free:
            break
        best = _nearest(best, target, knobs, growth(best, knobs))
    return best


def _nearest(best: Sized, target: float, knobs: _Knobs, growth: Floats) -> Sized:
    """Return the first of the likeliest turns that meets the target, or the best of them.

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


def _size(draft: Draft) -> dict[Number, float]:
    return {Number.LENGTH: draft.length, Number.WIDE: draft.wide, Number.THICKEST: draft.thickest}


def _with(draft: Draft, size: dict[Number, float]) -> Draft:
    return replace(draft, length=size[Number.LENGTH], wide=size[Number.WIDE], thickest=size[Number.THICKEST])


def guessed_volume(draft: Draft) -> float:
    """Return the volume of a draft as the reference's own, in proportion to length, width and thickness."""
    ref = reference(draft.kind)
    return (
        _reference_volume(draft.kind)
        * (draft.length / ref.length)
        * (draft.wide / ref.numbers.wide)
        * (draft.thickest / ref.numbers.thickest)
    )


@lru_cache(maxsize=16)
def _reference_volume(kind: Kind) -> float:
    return volume_of(reference(kind).numbers)


def _grown(draft: Draft, target: float) -> Draft:
    """Return the draft grown by shares until its guessed volume is the target, each within its limits."""
    size = _size(draft)
    free = [number for number in SHARES if number not in draft.own]
    for _ in range(4):
        ratio = target / guessed_volume(_with(draft, size))
        total = sum(SHARES[number] for number in free)
        if not free or abs(ratio - 1.0) < 1e-9:
            break
        size.update({n: _within(n, size[n] * ratio ** (SHARES[n] / total)) for n in free})
        free = [number for number in free if LIMITS[number][0] < size[number] < LIMITS[number][1]]
    return _with(draft, size)


def _on_tape(draft: Draft, target: float, grid: Grid) -> Draft:
    """Return the draft with length, thickness and width on the tape, each making up for the one before."""
    steps = {Number.LENGTH: grid.length, Number.THICKEST: 2 * grid.thickness, Number.WIDE: grid.width}
    size = _size(draft)
    free = [number for number in steps if number not in draft.own]
    for number in free:
        if number is free[-1]:
            true = volume_of(drafted(_with(draft, size), grid, "draft"))
            size[number] = _within(number, size[number] * target / true)
        size[number] = Grid.on(size[number], steps[number])
        rest = free[free.index(number) + 1 :]
        ratio = target / guessed_volume(_with(draft, size))
        size.update({n: _within(n, size[n] * ratio ** (1.0 / len(rest))) for n in rest})
    return _with(draft, size)


def _within(number: Number, value: float) -> float:
    low, high = LIMITS[number]
    return min(max(value, low), high)


@dataclass(frozen=True)
class _Knobs:
    """The numbers that may still be turned, on which tape."""

    kind: Kind
    free: tuple[Number, ...]
    grid: Grid

    def step(self, knob: Number) -> Fraction:
        return self.grid.thickness if knob in THICK else self.grid.width


def _expected_growth(best: Sized, knobs: _Knobs) -> Floats:
    """Return how much the volume grows for a step of each knob, in proportion to the reference's."""
    known = elasticities(knobs.kind)
    return np.array(
        [best.volume * known[k] * float(knobs.step(k)) / _value(best.numbers, k) for k in knobs.free]
    )


def _measured_growth(best: Sized, knobs: _Knobs) -> Floats:
    """Return how much the volume grows for a step of each knob, by trying each."""
    return np.array([volume_of(_stepped(best.numbers, k, 1, knobs)) - best.volume for k in knobs.free])


def _stepped(numbers: BoardNumbers, knob: Number, turns: int, knobs: _Knobs) -> BoardNumbers:
    step = knobs.step(knob)
    return changed(numbers, knob, Grid.on(_value(numbers, knob) + turns * float(step), step))


def _turned(numbers: BoardNumbers, turns: Floats, knobs: _Knobs) -> BoardNumbers:
    """Return the numbers with each knob turned by whole steps of the tape."""
    for knob, count in zip(knobs.free, turns, strict=True):
        if count:
            numbers = _stepped(numbers, knob, int(count), knobs)
    return numbers


def _likely_turns(growth: Floats, missing: float) -> Floats:
    """Return whole turns of each knob (TRIES, knobs) that come near to what is missing, likeliest first.

    Likeliest are those that come near with few turns: a fifth of CLOSE weighs as much as one step.
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
        Number.WIDE: numbers.wide,
        Number.THICKEST: numbers.thickest,
    }[knob]


@lru_cache(maxsize=16)
def elasticities(kind: Kind) -> dict[Number, float]:
    """Return by what share the volume of the reference grows for a share that one of its numbers grows by."""
    numbers = reference(kind).numbers
    return {knob: _elasticity(numbers, knob) for knob in KNOBS}


def _elasticity(numbers: BoardNumbers, knob: Number, by: float = 0.002) -> float:
    more, less = (volume_of(changed(numbers, knob, _value(numbers, knob) * (1.0 + d))) for d in (by, -by))
    return (more - less) / (2.0 * by) / volume_of(numbers)


def changed(numbers: BoardNumbers, knob: Number, value: float) -> BoardNumbers:
    """Return a board of a family with one of the `KNOBS` changed and all else as it was."""
    if knob is Number.WIDE:
        return replace(numbers, wide=value)
    if knob is Number.THICKEST:
        return replace(numbers, thickest=value)
    place = 2 if knob in (Number.NOSE_WIDTH, Number.NOSE_THICKNESS) else 1
    if knob in THICK:
        return replace(numbers, thickness=_set(numbers.thickness, place, value))
    return replace(numbers, outline=_set(numbers.outline, place, value))


def _set(marks: tuple[Mark, ...], place: int, value: float) -> tuple[Mark, ...]:
    return (*marks[:place], replace(marks[place], value=value), *marks[place + 1 :])
