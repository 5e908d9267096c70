"""Picking a blank: every blank of a stock for a board, best first, or why it fails."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import TypeVar

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import read_bay
from foamwright.blank.blank import Blank, blank_of
from foamwright.blank.numbers import BlankNumbers
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
    workshop = attempt(problems, lambda: _workshop(bay, numbers))
    if problems or made is None or workshop is None:
        raise InputError(problems)
    return Job(made, tuple(blank for blank in blanks if blank is not None), workshop)


def _workshop(bay: Path | None, stock: Sequence[BlankNumbers]) -> Bay:
    """Return the bay of a sheet, or the usual one; its labour and the stock's prices are in one currency."""
    currencies = {blank.currency for blank in stock}
    if bay is None:
        usual = Bay()
        return replace(usual, prices=replace(usual.prices, currency=min(currencies, default="EUR")))
    read = read_bay(bay)
    if currencies - {read.prices.currency}:
        raise InputError(
            Problem(
                f"{bay.name}, [prices]",
                f"Labour is priced in {read.prices.currency}, the stock in {', '.join(sorted(currencies))}.",
                "Give both in one currency: labour_hour and currency stand under [prices].",
            )
        )
    return read


def pick_job(job: Job) -> Survey:
    """Return every blank of the job's stock with its best lay, best first, or why it fails."""
    return survey_of(job.board, job.blanks, job.bay)
