"""Picking a blank: every blank of a stock for a board, best first, or why it fails."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from foamwright.bay.bay import Bay
from foamwright.bay.sheet import read_bay
from foamwright.blank.blank import Blank, blanks_of
from foamwright.blank.numbers import BlankNumbers
from foamwright.blank.sheet import read_stock
from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.errors import InputError, Problem, attempt
from foamwright.lay.survey import Order, Survey
from foamwright.planning.build import survey_of


@dataclass(frozen=True, eq=False)
class Job:
    """A board, a stock and a bay, read and made solid."""

    board: Board
    blanks: tuple[Blank, ...]
    bay: Bay


def read_job(board: Path, stock: Path, bay: Path | None) -> Job:
    """Read the sheets of a job; every problem of every sheet is held by the one error raised.

    Parameters
    ----------
    board, stock, bay
        The sheets; without a bay the usual one.

    Raises
    ------
    InputError
        Anything in any of the sheets cannot stand.
    """
    problems: list[Problem] = []
    of_stock: list[Problem] = []
    numbers = attempt(of_stock, lambda: read_stock(stock)) or ()
    made = attempt(problems, lambda: board_of(read_board(board)))
    solid = attempt(of_stock, lambda: blanks_of(numbers))
    problems.extend(of_stock)
    workshop = attempt(problems, lambda: _workshop(bay, numbers))
    if problems or made is None or workshop is None or solid is None:
        raise InputError(problems)
    return Job(made, solid, workshop)


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


def pick_job(job: Job, order: Order | None = None) -> Survey:
    """Return every blank of the job's stock with its best lay, best first, or why it fails.

    Parameters
    ----------
    job
        What was read.
    order
        What the best is; ``None``: cost where prices are known, else minutes.
    """
    return survey_of(job.board, job.blanks, job.bay, order)
