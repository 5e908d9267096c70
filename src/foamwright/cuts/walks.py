"""Walks: strokes laid out over a run so that their starts walk inboard from the tip.

Walking inboard is not only custom. Each stroke rides on what the one before left: starting inboard of the
last step, the sole rests on the step's upper edge, which is cut, while the foot behind it is bridged and
kept; the steps wear away as the walk goes on. The other way round every stroke is held off the foot of all
earlier steps, and the misses add up towards the tip (tests/property/test_runoffs.py measures both).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

import numpy as np
from numpy.typing import NDArray

from foamwright.cuts.runs import Strokes
from foamwright.cuts.simulation import Workpiece

Array = NDArray[np.float64]
Index = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class Marks:
    """Where a stroke may start: at multiples of `coarse` metres from the tip, of `fine` where it is steep."""

    coarse: float
    fine: float

    @property
    def strides(self) -> tuple[int, ...]:
        """Steps of the marks in units of `fine`, coarse first, halving."""
        stride = max(1, round(self.coarse / self.fine))
        steps = [stride]
        while steps[-1] > 1:
            steps.append(steps[-1] // 2)
        return tuple(steps)


@dataclass(frozen=True, slots=True)
class Unit:
    """What is done at one mark at least: `count` strokes of `chip`, at marks of `stride` fine steps."""

    chip: float
    count: int
    stride: int

    @property
    def depth(self) -> float:
        """Greatest depth it takes, metres."""
        return self.chip * self.count


def units_for(chips: Sequence[float], group: int, marks: Marks) -> tuple[Unit, ...]:
    """Return the ladder of units: `group` coarse strokes at a mark, halved down to one, then finer chips."""
    pairs = []
    count = group
    while count >= 1:
        pairs.append((chips[0], count))
        count //= 2
    pairs += [(chip, 1) for chip in chips[1:]]
    strides = marks.strides
    return tuple(Unit(chip, n, strides[min(i, len(strides) - 1)]) for i, (chip, n) in enumerate(pairs))


def rising(room: Array) -> Array:
    """Return the greatest curve under `room` that never falls towards the tip: what run-offs can take."""
    return np.minimum.accumulate(room[::-1])[::-1]


class Layout:
    """The marks of a run and the grid points beside them, made once."""

    def __init__(self, work: Workpiece, marks: Marks) -> None:
        self.marks = marks
        count = floor(work.length / marks.fine + 1e-9)
        self.numbers: Index = np.arange(count, -1, -1)
        self.starts = self.numbers * marks.fine
        self.places = work.length - self.starts
        self.points: Index = np.rint(self.places / work.step).astype(np.int64)
        self._x = work.x

    def at_marks(self, curve: Array) -> Array:
        """Return a curve of the grid at the marks, inboard first."""
        return np.asarray(np.interp(self.places, self._x, curve), dtype=np.float64)

    def stairs(self, room: Array, units: Sequence[Unit], level: Index) -> list[tuple[float, Unit]]:
        """Return the units whose steps stay under the rising curve `room`, inboard first.

        `level` says at every grid point which unit of the ladder is used there.
        """
        levels = level[self.points]
        depths = np.array([unit.depth for unit in units])[levels]
        strides = np.array([unit.stride for unit in units])[levels]
        allowed = self.numbers % strides == 0
        ceiling = np.where(allowed, self.at_marks(room) - depths + 1e-12, -np.inf)
        taken, i = 0.0, 0
        steps: list[tuple[float, Unit]] = []
        while (ceiling[i:] >= taken).any():
            i += int(np.argmax(ceiling[i:] >= taken))
            steps.append((float(self.starts[i]), units[levels[i]]))
            taken += float(depths[i])
        return steps

    def filling(
        self, room: Array, steps: list[tuple[float, Unit]], start: float, chip: float
    ) -> list[tuple[float, Unit]]:
        """Return one group of strokes from `start` that takes what `steps` leave of the room there."""
        if start > self.starts[0]:
            return []
        here = float(np.interp(-start, -self.starts, self.at_marks(room)))
        count = floor((here - sum(unit.depth for _, unit in steps)) / chip + 1e-9)
        return [(start, Unit(chip, count, 1))] if count > 0 else []

    def single_steps(self, room: Array, chip: float, slack: float) -> list[tuple[float, Unit]]:
        """Return single strokes under the rising curve `room`, inboard first.

        Each starts at the coarsest mark that gives away no more than `slack` metres of depth.
        """
        available = self.at_marks(room)
        unit = Unit(chip, 1, 1)
        steps = []
        for k in range(1, floor(available[-1] / chip + 1e-9) + 1):
            i = int(np.searchsorted(available, k * chip - 1e-12))
            if i < available.size:
                steps.append((self._rounded(available, i, k * chip + slack), unit))
        return steps

    def _rounded(self, available: Array, i: int, limit: float) -> float:
        number = int(self.numbers[i])
        for stride in self.marks.strides:
            coarse = number // stride * stride
            if available[i + number - coarse] <= limit:
                return coarse * self.marks.fine
        return number * self.marks.fine


def inboard(steps: list[tuple[float, Unit]], skew_deg: float) -> list[Strokes]:
    """Return steps, given inboard first, as strokes in the order they are made: walking inboard."""
    return [Strokes(start, unit.count, unit.chip, skew_deg) for start, unit in reversed(steps)]


def grouped(strokes: list[Strokes]) -> tuple[Strokes, ...]:
    """Return strokes with neighbours of one kind joined, in order."""
    groups: list[Strokes] = []
    for stroke in strokes:
        last = groups[-1] if groups else None
        if last and _kind(last) == _kind(stroke):
            groups[-1] = Strokes(last.start_from_tip, last.count + stroke.count, last.chip, last.skew_deg)
        else:
            groups.append(stroke)
    return tuple(groups)


def _kind(stroke: Strokes) -> tuple[float, float, float]:
    return stroke.start_from_tip, stroke.chip, stroke.skew_deg
