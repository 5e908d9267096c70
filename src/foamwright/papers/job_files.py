"""Every paper of a job as files: the job sheet and the templates."""

from __future__ import annotations

from collections.abc import Callable

from foamwright.papers.job_sheet import going_on_document, job_document
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.templates import Wording
from foamwright.papers.templates_wanted import TemplatesWanted
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.planning.plan import Cuts, Known, Plan
from foamwright.units import System

JOB_SHEET = "job-sheet.pdf"


def plan_files(
    plan: Plan,
    paper: Paper,
    system: System,
    block: TitleBlock | None = None,
    others: Callable[[], dict[str, bytes]] | None = None,
) -> dict[str, bytes]:
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
    others
        Gives the papers beside the job sheet where they were begun before; the templates if not given.

    Returns
    -------
    dict
        ``job-sheet.pdf`` and the others: in the folder ``templates`` each template as tiled PDF for
        `paper`, and in one piece as SVG and DXF.
    """
    named = block or blank_block(plan)
    sheet = pdf_bytes(job_document(plan, paper, system, named))
    return {JOB_SHEET: sheet, **(others or templates_wanted(plan, paper, system, named).files)()}


def going_on_files(cuts: Cuts, paper: Paper, system: System) -> dict[str, bytes]:
    """Return the papers of a board that goes on from what is left of its blank, as `plan_files` does."""
    block = blank_block(cuts)
    sheet = pdf_bytes(going_on_document(cuts, paper, system, block))
    return {JOB_SHEET: sheet, **templates_wanted(cuts, paper, system, block).files()}


def templates_wanted(
    plan: Known, paper: Paper, system: System, block: TitleBlock | None = None
) -> TemplatesWanted:
    """Return what the templates are made from: all is known once the blank is chosen."""
    wording = Wording(system, plan.bay.tape.fraction)
    return TemplatesWanted(plan.board, plan.stations, block or blank_block(plan), wording, paper)


def blank_block(plan: Known) -> TitleBlock:
    """Return the title block with job and date left blank to write: papers add no date of their own."""
    return TitleBlock("", job=" ", board=plan.board.name, blank=plan.blank.id, date=" ")
