"""The plan of a job as it is kept, its steps, and the strokes made at each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.courses import require_brief
from foamwright.shop.database import Work
from foamwright.shop.jobs import require_open
from foamwright.shop.kinds import Event, JobState, StepState
from foamwright.shop.rows import require_fresh, require_row
from foamwright.shop.searching import refresh_search
from foamwright.shop.tables import JobRow, StepRow, StrokesRow
from foamwright.shop.told import UnknownError, told


@dataclass(frozen=True, slots=True)
class StepWish:
    """One step as the planner lays it down; `detail` is what its page needs, plain values."""

    stage: str
    kind: str
    strokes_planned: int
    detail: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class StrokesWish:
    """Strokes made at a step, as a tablet tells them."""

    client_id: str
    step: int
    count: int
    tablet_at: datetime


@dataclass(frozen=True, slots=True)
class StrokesOutcome:
    """What became of a batch: ids stored now (new or known), ids of steps that the plan does not have."""

    stored: tuple[str, ...]
    refused: tuple[str, ...]


def put_plan(
    work: Work, number: int, revision: int, plan: str, steps: Sequence[StepWish], bay_sheet: str = ""
) -> JobRow:
    """Give a job its plan; an earlier plan's steps and strokes stay, under their own plan's number.

    Parameters
    ----------
    work
        The piece of work.
    number, revision
        The job, and the revision of it that the plan was made from.
    plan
        The plan's document, kept letter for letter.
    steps
        Its steps in order.
    bay_sheet
        The bay that it was planned with: its bench goes on with that one. Empty: the usual bay.

    Raises
    ------
    ConflictError
        Somebody changed the job meanwhile, or it is in the archive.
    """
    job = require_open(work.session, number)
    require_fresh(job, revision)
    job.plan, job.plan_revision, job.bay_sheet = plan, job.plan_revision + 1, bay_sheet
    job.state = JobState.PLANNED.value
    job.revision += 1
    job.changed_at = work.now
    work.session.add_all(_step(work, job, place, step) for place, step in enumerate(steps, start=1))
    refresh_search(work.session, job)
    work.tell(Event.JOB_PLAN, job.id, plan_revision=job.plan_revision, steps=len(steps))
    return job


def steps_of(session: Session, job: JobRow) -> Sequence[StepRow]:
    """Return the steps of a job's present plan, in order."""
    ours = (StepRow.job_id == job.id, StepRow.plan_revision == job.plan_revision)
    return session.scalars(select(StepRow).where(*ours).order_by(StepRow.number)).all()


def stages_planned(session: Session, job: JobRow) -> frozenset[str]:
    """Return the stages of a job's plans, the present one and those before it; none without a plan."""
    return frozenset(session.scalars(select(StepRow.stage).where(StepRow.job_id == job.id).distinct()))


def strokes_made(session: Session, job: JobRow) -> dict[int, int]:
    """Return how many strokes were made at each step of the present plan."""
    ours = (StrokesRow.job_id == job.id, StrokesRow.plan_revision == job.plan_revision)
    made = select(StrokesRow.step, func.sum(StrokesRow.count)).where(*ours).group_by(StrokesRow.step)
    return {step: int(count) for step, count in session.execute(made)}


def set_step(work: Work, number: int, step: int, state: StepState) -> StepRow:
    """Write down where a step of a job's present plan stands; the job's stage follows it.

    Raises
    ------
    UnknownError
        There is no such job, or its plan has no such step.
    """
    job = require_open(work.session, number)
    row = require_step(work.session, job, step)
    if row.state == state.value:
        return row
    require_brief(work.session, number)
    row.state, row.changed_at = state.value, work.now
    job.stage, job.changed_at = row.stage, work.now
    if job.state == JobState.PLANNED.value:
        job.state = JobState.STARTED.value
    work.tell(Event.STEP_CHANGED, job.id, step=step, stage=row.stage, state=row.state)
    return row


def store_strokes(work: Work, number: int, plan_revision: int, sent: Sequence[StrokesWish]) -> StrokesOutcome:
    """Store strokes that a tablet tells of; those of an earlier plan go under that plan's number.

    An archived job's strokes are stored too: a tablet that was away comes late, and loses nothing.

    Raises
    ------
    UnknownError
        There is no such job.
    """
    job = require_row(work.session, JobRow, number)
    require_brief(work.session, number)
    known = _known_strokes(work.session, [one.client_id for one in sent])
    steps = _step_numbers(work.session, number, plan_revision)
    stored, refused = [], []
    for one in sent:
        if one.client_id not in known and one.step not in steps:
            refused.append(one.client_id)
            continue
        if one.client_id not in known:
            known.add(one.client_id)
            work.session.add(_strokes(work, number, plan_revision, one))
            work.tell(Event.STROKES, number, step=one.step, count=one.count, plan_revision=plan_revision)
            job.changed_at = work.now
        stored.append(one.client_id)
    return StrokesOutcome(tuple(dict.fromkeys(stored)), tuple(dict.fromkeys(refused)))


def require_step(session: Session, job: JobRow, step: int) -> StepRow:
    """Return a step of a job's present plan.

    Raises
    ------
    UnknownError
        The plan has no such step.
    """
    row = session.get(StepRow, (job.id, job.plan_revision, step))
    if row is None:
        raise UnknownError(told("step", "unknown-step", step=step))
    return row


def _step(work: Work, job: JobRow, place: int, step: StepWish) -> StepRow:
    return StepRow(
        job_id=job.id,
        plan_revision=job.plan_revision,
        number=place,
        stage=step.stage,
        kind=step.kind,
        strokes_planned=step.strokes_planned,
        detail=dict(step.detail),
        changed_at=work.now,
    )


def _step_numbers(session: Session, number: int, plan_revision: int) -> set[int]:
    theirs = (StepRow.job_id == number, StepRow.plan_revision == plan_revision)
    return set(session.scalars(select(StepRow.number).where(*theirs)))


def _strokes(work: Work, number: int, plan_revision: int, one: StrokesWish) -> StrokesRow:
    return StrokesRow(
        client_id=one.client_id,
        job_id=number,
        plan_revision=plan_revision,
        step=one.step,
        count=one.count,
        tablet_at=one.tablet_at,
        stored_at=work.now,
        told_by=work.actor.name,
    )


def _known_strokes(session: Session, ids: Sequence[str]) -> set[str]:
    return set(session.scalars(select(StrokesRow.client_id).where(StrokesRow.client_id.in_(ids))))
