"""What a job is found by: its title, rider, board, blank and note, in small letters."""

from __future__ import annotations

from sqlalchemy import ColumnElement, select
from sqlalchemy.orm import Session

from foamwright.shop.tables import BoardRow, JobRow, Person, StockBlank
from foamwright.shop.texts import folded


def refresh_search(session: Session, job: JobRow) -> None:
    """Write down anew what a job is found by.

    Both databases fold letters their own way (SQLite only ASCII's), so it is done here for both.
    """
    rider = session.get(Person, job.rider_id) if job.rider_id else None
    board = session.get(BoardRow, job.board_id) if job.board_id else None
    blank = session.get(StockBlank, job.blank_id) if job.blank_id else None
    job.search = folded(
        job.title,
        rider.name if rider else "",
        board.name if board else "",
        blank.code if blank else "",
        job.note,
    )


def refresh_jobs_of(session: Session, which: ColumnElement[bool]) -> None:
    """Write down anew what some jobs are found by, after a name in them has changed."""
    for job in session.scalars(select(JobRow).where(which)):
        refresh_search(session, job)
