"""The job sheet: a plan as pages that a beginner can follow at the rack."""

from __future__ import annotations

from collections.abc import Sequence

from foamwright.papers.drawing import Document
from foamwright.papers.job_base import Job, PlannedJob
from foamwright.papers.job_choice import choice_page
from foamwright.papers.job_contours import contour_pages
from foamwright.papers.job_finish import finish_page, log_page
from foamwright.papers.job_foil import foil_pages, rocker_pages
from foamwright.papers.job_howto import Step
from foamwright.papers.job_order import order_page
from foamwright.papers.job_outline import outline_page
from foamwright.papers.job_overview import overview_page
from foamwright.papers.job_page import Headed, ground_for
from foamwright.papers.job_rails import rail_pages
from foamwright.papers.job_thickness import thickness_pages
from foamwright.papers.job_words import figures_of
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.planning.plan import Cuts, Plan
from foamwright.stages.solids import StageName
from foamwright.units import System

_LEADING = 3
"""Sheets before those of the first step."""


def job_document(plan: Plan, paper: Paper, system: System, block: TitleBlock, bench: str = "") -> Document:
    """Return the job sheet of a plan.

    Parameters
    ----------
    plan
        The plan.
    paper
        What it is printed on, landscape.
    system
        Inches or millimetres.
    block
        Whose it is: job, board, blank, date; each sheet adds its name, scale and number.
    bench
        Address of the job's bench in the app, for a code that a tablet reads; empty: no code.

    Returns
    -------
    Document
        Overview, order of the work, the choice explained, the pages of every step, a log for readings.
    """
    job = PlannedJob(plan, figures_of(plan.bay, system), ground_for(paper), bench)
    return _numbered(job, pages_of(job), block)


def going_on_document(cuts: Cuts, paper: Paper, system: System, block: TitleBlock) -> Document:
    """Return the job sheet of a board that goes on from what is left of its blank.

    Parameters
    ----------
    cuts
        The rest of the work.
    paper, system, block
        As `job_document` takes them.

    Returns
    -------
    Document
        The pages of every step that has something to do, and a log for readings.
    """
    job = Job(cuts, figures_of(cuts.bay, system), ground_for(paper))
    steps = step_pages(job)
    if _sawn(cuts):
        steps[Step.OUTLINE] = []
    pages = [*(page for pages in steps.values() for page in pages), log_page(job)]
    return _numbered(job, pages, block)


def _sawn(cuts: Cuts) -> bool:
    """Whether the edge stands where it shall, as near as run-offs are held to their line."""
    blank, outline = cuts.chain.stage(StageName.BLANK), cuts.chain.stage(StageName.OUTLINE)
    return bool((blank.half_width - outline.half_width).max() <= cuts.bay.allowances.run_off)


def _numbered(job: Job, pages: Sequence[Headed], block: TitleBlock) -> Document:
    sheets = tuple(job.ground.sheet(page, block, n, len(pages)) for n, page in enumerate(pages, start=1))
    return Document(f"{job.plan.board.name}: job sheet", sheets, "How to shape it, step by step")


def pages_of(job: PlannedJob) -> list[Headed]:
    """Return every page in the order of the work, before they are numbered."""
    steps = step_pages(job)
    first = _LEADING + 1
    sheets: dict[Step, list[int]] = {}
    for step, pages in steps.items():
        sheets[step] = list(range(first, first + len(pages)))
        first += len(pages)
    lead = [overview_page(job), order_page(job, sheets), choice_page(job)]
    return [*lead, *(page for pages in steps.values() for page in pages), log_page(job)]


def _passes(job: Job) -> bool:
    return any(face.passes for face in job.plan.passes.values())


def step_pages(job: Job) -> dict[Step, list[Headed]]:
    """Return the pages of every step, in order; a step with nothing to do has none."""
    return {
        Step.OUTLINE: [outline_page(job)],
        # Where no pass takes anything the rocker and the foil take it all, and there is no such step.
        Step.THICKNESS: thickness_pages(job) if _passes(job) else [],
        Step.ROCKER: rocker_pages(job),
        Step.FOIL: foil_pages(job),
        Step.CONTOURS: contour_pages(job),
        Step.RAILS: rail_pages(job),
        Step.FINISH: [finish_page(job)],
    }
