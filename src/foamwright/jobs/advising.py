"""Advice for a job as it stands."""

from __future__ import annotations

from pathlib import Path

from foamwright.bench.advice import Advice, advise
from foamwright.errors import InputError, Problem
from foamwright.files import write_atomically
from foamwright.jobs.bench_job import BenchJob
from foamwright.jobs.job_sheets import refuse_job_file, refuse_other_file


def advise_job(job: BenchJob) -> Advice:
    """Return the next step, what is left, and what is too deep."""
    return advise(job.bench(job.store.entries()), job.stations)


def plot_job(job: BenchJob, path: Path) -> None:
    """Write a picture (SVG) of what is left along the board, as planned and as known, with its doubt.

    Raises
    ------
    InputError
        The name does not end in ``.svg``, a file that is no picture lies there, or the place cannot be
        written to.
    """
    from foamwright.papers.as_is_plot import as_is_sheet
    from foamwright.papers.svg import svg_bytes

    refuse_job_file(path)
    if path.suffix.lower() != ".svg":
        raise InputError(
            Problem(
                f"--plot {path.name}",
                "the picture is written as SVG.",
                f"Name it {path.with_suffix('.svg').name}.",
            )
        )
    refuse_other_file(path, "a picture (SVG)", lambda content: content.lstrip().startswith(b"<"))
    found = job.as_is(job.store.entries())
    write_atomically(path, svg_bytes(as_is_sheet(found, job.plan.length, job.system), "The board as it is"))
