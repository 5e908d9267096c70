"""One simulated shaper's job: every run by the very steps that the bench gives, judged on the true foam."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from foamwright.bench.as_is import Since
from foamwright.bench.belief import GRID, ChipFactor, Height, prior
from foamwright.bench.face_step import RUBS, Act, FaceState, FaceStep, face_step, usual_care
from foamwright.bench.shaper import TRUE_GRID, Errors, Foam, Shaper, shaper_of
from foamwright.bench.trial_outcome import JobOutcome, RunOutcome, judged_run
from foamwright.cuts.run import Run
from foamwright.shape.kernels.face_choice import Care
from foamwright.units import INCH

LEAST_CHIP_DOUBT = 0.03
BAND = 1.6448536269514722
"""Standard errors on either side that hold 90 % of a normal error."""

MOST_STEPS = 400
"""Steps of one run after which it counts as a dead end; none comes near it."""

LOWEST_FACE = 1e-4
"""Least doubt of the face that a run starts from, metres."""


def do_job(runs: Sequence[Run], errors: Errors, care: Care, key: tuple[int, int]) -> JobOutcome:
    """Return how one shaper's job comes out.

    Parameters
    ----------
    runs
        The job's runs in order; the chip is learned from one to the next.
    errors, care
        What goes wrong, and how careful the bench is.
    key
        Seed and the shaper's number: the same shaper has the same luck.
    """
    shaper, chip = shaper_of(errors, key), ChipFactor()
    outcomes = []
    for run in runs:
        worker = _Worker(run, shaper, chip, care)
        outcomes.append(worker.done())
        known = worker.state.belief.chip
        chip = ChipFactor(known.mean, max(known.error, LEAST_CHIP_DOUBT))
    return JobOutcome(tuple(outcomes))


class _Worker:
    """Does one run step by step."""

    def __init__(self, run: Run, shaper: Shaper, chip: ChipFactor, care: Care) -> None:
        self.foam, self.care = Foam(run, shaper), care
        doubt = max(LOWEST_FACE, shaper.errors.face if shaper.errors.told else 0.0)
        belief = prior(run, chip, doubt, habits=shaper.errors.habits)
        chips = tuple(c for c in sorted(run.plane.chips, reverse=True) if c > INCH / 100)
        self.state = FaceState(belief, np.zeros(belief.size), Since(), chips, RUBS)
        self.strokes = self.rubs = self.stops = self.looks = self.foam_downs = 0
        self.metres = 0.0

    def done(self) -> RunOutcome:
        """Do the run to its end and return how it came out."""
        act = Act.GAUGE
        for _ in range(MOST_STEPS):
            step = face_step(self.state, self.care)
            act = step.act
            if act in (Act.DONE, Act.LEFT):
                break
            self._do(step)
        return self._outcome(act)

    def _do(self, step: FaceStep) -> None:
        match step.act:
            case Act.STROKES | Act.RUB:
                self._work(step)
            case Act.FOAM:
                self.foam_downs += 1
                self.foam.foam_down()
                self.state = replace(self.state, trench=np.zeros_like(self.state.trench))
            case Act.STICK | Act.GAUGE:
                self._look(step)

    def _work(self, step: FaceStep) -> None:
        for made in step.strokes:
            self.foam.stroke(made)
            self.metres += made.start - (made.end or 0.0)
        rubbed = step.act is Act.RUB
        self.rubs += len(step.strokes) if rubbed else 0
        self.strokes += 0 if rubbed else len(step.strokes)
        assert step.after is not None
        trench = self.state.trench
        if not rubbed:
            trench = trench + np.maximum(self.state.belief.left - step.after.left, 0.0)
        self.state = replace(self.state, belief=step.after, trench=trench, since=Since())

    def _look(self, step: FaceStep) -> None:
        belief, since = self.state.belief, self.state.since
        self.stops += 1
        self.looks += len(step.places)
        if step.act is Act.STICK:
            self.looks += 1
            belief = belief.laid(self.foam.stick())
            since = replace(since, sticks=since.sticks + 1)
        errors = self.foam.shaper.errors
        heights = [Height(d, self.foam.gauge(d), errors.reading, errors.tool) for d in step.places]
        self.state = replace(
            self.state,
            belief=belief.informed(heights),
            since=replace(since, gauges=since.gauges + len(heights)),
        )

    def _outcome(self, act: Act) -> RunOutcome:
        belief = self.state.belief
        seen = self.foam.left[:: round(GRID / TRUE_GRID)][: belief.size]
        counts = {
            "strokes": self.strokes,
            "rubs": self.rubs,
            "stops": self.stops,
            "looks": self.looks,
            "foam_downs": self.foam_downs,
            "inside": int(
                np.sum(np.abs(seen - belief.left[: seen.size]) <= BAND * belief.doubt[: seen.size])
            ),
            "judged": int(seen.size),
        }
        dead = act not in (Act.DONE, Act.LEFT)
        return judged_run(self.foam, counts, self.metres, called_done=act is Act.DONE, dead=dead)


def care_of(runs: Sequence[Run]) -> Care:
    """Return the care for a job's runs."""
    return usual_care(runs[0].tolerance if runs else INCH / 32)
