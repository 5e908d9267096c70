"""Apprentice trials: many simulated shapers do the very steps of the bench, or of the papers."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from enum import StrEnum

from foamwright.bench.face_step import usual_care
from foamwright.bench.paper_job import do_job_on_paper
from foamwright.bench.shaper import Errors
from foamwright.bench.trial_job import do_job
from foamwright.bench.trial_outcome import JobOutcome
from foamwright.cuts.run import Run
from foamwright.errors import InputError, Problem
from foamwright.units import INCH

CHUNK = 20
"""Shapers done between two notes of progress."""

COARSEST_ON_PAPER = INCH / 32
"""Coarsest mark at which the papers' rule keeps its promise (docs/bench.md): a tape read to 1/16 does not."""

Progress = Callable[[int], None]
"""Told how many shapers are done."""

RunsOf = Callable[[int], Sequence[Run]]
"""The runs of a shaper's job, by the shaper's number."""


class Flow(StrEnum):
    """Whose steps are done."""

    STEPS = "steps"
    PAPERS = "papers"


@dataclass(frozen=True, slots=True)
class TrialSettings:
    """What is tried.

    Attributes
    ----------
    shapers, seed
        How many, and from which seed; shaper `k` is the same whatever their number.
    workers
        Threads.
    flow
        The bench's steps, or the papers alone.
    errors
        What goes wrong.
    """

    shapers: int = 400
    seed: int = 1
    workers: int = 2
    flow: Flow = Flow.STEPS
    errors: Errors = field(default_factory=Errors)


def run_trial(runs_of: RunsOf, settings: TrialSettings, progress: Progress | None = None) -> list[JobOutcome]:
    """Return how the shapers' jobs came out, in order.

    Parameters
    ----------
    runs_of
        The runs of each shaper's job.
    settings
        What is tried.
    progress
        Told after every chunk.

    Raises
    ------
    InputError
        The papers' rule is to be followed with a tape that is too coarse for it.
    """
    if settings.flow is Flow.PAPERS:
        require_fine(settings.errors.step)
    outcomes: list[JobOutcome] = []
    with ThreadPoolExecutor(settings.workers) as pool:
        for chunk in _chunks(settings.shapers):
            outcomes += pool.map(lambda k: _outcome(runs_of(k), settings, k), chunk)
            if progress is not None:
                progress(len(outcomes))
    return outcomes


def require_fine(step: float) -> None:
    """Raise where the papers' readings would be too coarse for their promise.

    Raises
    ------
    InputError
        Says why, and what to read with.
    """
    if step > COARSEST_ON_PAPER + 1e-9:
        raise InputError(
            Problem(
                "--gauge",
                "Read to 1/16 in, a quarter of the runs go more than 1/16 in too deep by the papers' rule.",
                "Read these stops with a gauge to 1/64 in (calipers), or follow the bench.",
            )
        )


def _outcome(runs: Sequence[Run], settings: TrialSettings, number: int) -> JobOutcome:
    key = (settings.seed, number)
    if settings.flow is Flow.PAPERS:
        return do_job_on_paper(runs, settings.errors, key)
    return do_job(runs, settings.errors, usual_care(runs[0].tolerance), key)


def _chunks(count: int) -> Iterator[range]:
    for start in range(0, count, CHUNK):
        yield range(start, min(count, start + CHUNK))
