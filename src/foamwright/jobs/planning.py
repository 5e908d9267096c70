"""Planning a job: from sheets to the plan and the papers."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from foamwright.documents import json_bytes
from foamwright.errors import InputError, NoAnswerError, Problem
from foamwright.files import write_folder_atomically
from foamwright.jobs.job_sheets import PLAN, GivenSheets, refuse_begun, sheets_of
from foamwright.jobs.picking import Job, pick_job
from foamwright.lay.choice import Choice
from foamwright.lay.report import why_lines
from foamwright.lay.survey import Survey
from foamwright.planning.build import build_plan
from foamwright.planning.plan import Plan
from foamwright.units import System

if TYPE_CHECKING:
    from foamwright.jobs.after_foam import AfterSheets


def plan_job(job: Job, blank_id: str | None, system: System) -> Plan:
    """Return the plan of a job in its best blank, or in the one named.

    Raises
    ------
    InputError
        No blank has the name given.
    NoAnswerError
        The board lies in no blank (or not in the one named); holds the reasons in words.
    """
    survey = pick_job(job)
    choice = _chosen(survey, job, blank_id, system)
    others = tuple(c for c in survey.choices if c is not choice)
    return build_plan(job.board, job.blanks, job.bay, choice, others, system)


def _chosen(survey: Survey, job: Job, blank_id: str | None, system: System) -> Choice:
    if blank_id is None:
        if survey.best is None:
            raise NoAnswerError(no_blank_words(survey, system))
        return survey.best
    try:
        choice = survey.of(blank_id)
    except KeyError:
        names = ", ".join(b.id for b in job.blanks)
        raise InputError(
            Problem("--blank", f"no blank of the stock is called “{blank_id}”.", f"The stock has: {names}.")
        ) from None
    if not choice.fits:
        raise NoAnswerError(no_blank_words(Survey((choice,)), system))
    return choice


def no_blank_words(survey: Survey, system: System) -> str:
    """Return, blank by blank, why the board lies in none of them."""
    lines = ["The board lies in none of these blanks:"]
    for choice in survey.choices:
        lines.extend([f"  {choice.id}", *(f"    {sentence}" for sentence in why_lines(choice, system))])
    return "\n".join(lines)


@dataclass(frozen=True, slots=True)
class Along:
    """What goes into a job's folder beside what its plan says.

    Attributes
    ----------
    after
        What the board is glassed with, and who rides it; as usual, and nobody, where not given.
    pack
        ``"wall"``: the sheets that hang; ``"full"``: the folder's job sheet too.
    roll
        ``"a1"``, ``"a0"``, ``"610"``, ``"914"``, ``"long"``: templates on one page; `None`: tiled.
    sheets
        The sheets that it was planned from.
    """

    after: AfterSheets | None = None
    pack: str = "wall"
    roll: str | None = None
    sheets: GivenSheets = field(default_factory=GivenSheets)


def write_papers(
    plan: Plan,
    folder: Path,
    paper: str,
    system: System,
    along: Along | None = None,
) -> tuple[Path, ...]:
    """Write plan.json, the job's sheets and the papers, all of them or none, and return their paths.

    Parameters
    ----------
    plan
        The plan.
    folder
        Where they go; made if it is not there.
    paper
        ``"a4"``, ``"letter"`` or ``"a3"`` (the templates; what is read comes on A4).
    system
        Inches or millimetres.
    along
        What the job was planned from, and what comes after the foam.

    Raises
    ------
    InputError
        The folder cannot be written to, a sheet that is not this job's lies there, or a fin box lies
        outside the outline.
    """
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.jobs.after_foam import AfterSheets, after_files_of
    from foamwright.papers.job_files import Pack, Prints, plan_files
    from foamwright.papers.job_index import INDEX, job_index
    from foamwright.papers.templates_roll import Roll
    from foamwright.papers.tiling import Paper

    along, planned = along or Along(), json_bytes(plan.as_json())
    refuse_begun(folder, planned)
    sheets = sheets_of(plan, along.sheets, folder, system)
    beside = along.after or AfterSheets()
    rider = beside.rider.name if beside.rider else ""
    size = Paper[paper.upper()]
    prints = Prints(Pack(along.pack), None if along.roll is None else Roll(along.roll))
    papers = plan_files(plan, size, system, prints, rider)
    after = after_files_of(plan, beside, size.pack.name.lower(), system)
    contents = {PLAN: planned, **sheets, **papers, **after}
    contents[INDEX] = job_index(plan, system, tuple(contents))
    write_folder_atomically(folder, contents)
    return tuple(folder / name for name in contents)
