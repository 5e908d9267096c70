"""Every paper of a job as files: the job sheet and the templates."""

from __future__ import annotations

from dataclasses import replace

from foamwright.papers.job_sheet import job_document
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.plan_shapes import template_shapes
from foamwright.papers.templates import (
    Template,
    Wording,
    files_of,
    outline_template,
    rocker_template,
    section_template,
)
from foamwright.papers.tiling import Paper
from foamwright.papers.titleblock import TitleBlock
from foamwright.planning.plan import Plan
from foamwright.units import System

JOB_SHEET = "job-sheet.pdf"
TEMPLATES = "templates"


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
    files = {JOB_SHEET: sheet}
    for template in _templates(plan, system, named):
        chosen = replace(template, pages={paper: template.pages[paper]})
        files |= {f"{TEMPLATES}/{name}": content for name, content in files_of(chosen).items()}
    return files


def blank_block(plan: Plan) -> TitleBlock:
    """Return the title block with job and date left blank to write: papers add no date of their own."""
    return TitleBlock("", job=" ", board=plan.board.name, blank=plan.blank.id, date=" ")


def _templates(plan: Plan, system: System, block: TitleBlock) -> list[Template]:
    shapes, wording = template_shapes(plan), Wording(system, plan.bay.tape.fraction)
    makers = [outline_template, rocker_template, section_template]
    return [make(shapes, block, wording) for make in makers]
