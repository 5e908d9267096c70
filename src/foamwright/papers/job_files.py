"""Every paper of a job as files: the wall pack, the job sheet and the templates."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

from foamwright.papers.job_sheet import going_on_document, job_document
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.template_files import blank_block, signature_of, template_files
from foamwright.papers.templates_roll import Roll
from foamwright.papers.tiling import Paper
from foamwright.papers.wall import WALL, wall_document
from foamwright.planning.plan import Cuts, Plan
from foamwright.units import System

JOB_SHEET = "job-sheet.pdf"


class Pack(StrEnum):
    """What is printed for the rack: three sheets that hang, or these and the folder with every step."""

    WALL = "wall"
    FULL = "full"


@dataclass(frozen=True, slots=True)
class Prints:
    """Which sheets are printed, and on which roll the templates are (`None`: tiled)."""

    pack: Pack = Pack.WALL
    roll: Roll | None = None


def plan_files(
    plan: Plan, paper: Paper, system: System, prints: Prints | None = None, rider: str = ""
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
    prints
        Which sheets, and what the templates are printed on; the wall's and tiles where not given.
    rider
        Whom the board is for, by name.

    Returns
    -------
    dict
        ``wall.pdf``, with the full pack ``job-sheet.pdf``, and in the folder ``templates``
        each template as tiled PDF for `paper`, and in one piece as SVG and DXF.
    """
    named, prints = blank_block(plan), prints or Prints()
    signed = signature_of(plan)
    made = {WALL: pdf_bytes(replace(wall_document(plan, paper.pack, system, rider), signature=signed))}
    if prints.pack is Pack.FULL:
        sheets = job_document(plan, paper.pack, system, named)
        made[JOB_SHEET] = pdf_bytes(replace(sheets, signature=signed))
    return made | template_files(plan, paper, system, named, prints.roll)


def going_on_files(cuts: Cuts, paper: Paper, system: System) -> dict[str, bytes]:
    """Return the papers of a board that goes on from what is left of its blank, as `plan_files` does."""
    block = blank_block(cuts)
    document = going_on_document(cuts, paper.pack, system, block)
    sheet = pdf_bytes(replace(document, signature=signature_of(cuts)))
    return {JOB_SHEET: sheet, **template_files(cuts, paper, system, block)}
