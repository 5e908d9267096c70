"""Picking a blank: every blank of a stock for a board, best first, or why it fails."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TypeVar

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import read_bay
from foamwright.blank.blank import Blank, blank_of
from foamwright.blank.sheet import read_stock
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.errors import InputError, Problem, attempt
from foamwright.lay.survey import Survey
from foamwright.planning.build import survey_of

T = TypeVar("T")


@dataclass(frozen=True, eq=False)
class Job:
    """A board, a stock and a bay, read and made solid."""

    board: Board
    blanks: tuple[Blank, ...]
    bay: Bay


def read_job(board: Path, stock: Path, bay: Path | None) -> Job:
    """Read the sheets of a job; every problem of every sheet is held by the one error raised.

    Raises
    ------
    InputError
        Anything in any of the sheets cannot stand.
    """
    problems: list[Problem] = []
    made = attempt(problems, lambda: board_of(read_board(board)))
    numbers = attempt(problems, lambda: read_stock(stock)) or ()
    blanks = [attempt(problems, partial(blank_of, one)) for one in numbers]
    workshop = Bay() if bay is None else attempt(problems, lambda: read_bay(bay))
    if problems or made is None or workshop is None:
        raise InputError(problems)
    return Job(made, tuple(blank for blank in blanks if blank is not None), workshop)


def pick_job(job: Job) -> Survey:
    """Return every blank of the job's stock with its best lay, best first, or why it fails."""
    return survey_of(job.board, job.blanks, job.bay)
