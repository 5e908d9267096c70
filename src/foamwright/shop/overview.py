"""Every open job at a glance: stage, last reading, what is questioned, how long nothing has happened."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.kinds import JobState, ReadingState, StepState
from foamwright.shop.tables import JobRow, ReadingRow, StepRow

LONG_WAIT = timedelta(minutes=20)
"""Common practice, no source: about as long as one stage takes a beginner."""


@dataclass(frozen=True, slots=True)
class Glance:
    """A job at a glance.

    Attributes
    ----------
    job
        Its row.
    last
        Its last reading, if there is one.
    questioned
        How many readings wait for somebody to look at them.
    steps, done
        How many steps its plan has, and how many are done.
    quiet_since
        When something last happened.
    waits_long
        Whether it was started and nothing has happened for `LONG_WAIT`.
    """

    job: JobRow
    last: ReadingRow | None
    questioned: int
    steps: int
    done: int
    quiet_since: datetime
    waits_long: bool


def glance_at(session: Session, now: datetime) -> Sequence[Glance]:
    """Return every job that is not in the archive, at a glance, in the order of their numbers."""
    jobs = session.scalars(select(JobRow).where(JobRow.archived_at.is_(None)).order_by(JobRow.id)).all()
    last, questioned, steps = _last_readings(session), _questioned(session), _steps(session)
    return [
        Glance(
            job,
            last.get(job.id),
            questioned.get(job.id, 0),
            *steps.get(job.id, (0, 0)),
            job.changed_at,
            job.state == JobState.STARTED and now - job.changed_at > LONG_WAIT,
        )
        for job in jobs
    ]


def _last_readings(session: Session) -> dict[int, ReadingRow]:
    newest = select(func.max(ReadingRow.id)).join(JobRow, JobRow.id == ReadingRow.job_id)
    ids = newest.where(JobRow.archived_at.is_(None)).group_by(ReadingRow.job_id)
    rows = session.scalars(select(ReadingRow).where(ReadingRow.id.in_(ids)))
    return {row.job_id: row for row in rows}


def _questioned(session: Session) -> dict[int, int]:
    waiting = select(ReadingRow.job_id, func.count()).where(ReadingRow.state == ReadingState.QUESTIONED.value)
    return {job: int(count) for job, count in session.execute(waiting.group_by(ReadingRow.job_id))}


def _steps(session: Session) -> dict[int, tuple[int, int]]:
    done = func.count().filter(StepRow.state == StepState.DONE.value)
    ours = (StepRow.job_id == JobRow.id) & (StepRow.plan_revision == JobRow.plan_revision)
    counted = select(StepRow.job_id, func.count(), done).join(JobRow, ours).group_by(StepRow.job_id)
    return {job: (int(steps), int(finished)) for job, steps, finished in session.execute(counted)}
