"""The plan of a job of the shop, from the sheets that the job took."""

from __future__ import annotations

from foamwright.bay.bay import Bay
from foamwright.blank.blank import blank_of
from foamwright.blank.sheet import stock_from_text
from foamwright.board.board import board_of
from foamwright.board.sheet import board_from_text
from foamwright.documents import json_bytes
from foamwright.jobs.bench_steps import step_wishes
from foamwright.jobs.picking import Job
from foamwright.jobs.planning import plan_job
from foamwright.shop.plans import StepWish
from foamwright.units import System


def plan_of_sheets(board_sheet: str, blank_sheet: str, system: System) -> tuple[str, tuple[StepWish, ...]]:
    """Return the plan's document and its steps, for the blank that the job took, in the usual bay.

    Raises
    ------
    InputError
        A sheet cannot stand.
    NoAnswerError
        The board does not lie in the blank; holds the reasons in words.
    """
    board = board_of(board_from_text(board_sheet, "board"))
    blanks = tuple(blank_of(numbers) for numbers in stock_from_text(blank_sheet, "blank"))
    plan = plan_job(Job(board, blanks, Bay()), None, system)
    return json_bytes(plan.as_json()).decode(), step_wishes(plan)
