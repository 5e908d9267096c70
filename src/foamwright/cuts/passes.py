"""Passes to thickness: over the whole length, or between two marks where the blank stands high."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.cuts.counting import Counts, Marks, counted, stretches
from foamwright.cuts.planing import sole_steps
from foamwright.cuts.run import frozen
from foamwright.cuts.trench import tracks_of
from foamwright.shape.kernels.planing import heel_stroke
from foamwright.stages.solids import Faces

Array = NDArray[np.float64]

SLACK = 0.25
"""Share of a chip that a long plane may leave by bridging before a shorter one is taken."""


@dataclass(frozen=True, slots=True)
class Passes:
    """`count` equal passes of the iron from `begin` to `end`, metres from the tail; the chip, the tracks."""

    count: int
    chip: float
    begin: float
    end: float
    tracks: int = 1

    def as_json(self) -> dict[str, Any]:
        """Return the passes as plain values."""
        plain = {"count": self.count, "chip_m": self.chip, "from_x_m": self.begin, "to_x_m": self.end}
        return plain if self.tracks == 1 else {**plain, "tracks": self.tracks}


@dataclass(frozen=True, slots=True, eq=False)
class PassPlan:
    """Passes that bring a face to thickness.

    Attributes
    ----------
    x, before, target
        Uniform grid from the tail and heights outwards from the foam, metres.
    predicted
        Heights afterwards, never below the target: what the run-offs start from.
    passes
        In order.
    plane
        What makes them.
    """

    x: Array
    before: Array
    target: Array
    predicted: Array
    passes: tuple[Passes, ...]
    plane: Plane

    @property
    def left(self) -> Array:
        """What is left above the target at each point, metres."""
        return self.predicted - self.target

    @property
    def whole(self) -> int:
        """Number of passes over the whole length."""
        return sum(p.count for p in self.passes if p.begin <= 1e-9 and p.end >= self.x[-1] - 1e-9)

    def as_json(self) -> dict[str, Any]:
        """Return the plan as plain values."""
        return {
            "x_m": self.x.tolist(),
            "before_m": self.before.tolist(),
            "target_m": self.target.tolist(),
            "predicted_m": self.predicted.tolist(),
            "passes": [one.as_json() for one in self.passes],
            "whole_length": self.whole,
        }


def pass_counts(x: Array, at: Array, split: Faces, chip: float) -> Counts:
    """Return how many passes cross each place so that the run-offs find even chips to take.

    All that leaves a face is counted in chips; what run-offs towards the nearer tip take of them is theirs,
    the rest is for the passes. If that would cut under the thickness line somewhere, one pass less is made
    everywhere, where one can be spared: the run-offs then begin one chip higher.

    Parameters
    ----------
    x, at
        Stations of `split`, and where the counts are wanted, metres, shape (n,).
    split
        What leaves the face, its even part and its rest.
    chip
        Of a pass, metres.
    """
    removal, rest, even = (np.interp(at, x, one) for one in (split.removal, split.rest, split.even))
    sides = (split.removal[: split.pivot + 1].min(), split.removal[split.pivot :].min())
    base = np.where(at <= x[split.pivot], *sides)
    counts = counted(removal, chip) - counted(base + rest, chip) + counted(base, chip)
    if (counts * chip > even + 1e-12).any():
        counts = counts - 1 if counts.min() > 0 else np.minimum(counts, counted(even, chip))
    return np.asarray(counts, dtype=np.int64)


def plan_passes(
    faces: tuple[Array, Array, Array], split: Faces, planes: Sequence[Plane], marks: Marks
) -> PassPlan:
    """Return the passes, tail to nose, that bring a face to thickness.

    Parameters
    ----------
    faces
        Stations from the tail, heights outwards from the foam before and after, metres, shape (N,).
    split
        What leaves the face, on the same stations.
    planes
        The bay's; the longest that hardly bridges makes the passes.
    marks
        Where the tape has them.
    """
    x, before, target = faces
    at = np.linspace(0.0, float(x[-1]), round(float(x[-1]) / marks.grid) + 1)
    ground = frozen(at), frozen(np.interp(at, x, before)), frozen(np.interp(at, x, target))
    best: PassPlan | None = None
    for plane in sorted(planes, key=lambda one: -one.sole):
        chip = plane.chips[0]
        counts = pass_counts(x, at, split, chip)
        made = _passed(ground, counts, plane, marks)
        if best is None or made.left.max() < best.left.max():
            best = made
        if (made.predicted - (ground[1] - counts * chip)).max() <= SLACK * chip:
            return made
    assert best is not None
    return best


def _passed(ground: tuple[Array, Array, Array], counts: Counts, plane: Plane, marks: Marks) -> PassPlan:
    """Return the passes that counts ask for, simulated: the shortest first.

    So each pass starts on foam that nobody has cut: started in the step that a longer one left, it would be
    held off its foot.
    """
    x, before, target = ground
    step, chip = float(x[-1]) / (x.size - 1), plane.chips[0]
    least = marks.shortest / step
    ends = [one for one in stretches(counts) if one[1] - one[0] >= least]
    ends.sort(key=lambda one: one[1] - one[0])
    heights, sole = before.copy(), sole_steps(plane, step)
    for first, last in ends:
        heel_stroke(heights, first, last + 1, sole, chip)
    tracks = tracks_of(plane, chip)
    passes = tuple(
        Passes(len(list(same)), chip, first * step, last * step, tracks)
        for (first, last), same in groupby(ends)
    )
    return PassPlan(x, before, target, frozen(heights), passes, plane)
