"""The job sheet of a job of the shop, from the sheets that it was planned with."""

from __future__ import annotations

import json

import numpy as np

from foamwright.errors import NoAnswerError
from foamwright.jobs.live_planning import Offer, PlanWish, Wanted, code_of, plan_at
from foamwright.planning.plan import Plan
from foamwright.shop.tables import JobRow
from foamwright.units import System

SAME = 1e-6
"""Metres within which a plan made again is the plan that the bench works by."""


def plan_again(job: JobRow, system: System) -> Plan:
    """Return the plan of a job, made again from its board, its blank, its bay and its slide.

    Raises
    ------
    NoAnswerError
        It has none, the plan came without its sheets, or it comes out otherwise than the bench's.
    InputError
        A sheet cannot stand.
    """
    if not (job.plan and job.board_sheet and job.blank_sheet):
        raise NoAnswerError("This job has no plan yet that was made from its board and its blank.")
    kept = json.loads(job.plan)
    offer = Offer(job.blank_sheet, 1)
    wanted = Wanted(job.board_sheet, system, job.bay_sheet)
    made = plan_at(PlanWish(wanted, (offer,), code_of(offer), float(kept["lay"]["slide_m"])))
    if not _is_same(made, kept):
        raise NoAnswerError(
            "Board, blank or bay of this job are no longer those that its bench works by, or another "
            "foamwright made its plan. Give it its plan again, then print the job sheet."
        )
    return made


def job_sheet_of(job: JobRow, system: System, address: str) -> bytes:
    """Return a job's sheet as PDF, on letter paper for inches and on A4 for millimetres.

    Parameters
    ----------
    job
        The job.
    system
        Inches or millimetres.
    address
        Of its bench, for a tablet to read; empty: no code.

    Raises
    ------
    NoAnswerError, InputError
        As `plan_again`.
    """
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.papers.job_sheet import job_document
    from foamwright.papers.pdf import pdf_bytes
    from foamwright.papers.tiling import Paper
    from foamwright.papers.titleblock import TitleBlock

    plan = plan_again(job, system)
    name = f"{job.id}: {job.title}"
    block = TitleBlock("", job=name, board=plan.board.name, blank=plan.blank.id, date=" ")
    paper = Paper.LETTER if system is System.INCH else Paper.A4
    return pdf_bytes(job_document(plan, paper, system, block, address))


def templates_of(job: JobRow, system: System) -> dict[str, bytes]:
    """Return a job's full-size templates, file name to bytes: tiled PDF, SVG and DXF.

    Raises
    ------
    NoAnswerError, InputError
        As `plan_again`.
    """
    from foamwright.papers.template_files import template_files
    from foamwright.papers.tiling import Paper

    paper = Paper.LETTER if system is System.INCH else Paper.A4
    return template_files(plan_again(job, system), paper, system)


def after_sheet_of(job: JobRow, rider: str, system: System) -> bytes:
    """Return the pages of fins and glassing of a job's board as PDF, for the usual materials.

    Parameters
    ----------
    job
        The job.
    rider
        Text of its rider's sheet, who then lies on the board on a page of the water; empty: no such page.
    system
        Inches or millimetres.

    Raises
    ------
    NoAnswerError, InputError
        As `plan_again`; also where a fin box lies outside the outline.
    """
    from foamwright.jobs.after_foam import AfterSheets, after_files_of
    from foamwright.jobs.finish import AFTER_SHEET
    from foamwright.sheets.rider import rider_from_text

    paper = "letter" if system is System.INCH else "a4"
    sheets = AfterSheets(rider=rider_from_text(rider, "rider.toml") if rider else None)
    return after_files_of(plan_again(job, system), sheets, paper, system)[AFTER_SHEET]


def _is_same(made: Plan, kept: object) -> bool:
    """Whether every stage of two plans lies at the same heights."""
    ours, theirs = made.as_json(), kept
    assert isinstance(theirs, dict)
    stages = zip(_stages(ours), _stages(theirs), strict=True)
    return all(one.shape == other.shape and float(np.abs(one - other).max()) <= SAME for one, other in stages)


def _stages(document: dict[str, object]) -> list[np.ndarray]:
    found = document.get("stages")
    assert isinstance(found, list)
    return [np.array([stage["x_m"], stage["bottom_m"], stage["deck_m"]]) for stage in found]
