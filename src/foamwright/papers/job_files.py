"""Every paper of a job as files: the job sheet and the templates."""

from __future__ import annotations

from foamwright.papers.job_sheet import going_on_document, job_document
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.template_files import blank_block, template_files
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.planning.plan import Cuts, Plan
from foamwright.units import System

JOB_SHEET = "job-sheet.pdf"


def plan_files(plan: Plan, paper: Paper, system: System, block: TitleBlock | None = None) -> dict[str, bytes]:
    """Return the papers of a plan, file name to bytes.

    Parameters
    ----------
    plan
        The plan.
    paper
        What is printed on.
    system
        Inches or millimetres.
    block
        Job and date for the title blocks; left blank to write if not given.

    Returns
    -------
    dict
        ``job-sheet.pdf``, and in the folder ``templates`` each template as tiled PDF for `paper`, and in
        one piece as SVG and DXF.
    """
    named = block or blank_block(plan)
    sheet = pdf_bytes(job_document(plan, paper, system, named))
    return {JOB_SHEET: sheet, **template_files(plan, paper, system, named)}


def going_on_files(cuts: Cuts, paper: Paper, system: System) -> dict[str, bytes]:
    """Return the papers of a board that goes on from what is left of its blank, as `plan_files` does."""
    block = blank_block(cuts)
    sheet = pdf_bytes(going_on_document(cuts, paper, system, block))
    return {JOB_SHEET: sheet, **template_files(cuts, paper, system, block)}
