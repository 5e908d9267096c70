"""The pages of rocker and foil: marks, then the run-offs to nose and tail."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.papers.job_base import Job, cut_of
from foamwright.papers.job_howto import Step
from foamwright.papers.job_page import Headed
from foamwright.papers.job_stage import mark_rows, stage_page
from foamwright.papers.job_strokes import run_pages
from foamwright.stages.solids import StageName


def rocker_pages(job: Job) -> list[Headed]:
    """Return the pages of the rocker."""
    rows = mark_rows(job, StageName.ROCKER, Face.BOTTOM)
    cut = cut_of(job, StageName.ROCKER, (Face.BOTTOM,))
    return [stage_page(job, Step.ROCKER, cut, list(rows.values())), *_runs(job, Step.ROCKER)]


def foil_pages(job: Job) -> list[Headed]:
    """Return the pages of the foil; its bottom is done, so there is no new level line to check."""
    rows = mark_rows(job, StageName.FOIL, Face.DECK)
    cut = cut_of(job, StageName.FOIL, (Face.DECK,))
    kept = [rows[name] for name in ("off", "before", "thick", "read")]
    return [stage_page(job, Step.FOIL, cut, kept), *_runs(job, Step.FOIL)]


def _runs(job: Job, step: Step) -> list[Headed]:
    return [page for run in job.plan.runs if run.stage == step.value for page in run_pages(job, run)]
