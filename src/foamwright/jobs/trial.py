"""Apprentice trials on the demo's short board, or on any planned job."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from foamwright.bench.course import Course, course_of
from foamwright.bench.store import FolderStore
from foamwright.bench.trials import Progress, TrialResult, TrialSettings, run_trial
from foamwright.demo import demo_path
from foamwright.jobs.picking import read_job
from foamwright.jobs.planning import plan_job
from foamwright.units import System

BOARD = "groyne"
"""The demo board that is tried on."""


def trial_courses(job: Path | None) -> tuple[Course, ...]:
    """Return the run-offs that are tried: those of a job's folder, or of the demo's board.

    Raises
    ------
    InputError
        The folder is no job.
    """
    if job is not None:
        return tuple(run.course() for run in FolderStore(job).plan().runs)
    sheets = (f"{BOARD}.board.toml", "harbour.stock.toml", "harbour.bay.toml")
    board, stock, bay = (demo_path(name) for name in sheets)
    plan = plan_job(read_job(board, stock, bay), None, System.INCH)
    return tuple(course_of(run) for run in plan.runs)


def try_apprentices(
    courses: Sequence[Course], settings: TrialSettings, resume: Path | None, progress: Progress | None
) -> TrialResult:
    """Return how simulated shapers came out with the advice and with both baselines."""
    return run_trial(courses, settings, resume, progress)
