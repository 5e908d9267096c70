"""Every paper of a job as files: the job sheet and the templates."""

from __future__ import annotations

from collections.abc import Sequence

from foamwright.papers.aside import Helper, TemplatesWanted, Wanted, begun
from foamwright.papers.job_sheet import job_document
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.plan_shapes import template_shapes
from foamwright.papers.templates import Wording
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.planning.plan import Plan
from foamwright.units import System

JOB_SHEET = "job-sheet.pdf"


def plan_files(
    plan: Plan,
    paper: Paper,
    system: System,
    block: TitleBlock | None = None,
    helper: Helper | None = None,
    more: Sequence[Wanted] = (),
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
    helper
        A second process for the templates, from `foamwright.papers.aside`; without one all is made here.
    more
        Papers to go with them.

    Returns
    -------
    dict
        ``job-sheet.pdf``, and in the folder ``templates`` each template as tiled PDF for `paper`, and in
        one piece as SVG and DXF; then what `more` makes.
    """
    named = block or blank_block(plan)
    wording = Wording(system, plan.bay.tape.fraction)
    wanted = TemplatesWanted(template_shapes(plan), named, wording, paper)
    others = begun([wanted, *more], helper)
    sheet = pdf_bytes(job_document(plan, paper, system, named))
    return {JOB_SHEET: sheet, **others()}


def blank_block(plan: Plan) -> TitleBlock:
    """Return the title block with job and date left blank to write: papers add no date of their own."""
    return TitleBlock("", job=" ", board=plan.board.name, blank=plan.blank.id, date=" ")
