"""Jobs: what each is to be, its blank, stage, steps, history; and all of them at a glance."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, Any

from fastapi import APIRouter, Query
from pydantic import Field

from foamwright.shop.history import history_of
from foamwright.shop.jobs import (
    JobQuery,
    JobWish,
    change_job,
    find_jobs,
    give_blank,
    move_job,
    open_job,
    refresh_board,
    set_stage,
)
from foamwright.shop.kinds import JobState, Shelf, StepState
from foamwright.shop.plans import set_step, steps_of, strokes_made
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow, StepRow
from foamwright.web.api.here import Api
from foamwright.web.api.kinds import CHANGES, Id, IdField, Line, Revision, Sent, Text, Told, answers
from foamwright.web.api.people import ShelfIn
from foamwright.web.visitors import Somebody, Teacher, require_job

router = APIRouter(prefix="/jobs", tags=["jobs"])


class JobIn(Sent):
    """A job as sent."""

    title: Line
    rider_id: IdField | None = None
    board_id: IdField | None = None
    note: Text = ""

    def wish(self) -> JobWish:
        """Return what the shop is asked for."""
        return JobWish(self.title, self.rider_id, self.board_id, self.note)


class JobChange(JobIn):
    """A job as changed."""

    revision: Revision


class BlankChoice(Sent):
    """The blank a job is to have; null puts the one it has back onto the rack."""

    blank_id: IdField | None


class StageIn(Sent):
    """Where a job stands."""

    stage: Annotated[Line, Field(max_length=40)]
    state: JobState


class StepIn(Sent):
    """Where a step stands."""

    state: StepState


class JobEntry(Told):
    """A job in a list."""

    id: int
    title: str
    rider_id: int | None
    board_id: int | None
    board_revision: int | None
    blank_id: int | None
    plan_revision: int
    stage: str
    state: JobState
    note: str
    revision: int
    made_at: datetime
    changed_at: datetime
    archived_at: datetime | None


class JobOut(JobEntry):
    """A job with the sheets it took."""

    board_sheet: str
    blank_sheet: str


class Jobs(Told):
    """Jobs, last changed first."""

    jobs: list[JobEntry]


class StepOut(Told):
    """One step of a plan, with the strokes made at it so far."""

    number: int
    plan_revision: int
    stage: str
    kind: str
    strokes_planned: int
    strokes_made: int
    state: StepState
    detail: dict[str, Any]
    changed_at: datetime


class Steps(Told):
    """The steps of a job's present plan, in order."""

    plan_revision: int
    steps: list[StepOut]


class Happened(Told):
    """One thing that happened."""

    id: int
    at: datetime
    who: str
    what: str
    job_id: int | None
    detail: dict[str, Any]


class History(Told):
    """What happened to a job, last first."""

    history: list[Happened]


@router.get("", responses=answers())
def list_jobs(
    api: Api,
    visitor: Teacher,
    words: Annotated[str, Query(max_length=200, description="Words that must all stand in it.")] = "",
    shelf: Shelf = Shelf.IN_USE,
    limit: Annotated[int, Query(ge=1, le=200)] = 50,
    offset: Annotated[int, Query(ge=0, le=1_000_000)] = 0,
) -> Jobs:
    """Jobs in which every word that is looked for stands, last changed first."""
    with api.database.reading() as session:
        return Jobs.model_validate({"jobs": list(find_jobs(session, JobQuery(words, shelf, limit, offset)))})


@router.post("", status_code=201, responses=answers(*CHANGES))
def create_job(api: Api, visitor: Teacher, sent: JobIn) -> JobOut:
    """Open a job; a board named is taken as it stands now."""
    with api.database.writing(visitor.actor) as work:
        return JobOut.model_validate(open_job(work, sent.wish()))


@router.get("/{id}", responses=answers(404))
def read_job(api: Api, visitor: Somebody, id: Id) -> JobOut:
    """One job."""
    require_job(visitor, id)
    with api.database.reading() as session:
        return JobOut.model_validate(require_row(session, JobRow, id))


@router.put("/{id}", responses=answers(*CHANGES))
def update_job(api: Api, visitor: Teacher, id: Id, sent: JobChange) -> JobOut:
    """Change what a job is to be."""
    with api.database.writing(visitor.actor) as work:
        return JobOut.model_validate(change_job(work, id, sent.revision, sent.wish()))


@router.put("/{id}/blank", responses=answers(*CHANGES))
def update_job_blank(api: Api, visitor: Teacher, id: Id, sent: BlankChoice) -> JobOut:
    """Give a job a blank off the rack, or put its blank back; of two who want the last one, one gets it."""
    with api.database.writing(visitor.actor) as work:
        return JobOut.model_validate(give_blank(work, id, sent.blank_id))


@router.post("/{id}/board", responses=answers(*CHANGES))
def refresh_job_board(api: Api, visitor: Teacher, id: Id) -> JobOut:
    """Take the job's board as it stands now."""
    with api.database.writing(visitor.actor) as work:
        return JobOut.model_validate(refresh_board(work, id))


@router.put("/{id}/stage", responses=answers(*CHANGES))
def update_job_stage(api: Api, visitor: Teacher, id: Id, sent: StageIn) -> JobOut:
    """Write down where a job stands."""
    with api.database.writing(visitor.actor) as work:
        return JobOut.model_validate(set_stage(work, id, sent.stage, sent.state))


@router.put("/{id}/shelf", responses=answers(*CHANGES))
def shelve_job(api: Api, visitor: Teacher, id: Id, sent: ShelfIn) -> JobOut:
    """Put a job into the archive, or take it out; its benches are let go."""
    with api.database.writing(visitor.actor) as work:
        return JobOut.model_validate(move_job(work, id, sent.shelf))


@router.get("/{id}/steps", responses=answers(404))
def list_steps(api: Api, visitor: Somebody, id: Id) -> Steps:
    """The steps of a job's present plan, with the strokes made."""
    require_job(visitor, id)
    with api.database.reading() as session:
        job = require_row(session, JobRow, id)
        made = strokes_made(session, job)
        steps = [_step(row, made.get(row.number, 0)) for row in steps_of(session, job)]
    return Steps(plan_revision=job.plan_revision, steps=steps)


@router.put("/{id}/steps/{step}", responses=answers(*CHANGES))
def update_step(api: Api, visitor: Somebody, id: Id, step: Id, sent: StepIn) -> StepOut:
    """Write down where a step stands; the job's stage follows it."""
    require_job(visitor, id)
    with api.database.writing(visitor.actor) as work:
        row = set_step(work, id, step, sent.state)
        made = strokes_made(work.session, require_row(work.session, JobRow, id))
        return _step(row, made.get(step, 0))


@router.get("/{id}/history", responses=answers(404))
def read_history(api: Api, visitor: Teacher, id: Id) -> History:
    """What happened to a job, last first."""
    with api.database.reading() as session:
        require_row(session, JobRow, id)
        return History.model_validate({"history": list(history_of(session, id))})


def _step(row: StepRow, made: int) -> StepOut:
    return StepOut(
        number=row.number,
        plan_revision=row.plan_revision,
        stage=row.stage,
        kind=row.kind,
        strokes_planned=row.strokes_planned,
        strokes_made=made,
        state=StepState(row.state),
        detail=row.detail,
        changed_at=row.changed_at,
    )
