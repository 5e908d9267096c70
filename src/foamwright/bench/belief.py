"""What is known of a face towards one tip: how far it stands above its target, and how sure that is."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from foamwright.bench.care import GRID
from foamwright.cuts.runs import RunTarget
from foamwright.cuts.sole import Sole
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.profile_filter import ROOM, Known, expected_at, stroke_filter, take_reading
from foamwright.units import INCH

MISSED = 0.24
"""What the linearised filter misses with each stroke, as a share of the depth taken, where the sole rides.

Found by simulation: with it the truth lies inside the 90 % band in 88 to 92 % of cases.
"""


@dataclass(frozen=True, slots=True)
class ChipFactor:
    """Chip taken over chip set: what is expected, and its standard error."""

    mean: float = 1.0
    error: float = 0.3


@dataclass(frozen=True, slots=True)
class Errors:
    """Standard errors of a shaper's hands: of a start (metres), of each chip (a share of it).

    Common practice, no source; the chip's are learned from jobs that were measured.
    """

    start: float = INCH / 2
    each: float = 0.3


@dataclass(frozen=True, slots=True)
class FaceDoubt:
    """Standard error of a face before its first stroke, and how far errors go together; metres."""

    error: float = 0.0
    length: float = 0.3


@dataclass(frozen=True, slots=True)
class Made:
    """One stroke made: from `start` to `end` before the tip (metres; ``None``: it ran off), chip set."""

    start: float
    end: float | None
    chip: float


@dataclass(frozen=True, slots=True)
class Height:
    """One reading as a height above the target: where (metres from the tip), how much, standard error."""

    from_tip: float
    left: float
    error: float


@dataclass(frozen=True, eq=False)
class Belief:
    """A face towards one tip as it is known. Nothing in it changes; `after` and `informed` return a new one.

    Attributes
    ----------
    target
        (n,) wanted heights outward from the foam, on points `GRID` apart, the tip last.
    mean
        (n+1,) heights above the target, then the chip's factor.
    cov
        (n+1, n+1) covariance.
    sole
        The plane's sole as it is held.
    errors
        Of the shaper's hands.
    """

    target: Floats
    mean: Floats
    cov: Floats
    sole: Sole
    errors: Errors

    @property
    def size(self) -> int:
        """Number of points."""
        return self.target.size

    @cached_property
    def from_tip(self) -> Floats:
        """(n,) distances of the points from the tip, metres, falling to 0."""
        return np.asarray(np.arange(self.size - 1, -1, -1) * GRID)

    @property
    def left(self) -> Floats:
        """(n,) expected heights above the target, metres."""
        return self.mean[: self.size]

    @property
    def doubt(self) -> Floats:
        """(n,) standard errors of `left`, metres."""
        return np.sqrt(np.maximum(np.diag(self.cov)[: self.size], 0.0))

    @property
    def chip(self) -> ChipFactor:
        """What is known of the chip."""
        return ChipFactor(float(self.mean[-1]), float(np.sqrt(max(self.cov[-1, -1], 0.0))))

    def known(self) -> Known:
        """Return a copy as the kernels take it, with room to work."""
        n = self.size
        return Known(
            mean=self.mean.copy(),
            cov=self.cov.copy(),
            target=self.target,
            noise=np.array([self.errors.start / GRID, self.errors.each, MISSED]),
            reach=np.array([self.sole.behind / GRID, self.sole.ahead / GRID]),
            step=GRID,
            work=np.zeros((n + ROOM, n + 1)),
            chains=np.zeros((2, n), dtype=np.int64),
        )

    def having(self, known: Known) -> Belief:
        """Return the belief that holds what a kernel left."""
        return replace(self, mean=known.mean.copy(), cov=known.cov.copy())

    def after(self, strokes: Iterable[Made]) -> Belief:
        """Return what is known after strokes."""
        known = self.known()
        for one in strokes:
            start = self.size - 1 - one.start / GRID
            end = self.size + 5.0 if one.end is None else self.size - 1 - one.end / GRID
            stroke_filter(known, start, end, one.chip)
        return self.having(known)

    def informed(self, readings: Iterable[Height]) -> Belief:
        """Return what is known after readings."""
        known = self.known()
        for one in readings:
            take_reading(known, self.place(one.from_tip), one.left, one.error**2)
        return self.having(known)

    def shaken(self, error: float, length: float = 0.3) -> Belief:
        """Return what is known after a find that no stroke tells of: with `error` metres of doubt more."""
        apart = (self.from_tip[:, None] - self.from_tip[None, :]) / length
        cov = self.cov.copy()
        cov[:-1, :-1] += error**2 * np.exp(-0.5 * apart**2)
        return replace(self, cov=cov)

    def place(self, from_tip: float) -> float:
        """Return a distance from the tip as a place on the grid, in steps."""
        return self.size - 1 - from_tip / GRID

    def at(self, from_tip: float) -> tuple[float, float]:
        """Return expected height above the target and its standard error at a distance from the tip."""
        mean, variance = expected_at(self.known(), self.place(from_tip))
        return mean, float(np.sqrt(variance))


def tip_grid(target: RunTarget, step: float) -> Floats:
    """Return the places along a run's x that lie whole steps before the tip, the tip last."""
    count = int(target.length / step + 1e-9)
    return np.asarray(target.length - np.arange(count, -1, -1) * step)


def prior(
    target: RunTarget, sole: Sole, chip: ChipFactor, errors: Errors, face: FaceDoubt | None = None
) -> Belief:
    """Return what is known before the first stroke.

    Parameters
    ----------
    target
        The face as planned and as wanted.
    sole
        The plane's sole, turned as the plan says.
    chip
        What is known of its chip.
    errors
        Of the shaper's hands.
    face
        Doubt of the face that is there: none where it was just measured (the default).
    """
    face = face or FaceDoubt()
    at = tip_grid(target, GRID)
    wanted = np.interp(at, target.x, target.target)
    mean = np.append(np.interp(at, target.x, target.before) - wanted, chip.mean)
    cov = np.zeros((at.size + 1, at.size + 1))
    apart = (at[:, None] - at[None, :]) / face.length
    cov[:-1, :-1] = face.error**2 * np.exp(-0.5 * apart**2)
    cov[-1, -1] = chip.error**2
    return Belief(wanted, mean, cov, sole, errors)


BUMPS = INCH
"""Length along which the unevenness of a hand-worked face goes together. Common practice, no source."""


def vague(target: RunTarget, sole: Sole, chip: ChipFactor, errors: Errors, length: float = 0.3) -> Belief:
    """Return what is known of a face that was worked on by nobody knows how many strokes.

    Anything between the face as it was and the face as wanted is likely: half the depth off, give or take
    a third of the depth, smooth over `length` metres, with the unevenness of a hand-worked face on it.
    """
    at = tip_grid(target, GRID)
    wanted = np.interp(at, target.x, target.target)
    depth = np.interp(at, target.x, target.before) - wanted
    spread = depth / 3.0 + INCH / 64
    apart = at[:, None] - at[None, :]
    cov = np.zeros((at.size + 1, at.size + 1))
    cov[:-1, :-1] = np.outer(spread, spread) * np.exp(-0.5 * (apart / length) ** 2)
    cov[:-1, :-1] += (INCH / 64) ** 2 * np.exp(-0.5 * (apart / BUMPS) ** 2)
    cov[-1, -1] = chip.error**2
    return Belief(wanted, np.append(depth / 2.0, chip.mean), cov, sole, errors)
