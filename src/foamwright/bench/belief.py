"""What is known of a face towards one tip: how far it stands above its target, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from math import hypot

import numpy as np

from foamwright.bay.bay import Habits, Plane
from foamwright.bench.readings import Lay, Tool
from foamwright.cuts.run import Run
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.face_filter import (
    BEND,
    BOW,
    EXTRA,
    FACTOR,
    ZERO,
    Face,
    Hands,
    stroke_known,
    take,
    take_stick,
)
from foamwright.units import INCH

USUAL = Habits()

GRID = INCH / 2
"""Spacing of the places at which a face is followed, from the tip inboard."""

RUB_START = INCH / 4
"""Standard error of where a sanding block is set down and lifted. Common practice, no source."""

ROUGH = 0.3
"""What the linearised mechanics miss at each place, a share of what a stroke takes there.

Found by simulation on boards of their own (docs/bench.md): with it the truth lies inside the 90 % band in
88 to 92 % of cases.
"""

FACE_ERROR, FACE_LENGTH = 1e-4, 8.0 * INCH
"""Doubt of a face that was just measured, and the length over which it goes together."""

ZERO_ERROR, BEND_ERROR, BOW_ERROR = 5e-5, 2e-4, 1e-4
"""Standard errors of a gauge's zero, a straight edge's bend, a stick's bow. Common practice, no source."""

STICK_ERROR = 1.5e-4
"""Standard error of a gap told by a shim under a stick: the stick's own line and the feeling."""

UNEVEN = 1e-5
"""Unevenness from place to place of a face nobody has cut yet: keeps the covariance regular."""

BLOCK = Plane("sanding block", 3.0 * INCH, 1.5 * INCH, 3.0 * INCH, 3.0 * INCH, (INCH / 64, INCH / 128))
"""The block that rubs high places down: 3 in long, 40 and 20 rubs on wood. Common practice, no source."""

RUB = INCH / 256 / 10.0
"""What one rub takes off wood: ten rubs about 1/256 in. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class ChipFactor:
    """Chip taken over chip set: what is expected, and its standard error."""

    mean: float = 1.0
    error: float = 0.45


@dataclass(frozen=True, slots=True)
class Made:
    """One stroke made: from `start` to `end` before the tip (metres; ``None``: it ran off), chip set.

    `rubbed`: with the sanding block, not with the plane.
    """

    start: float
    end: float | None
    chip: float
    rubbed: bool = False


@dataclass(frozen=True, slots=True)
class Height:
    """One reading as a height above the target: where (metres from the tip), how much, standard error."""

    from_tip: float
    left: float
    error: float
    tool: Tool = Tool.CALIPERS


SHARED = {Tool.CALIPERS: ZERO, Tool.STRAIGHT_EDGE: BEND, Tool.PROPPED_EDGE: BEND}
"""Where in the state the error lies that readings of one tool on one face share."""


@dataclass(frozen=True, eq=False)
class Belief:
    """A face towards one tip as it is known. Nothing in it changes; `after` and `informed` return a new one.

    Attributes
    ----------
    face
        Heights left at places `GRID` apart from the tip inboard, with what is known beside them.
    hands, rubbing
        How strokes of the plane and of the sanding block are trusted.
    """

    face: Face
    hands: Hands
    rubbing: Hands

    @property
    def size(self) -> int:
        """Number of places."""
        return self.face.line.size

    @cached_property
    def from_tip(self) -> Floats:
        """(n,) distances of the places from the tip, metres, rising from 0."""
        return np.asarray(np.arange(self.size) * GRID)

    @property
    def left(self) -> Floats:
        """(n,) expected heights above the target, metres."""
        return self.face.mean[: self.size]

    @cached_property
    def doubt(self) -> Floats:
        """(n,) standard errors of `left`, metres."""
        return np.sqrt(np.maximum(np.diag(self.face.cov)[: self.size], 0.0))

    @property
    def chip(self) -> ChipFactor:
        """What is known of the chip."""
        k = self.size + FACTOR
        return ChipFactor(float(self.face.mean[k]), float(np.sqrt(max(self.face.cov[k, k], 0.0))))

    def copied(self) -> Face:
        """Return the face for a kernel to work in."""
        return Face(self.face.mean.copy(), self.face.cov.copy(), self.face.line)

    def with_face(self, face: Face) -> Belief:
        """Return the belief that holds what a kernel left."""
        return replace(self, face=face)

    def after(self, strokes: Iterable[Made]) -> Belief:
        """Return what is known after strokes."""
        face = self.copied()
        for one in strokes:
            end = -1.0 if one.end is None else one.end / GRID
            stroke_known(face, self.rubbing if one.rubbed else self.hands, one.start / GRID, end, one.chip)
        return self.with_face(face)

    def informed(self, readings: Iterable[Height]) -> Belief:
        """Return what is known after readings."""
        face = self.copied()
        for one in readings:
            row = np.zeros(face.mean.size)
            self._at(one.from_tip, row)
            if one.tool in SHARED:
                row[self.size + SHARED[one.tool]] = 1.0
            take(face, row, one.left, one.error**2)
        return self.with_face(face)

    def laid(self, lay: Lay) -> Belief:
        """Return what is known after a stick was laid on the face."""
        face = self.copied()
        bearings = _bearings(self, lay)
        if bearings is None:
            return self
        shims = np.array(sorted({zone.shim for zone in lay.zones} | set(lay.shims)))
        zone, edges = np.zeros(self.size), []
        for one in lay.zones:
            first, last = one.begin / GRID, one.end / GRID
            k = np.arange(self.size)
            inside = (k >= first) & (k <= last)
            zone[inside] = np.maximum(zone[inside], 1.0 + float(np.searchsorted(shims, one.shim)))
            edges += [(at, one.shim) for at in (first, last) if 0.5 <= at <= self.size - 2.0]
        marks = np.array(edges, dtype=np.float64).reshape(-1, 2)
        take_stick(face, bearings, zone, shims, marks, STICK_ERROR)
        return self.with_face(face)

    def shaken(self, error: float, length: float = 0.3) -> Belief:
        """Return what is known after a find that no stroke tells of: with `error` metres of doubt more."""
        face = self.copied()
        face.cov[: self.size, : self.size] += error**2 * _together(self.from_tip, length)
        return self.with_face(face)

    def at(self, from_tip: float) -> tuple[float, float]:
        """Return expected height above the target and its standard error at a distance from the tip."""
        row = np.zeros(self.face.mean.size)
        self._at(from_tip, row)
        variance = float(row @ self.face.cov @ row)
        return float(row @ self.face.mean), float(np.sqrt(max(variance, 0.0)))

    def _at(self, from_tip: float, row: Floats) -> None:
        place = min(max(from_tip / GRID, 0.0), self.size - 1.0)
        low = min(int(place), self.size - 2)
        row[low], row[low + 1] = 1.0 - (place - low), place - low


def _bearings(belief: Belief, lay: Lay) -> tuple[int, int] | None:
    """Return where a stick rests: the farthest places that touch, each the highest near where it was marked.

    A mark is out by up to 1/2 in, and what touches is the top of a bump: the highest place beside the mark.
    """
    marks = sorted(round(one / GRID) for one in lay.touches)
    if not marks:
        return None
    found = [_top(belief, min(max(one, 0), belief.size - 1)) for one in (marks[-1], marks[0])]
    inboard, outboard = max(found), min(found)
    if inboard == outboard:
        inboard, outboard = min(inboard + 1, belief.size - 1), max(outboard - 1, 0)
    return inboard, outboard


def _top(belief: Belief, k: int) -> int:
    near = range(max(0, k - 1), min(belief.size, k + 2))
    return max(near, key=lambda j: (float(belief.left[j]), -abs(j - k)))


def _places(count: int) -> Floats:
    return np.asarray(np.arange(count) * GRID, dtype=np.float64)


def _together(at: Floats, length: float) -> Floats:
    return np.asarray(np.exp(-0.5 * ((at[:, None] - at[None, :]) / length) ** 2))


def hands_of(plane: Plane, habits: Habits = USUAL) -> Hands:
    """Return how strokes of a plane are trusted."""
    behind, ahead = max(1, round((plane.sole - plane.mouth) / GRID)), max(1, round(plane.mouth / GRID))
    return Hands(behind, ahead, habits.each, habits.start / GRID, ROUGH)


def _both(plane: Plane, habits: Habits) -> tuple[Hands, Hands]:
    """Return how strokes of a plane and of the sanding block are trusted."""
    return hands_of(plane, habits), hands_of(BLOCK, replace(habits, start=RUB_START))


def run_line(run: Run, step: float) -> tuple[Floats, Floats]:
    """Return what is left before the first stroke and the target's height at places from the tip inboard."""
    count = int(run.length / step + 1e-9)
    at = run.length - np.arange(count + 1) * step
    line = np.interp(at, run.x, run.target)
    return np.interp(at, run.x, run.before) - line, line


def prior(
    run: Run,
    chip: ChipFactor,
    error: float = FACE_ERROR,
    length: float = FACE_LENGTH,
    habits: Habits = USUAL,
) -> Belief:
    """Return what is known before the first stroke.

    Parameters
    ----------
    run
        The face as planned and as wanted.
    chip
        What is known of its chip.
    error, length
        Doubt of the face that is there, and the length over which it goes together, metres.
    habits
        How evenly strokes are made.
    """
    left, line = run_line(run, GRID)
    at = _places(left.size)
    cov = error**2 * _together(at, length) + UNEVEN**2 * np.eye(left.size)
    return Belief(_face(left, line, cov, chip), *_both(run.plane, habits))


BUMPS = INCH
"""Length along which the unevenness of a hand-worked face goes together. Common practice, no source."""


def vague(run: Run, chip: ChipFactor, length: float = 0.3, habits: Habits = USUAL) -> Belief:
    """Return what is known of a face that was worked on by nobody knows how many strokes.

    Anything between the face as it was and the face as wanted is likely: half the depth off, give or take
    a third of the depth, smooth over `length` metres, with the unevenness of a hand-worked face on it.
    """
    depth, line = run_line(run, GRID)
    at = _places(depth.size)
    spread = depth / 3.0 + INCH / 64
    cov = np.outer(spread, spread) * _together(at, length) + (INCH / 64) ** 2 * _together(at, BUMPS)
    cov += UNEVEN**2 * np.eye(depth.size)
    return Belief(_face(depth / 2.0, line, cov, chip), *_both(run.plane, habits))


def flat(depth: Floats, known: bool) -> Belief:
    """Return what is known along a board of something that is not planed stroke by stroke.

    Parameters
    ----------
    depth
        (n,) what is to come off at places `GRID` apart, counted from the nose, metres.
    known
        Whether it is as planned before it; otherwise somebody has begun.
    """
    at = _places(depth.size)
    spread = np.full(depth.size, 1e-9) if known else depth / 3.0 + INCH / 64
    cov = np.outer(spread, spread) * _together(at, 0.3)
    if not known:
        cov += (INCH / 64) ** 2 * _together(at, BUMPS)
    cov += (1e-9 if known else UNEVEN) ** 2 * np.eye(depth.size)
    hands = hands_of(BLOCK)
    face = _face(depth if known else depth / 2.0, np.zeros(depth.size), cov, ChipFactor())
    return Belief(face, hands, hands)


def _face(left: Floats, line: Floats, cov: Floats, chip: ChipFactor) -> Face:
    n = left.size
    mean, whole = np.zeros(n + EXTRA), np.zeros((n + EXTRA, n + EXTRA))
    mean[:n], mean[n + FACTOR] = left, chip.mean
    whole[:n, :n] = cov
    for place, error in ((FACTOR, chip.error), (ZERO, ZERO_ERROR), (BEND, BEND_ERROR), (BOW, BOW_ERROR)):
        whole[n + place, n + place] = error**2
    return Face(mean, whole, np.ascontiguousarray(line))


def read_error(error: float, step: float) -> float:
    """Return the standard error of a reading rounded to marks `step` apart, metres."""
    return hypot(error, step / np.sqrt(12.0))
