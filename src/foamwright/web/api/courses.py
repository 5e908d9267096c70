"""Courses, pupils and what they have shown, for programs."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter
from pydantic import Field
from sqlalchemy.orm import Session

from foamwright.shop.class_tables import PupilRow
from foamwright.shop.courses import (
    CLEARED,
    GATE,
    SKILLS,
    CourseWish,
    add_course,
    add_pupil,
    all_courses,
    marks_of,
    name_of,
    pupils_of,
    set_marks,
    sign_brief,
)
from foamwright.shop.kinds import Shelf
from foamwright.shop.order_kinds import Shown
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow
from foamwright.web.api.here import Api, Asking
from foamwright.web.api.kinds import CHANGES, Id, IdField, Line, Sent, Told, answers
from foamwright.web.classroom.reports import brief_text
from foamwright.web.visitors import Somebody, Teacher, require_job

router = APIRouter(tags=["courses"])

Day = Annotated[str, Field(max_length=10, description="2026-03-21, or empty.")]
What = Annotated[str, Field(json_schema_extra={"enum": [*SKILLS, *GATE, CLEARED]}, max_length=40)]


class CourseIn(Sent):
    """A course as sent."""

    title: Line
    teacher: Annotated[Line, Field(max_length=120)] = ""
    bay: Annotated[Line, Field(max_length=120)] = ""
    begins_on: Day = ""
    ends_on: Day = ""


class CourseOut(Told):
    """A course."""

    id: int
    title: str
    teacher: str
    bay: str
    begins_on: str
    ends_on: str
    revision: int
    archived_at: datetime | None


class Courses(Told):
    """Courses, the newest first."""

    courses: list[CourseOut]


class PupilIn(Sent):
    """A pupil as sent."""

    person_id: IdField
    job_id: IdField | None = None
    age_group: Annotated[str, Field(pattern="^(child|teen|adult|senior)?$")] = ""


class PupilOut(Told):
    """A pupil, with what was signed and shown."""

    id: int
    course_id: int
    person_id: int | None
    name: str
    job_id: int | None
    age_group: str
    signed_at: datetime | None
    marks: dict[str, Shown]


class Pupils(Told):
    """The pupils of a course."""

    pupils: list[PupilOut]


class MarkIn(Sent):
    """What was shown, and how."""

    what: What
    mark: Shown


class SignIn(Sent):
    """The pupil's own name."""

    signed_as: Annotated[Line, Field(max_length=120)]


class Signed(Told):
    """Who signed the brief, and when."""

    signed_as: str
    signed_at: datetime | None


@router.get("/courses", responses=answers())
def list_courses(api: Api, visitor: Teacher, shelf: Shelf = Shelf.IN_USE) -> Courses:
    """Courses, those in use or those in the archive."""
    with api.database.reading() as session:
        return Courses.model_validate({"courses": list(all_courses(session, shelf))})


@router.post("/courses", status_code=201, responses=answers(507))
def create_course(api: Api, visitor: Teacher, sent: CourseIn) -> CourseOut:
    """Add a course."""
    with api.database.writing(visitor.actor) as work:
        return CourseOut.model_validate(add_course(work, CourseWish(**sent.model_dump())))


@router.get("/courses/{id}/pupils", responses=answers(404))
def list_pupils(api: Api, visitor: Teacher, id: Id) -> Pupils:
    """The pupils of a course."""
    with api.database.reading() as session:
        return Pupils(pupils=[_out(session, row) for row in pupils_of(session, id)])


@router.post("/courses/{id}/pupils", status_code=201, responses=answers(*CHANGES))
def create_pupil(api: Api, visitor: Teacher, id: Id, sent: PupilIn) -> PupilOut:
    """Take a person into a course."""
    with api.database.writing(visitor.actor) as work:
        row = add_pupil(work, id, sent.person_id, sent.job_id, sent.age_group)
        return _out(work.session, row)


@router.put("/pupils/{id}/marks", responses=answers(*CHANGES))
def update_mark(api: Api, visitor: Teacher, id: Id, sent: MarkIn) -> PupilOut:
    """Write down what a pupil has shown; the power planer only after all its conditions."""
    with api.database.writing(visitor.actor) as work:
        set_marks(work, id, {sent.what: sent.mark})
        return _out(work.session, require_row(work.session, PupilRow, id))


@router.put("/jobs/{id}/brief", responses=answers(*CHANGES))
def update_brief(api: Api, visitor: Somebody, asking: Asking, id: Id, sent: SignIn) -> Signed:
    """Sign the safety brief of a job; before that its first step does not begin."""
    require_job(visitor, id)
    with api.database.writing(visitor.actor) as work:
        job = require_row(work.session, JobRow, id)
        return Signed.model_validate(
            sign_brief(work, id, sent.signed_as, brief_text(work.session, asking, job))
        )


def _out(session: Session, row: PupilRow) -> PupilOut:
    marks = {what: Shown(one.mark) for what, one in marks_of(session, row.id).items()}
    return PupilOut(
        id=row.id,
        course_id=row.course_id,
        person_id=row.person_id,
        name=name_of(session, row),
        job_id=row.job_id,
        age_group=row.age_group,
        signed_at=row.signed_at,
        marks=marks,
    )
