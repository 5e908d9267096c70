"""What happened, in order: read by people, and followed by live pages."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.tables import HistoryRow

MOST_AT_ONCE = 500


def last_number(session: Session) -> int:
    """Return the number of the last thing that happened; 0 if nothing did."""
    return int(session.scalar(select(func.max(HistoryRow.id))) or 0)


def happened_since(session: Session, number: int, job: int | None = None) -> Sequence[HistoryRow]:
    """Return what happened after `number`, in order, at most `MOST_AT_ONCE`; of one job, or of all."""
    later = select(HistoryRow).where(HistoryRow.id > number)
    if job is not None:
        later = later.where(HistoryRow.job_id == job)
    return session.scalars(later.order_by(HistoryRow.id).limit(MOST_AT_ONCE)).all()


def history_of(session: Session, job: int) -> Sequence[HistoryRow]:
    """Return a job's history, last first."""
    ours = select(HistoryRow).where(HistoryRow.job_id == job)
    return session.scalars(ours.order_by(HistoryRow.id.desc()).limit(MOST_AT_ONCE)).all()
