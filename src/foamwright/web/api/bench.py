"""What a bench sends and reads: readings and strokes in batches, notes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import Annotated, Any, TypeVar

from fastapi import APIRouter, Query
from pydantic import Field, ValidationError, WithJsonSchema

from foamwright.errors import Problem
from foamwright.jobs.shop_readings import record_readings
from foamwright.shop.kinds import Measured, ReadingState, Role
from foamwright.shop.notes import LONGEST, add_note, note_seen, notes_of
from foamwright.shop.plans import StrokesWish, store_strokes
from foamwright.shop.readings import MOST_AT_ONCE, ReadingWish, readings_of, settle_reading
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow
from foamwright.shop.told import ShopError, told
from foamwright.web.api.here import Api, Asking
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
from foamwright.web.misread import misread
from foamwright.web.rendering import Reader
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

    words: Annotated[str, Field(min_length=1, max_length=LONGEST)]


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


@router.post("/readings", responses=answers(*CHANGES))
def store_job_readings(
    api: Api, reader: Asking, visitor: Somebody, id: Id, sent: ReadingsIn
) -> ReadingsTaken:
    """Store a batch of readings: each once, however often it is sent, and on the disk before this answers.

    One that cannot be stored does not keep the others; if none can be, the answer is 422 with every problem.
    """
    require_job(visitor, id)
    good, refused = _sorted(ReadingIn, sent.readings, reader)
    wishes = [one.wish() for one in good]
    outcome = record_readings(api.database, visitor.actor, id, wishes, api.settings.judge)
    places = {_named(one): place for place, one in enumerate(sent.readings)}
    refused += [_refused(places[one], one, [reader.problem(why)]) for one, why in outcome.refused]
    _require_some("readings", outcome.stored, refused)
    questioned = [Questioned(client_id=one, reason=reason) for one, reason in outcome.questioned]
    return ReadingsTaken(
        stored=list(outcome.stored), questioned=questioned, differing=list(outcome.differing), refused=refused
    )


@router.put("/readings/{reading}", responses=answers(*CHANGES))
def settle_job_reading(api: Api, visitor: Teacher, id: Id, reading: Id, sent: Settlement) -> ReadingOut:
    """Accept a questioned reading after all, or set one aside; what was measured stays as it was told."""
    with api.database.writing(visitor.actor) as work:
        return ReadingOut.model_validate(settle_reading(work, id, reading, sent.state, sent.reason))


@router.post("/strokes", responses=answers(*CHANGES))
def store_job_strokes(
    api: Api, reader: Asking, visitor: Somebody, id: Id, sent: StrokesBatch
) -> StrokesTaken:
    """Store a batch of strokes: each once, however often it is sent."""
    require_job(visitor, id)
    good, refused = _sorted(StrokesIn, sent.strokes, reader)
    with api.database.writing(visitor.actor) as work:
        outcome = store_strokes(work, id, sent.plan_revision, [one.wish() for one in good])
    steps = {one.client_id: one.step for one in good}
    places = {_named(one): place for place, one in enumerate(sent.strokes)}
    for one in outcome.refused:
        unknown = reader.problem(told("step", "unknown-step", step=steps[one]))
        refused.append(_refused(places[one], one, [unknown]))
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


def _sorted(kind: type[Item], sent: Iterable[Any], reader: Reader) -> tuple[list[Item], list[Refused]]:
    """What can be read, and what cannot, each with its problems."""
    good: list[Item] = []
    refused: list[Refused] = []
    for place, one in enumerate(sent):
        try:
            good.append(kind.model_validate(one))
        except ValidationError as wrong:
            problems = [
                reader.problem(misread(error, error["loc"])) for error in wrong.errors(include_url=False)
            ]
            refused.append(_refused(place, _named(one), problems))
    return good, refused


def _refused(place: int, client_id: str, problems: Sequence[Problem]) -> Refused:
    told_out = [ProblemOut.model_validate(problem) for problem in problems]
    return Refused(place=place, client_id=client_id, problems=told_out)


def _require_some(name: str, stored: Sequence[str], refused: Sequence[Refused]) -> None:
    """Refuse a batch of which nothing can be stored; where something can, that is stored and the rest told.

    Raises
    ------
    ShopError
        Every problem of every entry, at its place in the batch.
    """
    if stored or not refused:
        return
    raise ShopError(
        [
            Problem(f"{name}.{one.place}.{problem.where}".rstrip("."), problem.what, problem.remedy)
            for one in sorted(refused, key=lambda one: one.place)
            for problem in one.problems
        ]
    )


def _named(one: Any) -> str:
    """The id that something sent gives itself, if it gives one."""
    named = one.get("client_id") if isinstance(one, dict) else None
    return named if isinstance(named, str) else ""


def _moment(milliseconds: int) -> datetime:
    return datetime.fromtimestamp(milliseconds / 1000, UTC)
