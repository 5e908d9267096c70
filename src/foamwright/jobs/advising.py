"""Advice for a job as it stands."""

from __future__ import annotations

from foamwright.bench.advice import Advice, advise
from foamwright.jobs.bench_job import BenchJob


def advise_job(job: BenchJob) -> Advice:
    """Return what is left, what to do next, what is done and what is too deep."""
    return advise(job.plan, job.as_is(job.store.entries()), job.stations)
