"""A pupil: the brief read and signed, what was shown, the gate, report and certificate."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from foamwright.shop.class_tables import CourseRow, PupilRow
from foamwright.shop.courses import (
    CLEARED,
    GATE,
    REPORT_TEXTS,
    SKILLS,
    marks_of,
    name_of,
    own_lines,
    pupil_at,
    set_marks,
    set_report,
    sign_brief,
)
from foamwright.shop.database import Work
from foamwright.shop.days import today
from foamwright.shop.order_kinds import Shown
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow
from foamwright.web.classroom.reports import (
    brief_lines,
    brief_pdf,
    brief_text,
    certificate_pdf,
    report_pdf,
    suggested_tape,
)
from foamwright.web.forms import Sent, read_form
from foamwright.web.intake import choice_of
from foamwright.web.pages.courses import pdf_file
from foamwright.web.pages.here import Here, SomebodyHere, TeacherHere
from foamwright.web.rendering import NOTHING_TYPED, Typed
from foamwright.web.visitors import require_job

router = APIRouter(include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]


@router.get("/jobs/{number}/brief")
def brief(here: SomebodyHere, number: Number) -> Response:
    """Show the safety brief of a job, to be read and signed."""
    require_job(here.visitor, number)
    return _brief(here, number, NOTHING_TYPED)


@router.post("/jobs/{number}/brief")
def sign(here: SomebodyHere, number: Number, form: Sent) -> Response:
    """Sign the safety brief."""
    require_job(here.visitor, number)

    def do(work: Work) -> str:
        job = require_row(work.session, JobRow, number)
        sign_brief(work, number, form.text("signed_as"), brief_text(work.session, here.reader, job))
        return f"/jobs/{number}/brief?said=brief-signed"

    return here.submit(form, do, lambda typed, _: _brief(here, number, typed))


@router.get("/jobs/{number}/brief.pdf")
def brief_paper(here: SomebodyHere, number: Number) -> Response:
    """Give the safety brief of a job as a page to sign."""
    require_job(here.visitor, number)
    with here.reading() as session:
        job = require_row(session, JobRow, number)
        return pdf_file(brief_pdf(session, here.reader, job), "safety-brief.pdf")


@router.get("/pupils/{number}")
def pupil(here: TeacherHere, number: Number) -> Response:
    """Show what a pupil has shown."""
    return _page(here, number, NOTHING_TYPED)


@router.post("/pupils/{number}/marks")
def mark(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Write down what a pupil has shown."""

    def do(work: Work) -> str:
        asked = [name for name in (*SKILLS, *GATE, CLEARED) if form.text(name)]
        set_marks(work, number, {name: choice_of(form, name, Shown) for name in asked})
        return f"/pupils/{number}?said=marks-saved"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.post("/pupils/{number}/report")
def write(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Write down what the report says."""

    def do(work: Work) -> str:
        set_report(work, number, {name: form.text(name) for name in REPORT_TEXTS})
        return f"/pupils/{number}?said=marks-saved"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.get("/pupils/{number}/report.pdf")
def report(here: TeacherHere, number: Number) -> Response:
    """Give the end-of-course report."""
    with here.reading() as session:
        row = require_row(session, PupilRow, number)
        return pdf_file(report_pdf(session, here.reader, row), f"report-{number}.pdf")


@router.get("/pupils/{number}/certificate.pdf")
def certificate(here: TeacherHere, number: Number) -> Response:
    """Give the certificate."""
    day = today(here.database.clock())
    with here.reading() as session:
        row = require_row(session, PupilRow, number)
        return pdf_file(certificate_pdf(session, here.reader, row, day), f"certificate-{number}.pdf")


def _brief(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        job = require_row(session, JobRow, number)
        lines, own = brief_lines(session, here.reader, job), own_lines(session)
        row = pupil_at(session, number)
    return here.show("brief", typed, job=job, brief=lines, own=own.splitlines(), pupil=row)


def _page(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        row = require_row(session, PupilRow, number)
        job = None if row.job_id is None else session.get(JobRow, row.job_id)
        marks = {what: one.mark for what, one in marks_of(session, number).items()}
        if job is not None and "tape" not in marks:
            marks["tape"] = suggested_tape(session, job)
        course, name = session.get_one(CourseRow, row.course_id), name_of(session, row)
    return here.show(
        "pupil",
        typed,
        pupil=row,
        job=job,
        marks=marks,
        skills=SKILLS,
        gate=GATE,
        cleared=CLEARED,
        shown=list(Shown),
        texts=REPORT_TEXTS,
        course=course,
        called=name,
    )
