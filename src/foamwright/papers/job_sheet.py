"""The job sheet: a plan as pages that a beginner can follow at the rack."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.papers.drawing import Document
from foamwright.papers.job_howto import Step
from foamwright.papers.job_page import Headed, ground_for
from foamwright.papers.job_stage import Job, cut_of, mark_rows, stage_page
from foamwright.papers.job_words import figures_of
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.planning.plan import Plan
from foamwright.stages.solids import StageName
from foamwright.units import System


def job_document(plan: Plan, paper: Paper, system: System, block: TitleBlock | None = None) -> Document:
    """Return the job sheet of a plan."""
    job = Job(plan, figures_of(plan.bay, system), ground_for(paper))
    pages = pages_of(job)
    named = block or TitleBlock("", job=" ", board=plan.board.name, blank=plan.blank.id, date=" ")
    sheets = tuple(job.ground.sheet(page, named, n, len(pages)) for n, page in enumerate(pages, start=1))
    return Document(f"{plan.board.name}: job sheet", sheets, "How to shape it, step by step")


def pages_of(job: Job) -> list[Headed]:
    rows = mark_rows(job, StageName.ROCKER, Face.BOTTOM)
    page = stage_page(job, Step.ROCKER, cut_of(job, StageName.ROCKER, (Face.BOTTOM,)), list(rows.values()))
    return [page]
