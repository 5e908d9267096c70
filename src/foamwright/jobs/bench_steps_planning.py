"""The plan of a job of the shop, from the sheets that the job took."""

from __future__ import annotations

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import bay_from_text
from foamwright.blank.blank import blank_of
from foamwright.blank.sheet import stock_from_text
from foamwright.documents import json_bytes
from foamwright.jobs.bench_steps import step_wishes
from foamwright.jobs.live_planning import Wanted, solid_board
from foamwright.jobs.picking import Job
from foamwright.jobs.planning import plan_job
from foamwright.shop.plans import StepWish
from foamwright.units import System


def bay_of_sheet(bay_sheet: str) -> Bay:
    """Return the bay of a sheet's text; an empty one is the usual bay.

    Raises
    ------
    InputError
        It cannot stand.
    """
    return bay_from_text(bay_sheet, "bay") if bay_sheet else Bay()


def plan_of_sheets(
    board_sheet: str, blank_sheet: str, bay_sheet: str, system: System
) -> tuple[str, tuple[StepWish, ...]]:
    """Return the plan's document and its steps, for the blank that the job took.

    Raises
    ------
    InputError
        A sheet cannot stand.
    NoAnswerError
        The board does not lie in the blank; holds the reasons in words.
    """
    # As the planning page does, so that a sheet of very many stations is refused in time.
    board = solid_board(Wanted(board_sheet, system, bay_sheet))
    blanks = tuple(blank_of(numbers) for numbers in stock_from_text(blank_sheet, "blank"))
    plan = plan_job(Job(board, blanks, bay_of_sheet(bay_sheet)), None, system)
    return json_bytes(plan.as_json()).decode(), step_wishes(plan)
