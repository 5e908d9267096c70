"""Courses: pupils and their jobs, the shop's own lines of the brief, the page for the wall."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response
from sqlalchemy.orm import Session

from foamwright.shop.class_tables import CourseRow, PupilRow
from foamwright.shop.contacts import find_or_add_person
from foamwright.shop.courses import (
    AGE_GROUPS,
    CourseWish,
    add_course,
    add_pupil,
    all_courses,
    move_course,
    name_of,
    own_lines,
    pupils_of,
    set_own_lines,
)
from foamwright.shop.database import Work
from foamwright.shop.jobs import JobQuery, find_jobs
from foamwright.shop.kinds import Shelf, StepState
from foamwright.shop.plans import steps_of
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow
from foamwright.web.bench.figures import sayer_of
from foamwright.web.classroom.reports import brief_pdf
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.pages.shelves import MoveTo, shelf_asked
from foamwright.web.rendering import NOTHING_TYPED, Reader, Typed

router = APIRouter(prefix="/courses", include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]
FIELDS = ("title", "teacher", "bay", "begins_on", "ends_on", "customer", "job_id", "age_group", "lines")


@dataclass(frozen=True, slots=True)
class PupilView:
    """A pupil on a page: whose, which job, what comes next, how far."""

    pupil: PupilRow
    name: str
    job: JobRow | None
    next_stop: str
    done: int
    steps: int


@router.get("")
def courses(here: TeacherHere) -> Response:
    """Show the courses."""
    return _list(here, NOTHING_TYPED)


@router.post("")
def add(here: TeacherHere, form: Sent) -> Response:
    """Add a course."""

    def do(work: Work) -> str:
        wish = CourseWish(*(form.text(name) for name in FIELDS[:5]))
        return f"/courses/{add_course(work, wish).id}?said=course-saved"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


@router.get("/brief.pdf")
def brief(here: TeacherHere) -> Response:
    """Give the safety brief that hangs on the wall."""
    with here.reading() as session:
        return pdf_file(brief_pdf(session, here.reader, None), "safety-brief.pdf")


@router.post("/lines")
def lines(here: TeacherHere, form: Sent) -> Response:
    """Set the shop's own lines of the safety brief."""

    def do(work: Work) -> str:
        set_own_lines(work, form.text("lines"))
        return "/courses?said=course-saved"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


@router.get("/{number}")
def course(here: TeacherHere, number: Number) -> Response:
    """Show one course."""
    return _page(here, number, NOTHING_TYPED)


@router.post("/{number}/pupils")
def take_in(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Take a pupil into a course."""

    def do(work: Work) -> str:
        person = find_or_add_person(work, form.text("customer"), "")
        add_pupil(work, number, person.id, form.number_or_none("job_id"), form.text("age_group"))
        return f"/courses/{number}?said=pupil-added"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.post("/{number}/shelf")
def move(here: TeacherHere, number: Number, form: Sent, to: MoveTo) -> Response:
    """Put a course into the archive, or take it out."""

    def do(work: Work) -> str:
        move_course(work, number, to)
        return f"/courses?said={to.name.casefold()}"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


@router.get("/{number}/wall")
def wall(here: TeacherHere, number: Number) -> Response:
    """Show the page for the wall: every pupil's next stop; no marks, no money."""
    with here.reading() as session:
        row = require_row(session, CourseRow, number)
        views = _views(session, number, here.reader)
    return here.show("course_wall", course=row, pupils=views)


def pdf_file(content: bytes, name: str) -> Response:
    """Return a PDF as an answer that a browser stores under a name."""
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type="application/pdf", headers=headers)


def _list(here: Here, typed: Typed) -> Response:
    shelf = shelf_asked(here.request)
    with here.reading() as session:
        rows, own = all_courses(session, shelf), own_lines(session)
    return here.show("courses", typed, courses=rows, shelf=shelf, in_use=Shelf.IN_USE, fields=FIELDS, own=own)


def _page(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        row = require_row(session, CourseRow, number)
        views = _views(session, number, here.reader)
        jobs = find_jobs(session, JobQuery(limit=100))
    return here.show("course", typed, course=row, pupils=views, jobs=jobs, ages=AGE_GROUPS, fields=FIELDS)


def _views(session: Session, course: int, reader: Reader) -> list[PupilView]:
    return [_view(session, pupil, reader) for pupil in pupils_of(session, course)]


def _view(session: Session, pupil: PupilRow, reader: Reader) -> PupilView:
    job = None if pupil.job_id is None else session.get(JobRow, pupil.job_id)
    steps = [] if job is None else steps_of(session, job)
    say = sayer_of(reader, steps[0].detail.get("tape", 16) if steps else 16)
    waiting = next((step for step in steps if step.state != StepState.DONE), None)
    if pupil.signed_at is None:
        words = reader.words.say("courses.begun-not")
    elif waiting is not None:
        words = say.stage(waiting.stage)
    else:
        words = reader.words.say("courses.done" if steps else "courses.no-plan")
    done = sum(step.state == StepState.DONE for step in steps)
    return PupilView(pupil, name_of(session, pupil), job, words, done, len(steps))
