"""A simulated shaper: his errors, and one job done by him in one of three ways."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from foamwright.bench.belief import Belief, ChipFactor, Errors, prior
from foamwright.bench.care import GRID, STATION
from foamwright.bench.course import TRUE_GRID, Course
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.stroke_choice import Care
from foamwright.shape.kernels.worn_trials import (
    READINGS,
    STOPS,
    STROKES,
    Foam,
    Habits,
    Luck,
    finish_run,
    follow_list,
    walk_inboard,
)
from foamwright.units import INCH

LEAST_FACTOR = 0.2
"""No shaper takes less than this share of the chip set."""

DRAWS = 16384
"""Chances made for one shaper; a job uses about 3000."""

BAND = 1.6448536269514722
"""Standard errors on either side that hold 90 % of a normal error (its 95 % quantile)."""

ROUNDING = 1e-9

RULE_STEP = 3.0 * INCH
"""The fixed rule's first start and its step. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Hands:
    """Standard deviations of what goes wrong; metres and shares.

    Attributes
    ----------
    common, each
        Of the chip for the whole job, and from stroke to stroke.
    start
        Of where a stroke starts and where it is lifted.
    tape, step
        Standard error of the tape, and the fraction it is read to.
    bias
        Of what one shaper's tape always reads too much.
    skipped
        Share of strokes counted but not made.
    mistaken, mistake
        Share of readings misread, and by how much.
    """

    common: float = 0.3
    each: float = 0.3
    start: float = INCH / 2
    tape: float = INCH / 64
    step: float = INCH / 32
    bias: float = 0.0
    skipped: float = 0.0
    mistaken: float = 0.0
    mistake: float = INCH / 8

    def shaper(self, luck: Floats) -> Habits:
        """Return one shaper, from two standard normal numbers."""
        return Habits(
            factor=max(LEAST_FACTOR, 1.0 + self.common * float(luck[0])),
            each=self.each,
            start=self.start,
            tape=self.tape,
            step=self.step,
            bias=self.bias * float(luck[1]),
            skipped=self.skipped,
            mistaken=self.mistaken,
            mistake=self.mistake,
        )


class Way(StrEnum):
    """How a job is done."""

    ADVICE = "advice"
    LIST = "planned list"
    RULE = "fixed rule"


@dataclass(frozen=True, slots=True)
class Outcome:
    """How one shaper's job came out.

    Attributes
    ----------
    lowest, highest
        Least and most left above the target at any station of any run, metres.
    strokes, readings
        In the whole job.
    stops
        In each run.
    inside, judged
        Stations whose truth lay inside the 90 % band stated at the end, and stations that had one.
    """

    lowest: float
    highest: float
    strokes: int
    readings: int
    stops: tuple[int, ...]
    inside: int
    judged: int


@dataclass(frozen=True, slots=True)
class _Run:
    counts: Floats
    left: Floats
    belief: Belief | None


def do_job(courses: Sequence[Course], way: Way, hands: Hands, care: Care, key: tuple[int, int]) -> Outcome:
    """Return how one shaper's job comes out.

    Parameters
    ----------
    courses
        The job's run-offs in order; the chip is learned from one to the next.
    way
        By the advice, or by one of the baselines.
    hands, care
        What goes wrong, and how careful the advice is.
    key
        (seed, number of the shaper): the same shaper has the same luck at the start in every way.
    """
    normals = np.random.Generator(np.random.Philox(key=np.array(key, dtype=np.uint64))).standard_normal(DRAWS)
    habits, luck = hands.shaper(normals[:2]), Luck(normals[2:], np.zeros(1, dtype=np.int64))
    chip = ChipFactor(1.0, hands.common)
    runs = []
    for course in courses:
        run = _do_run(course, way, (hands, care, chip), habits, luck)
        chip = run.belief.chip if run.belief is not None else chip
        runs.append(run)
    return _outcome(runs)


def _do_run(
    course: Course, way: Way, ways: tuple[Hands, Care, ChipFactor], habits: Habits, luck: Luck
) -> _Run:
    hands, care, chip = ways
    foam, counts = course.foam(), np.zeros(5)
    belief = None
    if way is Way.ADVICE:
        belief = prior(course.target, course.sole, chip, Errors(hands.start, hands.each))
        known = belief.known()
        finish_run(known, foam, (course.chips, care), habits, luck, counts)
        belief = belief.having(known)
    elif way is Way.LIST:
        follow_list(foam, course.listed(), habits, luck, counts)
    else:
        walk_inboard(foam, (RULE_STEP, float(course.chips[0])), habits, luck, counts)
    return _Run(counts, _at_stations(foam), belief)


def _at_stations(foam: Foam) -> Floats:
    """Return what is left at each station, the tip first."""
    return np.asarray((foam.height - foam.target)[::-1][:: round(STATION / TRUE_GRID)])


def _inside(run: _Run) -> tuple[int, int]:
    """Return how many stations lay inside the band stated, and how many had one."""
    if run.belief is None:
        return 0, 0
    every = round(STATION / GRID)
    mean, doubt = run.belief.left[::-1][::every], run.belief.doubt[::-1][::every]
    doubted = doubt > ROUNDING
    hit = np.abs(run.left[: mean.size] - mean) <= BAND * doubt
    return int(np.sum(hit & doubted)), int(np.sum(doubted))


def _outcome(runs: Sequence[_Run]) -> Outcome:
    hits = [_inside(run) for run in runs]
    return Outcome(
        lowest=min(float(run.left.min()) for run in runs),
        highest=max(float(run.left.max()) for run in runs),
        strokes=int(sum(run.counts[STROKES] for run in runs)),
        readings=int(sum(run.counts[READINGS] for run in runs)),
        stops=tuple(int(run.counts[STOPS]) for run in runs),
        inside=sum(hit for hit, _ in hits),
        judged=sum(judged for _, judged in hits),
    )
