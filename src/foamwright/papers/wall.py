"""The wall pack: three sheets that hang in front of the rack, complete for the work by hand."""

from __future__ import annotations

from foamwright.papers.drawing import Document
from foamwright.papers.job_base import PlannedJob
from foamwright.papers.job_page import ground_for
from foamwright.papers.job_words import figures_of
from foamwright.papers.tiling import Paper
from foamwright.papers.wall_depths import depths_sheet
from foamwright.papers.wall_finish import finish_sheet
from foamwright.papers.wall_frame import hung, wall_page
from foamwright.papers.wall_marks import marks_sheet
from foamwright.papers.wall_planer import planer_sheet
from foamwright.planning.plan import Plan
from foamwright.units import System

WALL = "wall.pdf"

SAFETY = (
    "Respirator, glasses and extraction on before the first stroke. Irons and saws cut. "
    "Nobody stands at the tip. Stop when tired or unsure. Local rules and the makers' sheets come first."
)
POLYURETHANE = "Polyurethane: never heated, hot-wired or burnt, its fumes poison. "


def wall_document(plan: Plan, paper: Paper, system: System, rider: str = "") -> Document:
    """Return the three sheets of a plan; a fourth where the bay has a power planer.

    Parameters
    ----------
    plan
        The plan.
    paper
        What they are printed on, across.
    system
        Inches or millimetres.
    rider
        Whom the board is for; empty: a line to write on.

    Returns
    -------
    Document
        The board and its marks; depths with hand tools; bottom, rails and finish.
    """
    job = PlannedJob(plan, figures_of(plan.bay, system), ground_for(paper))
    page = wall_page(paper)
    safety = (POLYURETHANE if plan.polyurethane else "") + SAFETY
    power = (planer_sheet(job, page),) if plan.ladders else ()
    sheets = (marks_sheet(job, page, rider), depths_sheet(job, page), *power, finish_sheet(job, page))
    name = f"{plan.board.name}, {job.figures.board_length(plan.board.length)}"
    return Document(
        f"{plan.board.name}: wall pack",
        tuple(hung(sheet, page, name, safety) for sheet in sheets),
        "Sheets that hang in front of the rack",
    )
