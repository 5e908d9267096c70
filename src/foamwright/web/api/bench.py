"""What a bench sends and reads: readings and strokes in batches, notes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Query
from pydantic import Field, ValidationError, WithJsonSchema

from foamwright.jobs.shop_readings import record_readings
from foamwright.shop.kinds import Measured, ReadingState, Role
from foamwright.shop.notes import add_note, note_seen, notes_of
from foamwright.shop.plans import StrokesWish, store_strokes
from foamwright.shop.readings import MOST_AT_ONCE, ReadingWish, readings_of, settle_reading
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow
from foamwright.web.api.here import Api
from foamwright.web.api.kinds import (
    CHANGES,
    ClientId,
    Id,
    Line,
    Metres,
    ProblemOut,
    Sent,
    TabletClock,
    Told,
    answers,
    written_out,
)
from foamwright.web.visitors import Somebody, Teacher, require_job

router = APIRouter(prefix="/jobs/{id}", tags=["bench"])

Named = Annotated[Line, Field(max_length=60)]
Count = Annotated[int, Field(ge=0, le=2_147_483_647)]


class ReadingIn(Sent):
    """A reading as a tablet tells it."""

    client_id: ClientId
    sequence: Annotated[Count, Field(description="The tablet's own count of its readings in this job.")]
    stage: Annotated[Line, Field(max_length=40)]
    station: Annotated[Named, Field(description="As the tape names it.")]
    station_m: Annotated[Metres, Field(description="From the tail tip.")]
    what: Measured
    value_m: Metres
    written: Annotated[Named, Field(description="What was typed.")] = ""
    tool: Named = ""
    tablet_ms: TabletClock

    def wish(self) -> ReadingWish:
        """Return what the shop is asked for."""
        fields = self.model_dump(exclude={"tablet_ms"})
        return ReadingWish(**fields, tablet_at=_moment(self.tablet_ms))


class StrokesIn(Sent):
    """Strokes made at a step, as a tablet tells them."""

    client_id: ClientId
    step: Annotated[int, Field(ge=1, le=100_000)]
    count: Annotated[int, Field(ge=-1000, le=1000, description="Less than none takes a slip back.")]
    tablet_ms: TabletClock

    def wish(self) -> StrokesWish:
        """Return what the shop is asked for."""
        return StrokesWish(self.client_id, self.step, self.count, _moment(self.tablet_ms))


# Each is read by itself: one that cannot be read must not keep the others on the tablet.
LooseReading = Annotated[Any, WithJsonSchema(written_out(ReadingIn))]
LooseStrokes = Annotated[Any, WithJsonSchema(written_out(StrokesIn))]


class ReadingsIn(Sent):
    """A batch of readings, in the order they were made."""

    readings: Annotated[list[LooseReading], Field(min_length=1, max_length=MOST_AT_ONCE)]


class StrokesBatch(Sent):
    """A batch of strokes, by the plan they were made by."""

    plan_revision: Annotated[int, Field(ge=1, le=2_147_483_647)]
    strokes: Annotated[list[LooseStrokes], Field(min_length=1, max_length=MOST_AT_ONCE)]


class Questioned(Told):
    """A reading that is stored but looks wrong, and why."""

    client_id: str
    reason: str


class Refused(Told):
    """One that cannot be stored: its place in the batch, its id if it has one, and what is wrong."""

    place: int
    client_id: str
    problems: list[ProblemOut]


class ReadingsTaken(Told):
    """What became of a batch: the tablet forgets what is stored, asks about what is questioned."""

    stored: list[str]
    questioned: list[Questioned]
    differing: list[str]
    refused: list[Refused]


class StrokesTaken(Told):
    """What became of a batch."""

    stored: list[str]
    refused: list[Refused]


class ReadingOut(Told):
    """A reading as it is kept."""

    id: int
    client_id: str
    job_id: int
    sequence: int
    stage: str
    station: str
    station_m: float
    what: Measured
    value_m: float
    written: str
    tool: str
    tablet_at: datetime
    stored_at: datetime
    told_by: str
    state: ReadingState
    reason: str


class Readings(Told):
    """Readings in the order they came."""

    readings: list[ReadingOut]


class Settlement(Sent):
    """What is thought of a reading after somebody has looked."""

    state: ReadingState
    reason: Annotated[Line, Field(max_length=200)] = ""


class NoteIn(Sent):
    """A note."""

    words: Annotated[str, Field(min_length=1, max_length=500)]


class NoteOut(Told):
    """A note as it is kept."""

    id: int
    job_id: int
    words: str
    written_by: str
    from_role: Role
    made_at: datetime
    seen_at: datetime | None


class Notes(Told):
    """Notes, oldest first."""

    notes: list[NoteOut]


@router.get("/readings", responses=answers(404))
def list_readings(
    api: Api, visitor: Somebody, id: Id, after: Annotated[int, Query(ge=0, le=2_147_483_647)] = 0
) -> Readings:
    """A job's readings in the order they came, those after reading number `after`."""
    require_job(visitor, id)
    with api.database.reading() as session:
        require_row(session, JobRow, id)
        return Readings.model_validate({"readings": list(readings_of(session, id, after))})


@router.post("/readings", responses=answers(404, 507))
def store_job_readings(api: Api, visitor: Somebody, id: Id, sent: ReadingsIn) -> ReadingsTaken:
    """Store a batch of readings: each once, however often it is sent, and on the disk before this answers."""
    require_job(visitor, id)
    good, refused = _sorted(ReadingIn, sent.readings)
    wishes = [one.wish() for one in good]
    outcome = record_readings(api.database, visitor.actor, id, wishes, api.settings.judge)
    questioned = [Questioned(client_id=one, reason=reason) for one, reason in outcome.questioned]
    return ReadingsTaken(
        stored=list(outcome.stored), questioned=questioned, differing=list(outcome.differing), refused=refused
    )


@router.put("/readings/{reading}", responses=answers(*CHANGES))
def settle_job_reading(api: Api, visitor: Teacher, id: Id, reading: Id, sent: Settlement) -> ReadingOut:
    """Accept a questioned reading after all, or set one aside; what was measured stays as it was told."""
    with api.database.writing(visitor.actor) as work:
        return ReadingOut.model_validate(settle_reading(work, id, reading, sent.state, sent.reason))


@router.post("/strokes", responses=answers(404, 507))
def store_job_strokes(api: Api, visitor: Somebody, id: Id, sent: StrokesBatch) -> StrokesTaken:
    """Store a batch of strokes: each once, however often it is sent."""
    require_job(visitor, id)
    good, refused = _sorted(StrokesIn, sent.strokes)
    with api.database.writing(visitor.actor) as work:
        outcome = store_strokes(work, id, sent.plan_revision, [one.wish() for one in good])
    unknown = ProblemOut(where="step", what="This plan has no such step.", remedy="Read the job again.")
    places = {_named(one): place for place, one in enumerate(sent.strokes)}
    refused += [Refused(place=places[one], client_id=one, problems=[unknown]) for one in outcome.refused]
    return StrokesTaken(stored=list(outcome.stored), refused=refused)


@router.get("/notes", responses=answers(404))
def list_notes(api: Api, visitor: Somebody, id: Id) -> Notes:
    """The notes at a job, oldest first."""
    require_job(visitor, id)
    with api.database.reading() as session:
        require_row(session, JobRow, id)
        return Notes.model_validate({"notes": list(notes_of(session, id))})


@router.post("/notes", status_code=201, responses=answers(*CHANGES))
def create_note(api: Api, visitor: Somebody, id: Id, sent: NoteIn) -> NoteOut:
    """Leave a note at a job."""
    require_job(visitor, id)
    assert visitor.role is not None
    with api.database.writing(visitor.actor) as work:
        return NoteOut.model_validate(add_note(work, id, visitor.role, sent.words))


@router.put("/notes/{note}/seen", responses=answers(*CHANGES))
def mark_note_seen(api: Api, visitor: Somebody, id: Id, note: Id) -> NoteOut:
    """Write down that a note was read."""
    require_job(visitor, id)
    with api.database.writing(visitor.actor) as work:
        return NoteOut.model_validate(note_seen(work, id, note))


Item = TypeVar("Item", ReadingIn, StrokesIn)


def _sorted(kind: type[Item], sent: Iterable[Any]) -> tuple[list[Item], list[Refused]]:
    """What can be read, and what cannot, each with its problems."""
    good: list[Item] = []
    refused: list[Refused] = []
    for place, one in enumerate(sent):
        try:
            good.append(kind.model_validate(one))
        except ValidationError as wrong:
            refused.append(_refused(place, one, wrong))
    return good, refused


def _refused(place: int, one: Any, wrong: ValidationError) -> Refused:
    problems = [
        ProblemOut(where=".".join(map(str, error["loc"])), what=error["msg"] + ".", remedy="")
        for error in wrong.errors(include_input=False, include_url=False, include_context=False)
    ]
    return Refused(place=place, client_id=_named(one), problems=problems)


def _named(one: Any) -> str:
    """The id that something sent gives itself, if it gives one."""
    named = one.get("client_id") if isinstance(one, dict) else None
    return named if isinstance(named, str) else ""


def _moment(milliseconds: int) -> datetime:
    return datetime.fromtimestamp(milliseconds / 1000, UTC)
