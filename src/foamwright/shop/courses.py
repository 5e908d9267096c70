"""Courses: pupils and their jobs, the safety brief signed before the first step, what each has shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.errors import Problem, attempt
from foamwright.shop.about import set_value, value_of
from foamwright.shop.class_tables import CourseRow, PupilMark, PupilRow
from foamwright.shop.database import Work
from foamwright.shop.days import day_of
from foamwright.shop.kinds import Event, Shelf
from foamwright.shop.order_kinds import Shown
from foamwright.shop.rows import move, on_shelf, require_fresh, require_row
from foamwright.shop.tables import JobRow, Person
from foamwright.shop.texts import LONGEST_NAME, LONGEST_TITLE, folded, line_of, note_of
from foamwright.shop.told import ConflictError, ShopError, told

SKILLS = (
    "tape", "both-sides", "iron", "run-off", "foam-down", "winding-sticks", "concave", "rails", "hard-edge",
    "discipline",
)  # fmt: skip
"""What a pupil learns; common practice, no source."""

GATE = ("age", "whole-board", "ten-strokes", "plug-and-knob", "five-passes", "sixteenth", "stops-above")
"""Conditions before the power planer, each signed by the teacher; common practice, no source."""

CLEARED = "power-planer"
AGE_GROUPS = ("", "child", "teen", "adult", "senior")
REPORT_TEXTS = ("well", "practise", "next", "near-misses", "bay", "rescue")
OWN_LINES = "brief-lines"


@dataclass(frozen=True, slots=True)
class CourseWish:
    """What a course is to be."""

    title: str
    teacher: str = ""
    bay: str = ""
    begins_on: str = ""
    ends_on: str = ""


def add_course(work: Work, wish: CourseWish) -> CourseRow:
    """Add a course and return its row.

    Raises
    ------
    ShopError
        A text or a day cannot stand, or it ends before it begins; every problem is held.
    """
    row = CourseRow(made_at=work.now, revision=1, power_planers=0)
    _fill(row, wish)
    work.session.add(row)
    work.session.flush()
    work.tell(Event.COURSE_CHANGED, course_id=row.id)
    return row


def change_course(work: Work, number: int, revision: int, wish: CourseWish) -> CourseRow:
    """Change a course; as `add_course`, and refused if somebody changed it since that revision."""
    row = require_row(work.session, CourseRow, number)
    require_fresh(row, revision)
    _fill(row, wish)
    row.revision += 1
    work.tell(Event.COURSE_CHANGED, course_id=row.id)
    return row


def _fill(row: CourseRow, wish: CourseWish) -> None:
    problems: list[Problem] = []
    row.title = attempt(problems, lambda: line_of("title", wish.title, LONGEST_TITLE)) or ""
    row.teacher = attempt(problems, lambda: note_of("teacher", wish.teacher, LONGEST_NAME)) or ""
    row.bay = attempt(problems, lambda: note_of("bay", wish.bay, LONGEST_NAME)) or ""
    row.begins_on = attempt(problems, lambda: day_of("begins_on", wish.begins_on)) or ""
    row.ends_on = attempt(problems, lambda: day_of("ends_on", wish.ends_on)) or ""
    if row.begins_on and row.ends_on and row.ends_on < row.begins_on:
        problems.append(told("ends_on", "day-past", day=row.ends_on, today=row.begins_on))
    if problems:
        raise ShopError(problems)


def move_course(work: Work, number: int, shelf: Shelf) -> CourseRow:
    """Put a course into the archive, or take it out."""
    row = require_row(work.session, CourseRow, number)
    if move(row, shelf, work.now):
        work.tell(Event.COURSE_CHANGED, course_id=row.id, shelf=shelf.value)
    return row


def all_courses(session: Session, shelf: Shelf = Shelf.IN_USE) -> Sequence[CourseRow]:
    """Return the courses, the newest first."""
    there = on_shelf(CourseRow.archived_at, shelf)
    return session.scalars(select(CourseRow).where(there).order_by(CourseRow.id.desc()).limit(200)).all()


def pupils_of(session: Session, course_id: int) -> Sequence[PupilRow]:
    """Return a course's pupils in the order in which they came."""
    ours = select(PupilRow).where(PupilRow.course_id == course_id)
    return session.scalars(ours.order_by(PupilRow.id)).all()


def add_pupil(
    work: Work, course_id: int, person_id: int, job_id: int | None, age_group: str = ""
) -> PupilRow:
    """Take a person into a course.

    Raises
    ------
    UnknownError
        There is no such course, person or job.
    ConflictError
        The job belongs to another pupil.
    """
    require_row(work.session, CourseRow, course_id)
    require_row(work.session, Person, person_id)
    if job_id is not None:
        require_row(work.session, JobRow, job_id)
        if pupil_at(work.session, job_id) is not None:
            raise ConflictError(told("job_id", "pupil-twice", job=job_id))
    if age_group not in AGE_GROUPS:
        raise ShopError(
            told("age_group", "no-choice", written=age_group[:40], choices=", ".join(AGE_GROUPS[1:]))
        )
    row = PupilRow(course_id=course_id, person_id=person_id, job_id=job_id, age_group=age_group)
    row.report, row.revision, row.made_at = {}, 1, work.now
    row.signed_as, row.signed_brief = "", ""
    work.session.add(row)
    work.session.flush()
    work.tell(Event.COURSE_CHANGED, course_id=course_id)
    return row


def pupil_at(session: Session, job_id: int) -> PupilRow | None:
    """Return the pupil whose job it is."""
    return session.scalars(select(PupilRow).where(PupilRow.job_id == job_id)).one_or_none()


def name_of(session: Session, pupil: PupilRow) -> str:
    """Return a pupil's name; empty once the person was deleted."""
    person = None if pupil.person_id is None else session.get(Person, pupil.person_id)
    return "" if person is None else person.name


def own_lines(session: Session) -> str:
    """Return the lines that the shop has added to the safety brief."""
    return value_of(session, OWN_LINES) or ""


def set_own_lines(work: Work, lines: str) -> None:
    """Set the lines that the shop adds to the safety brief."""
    set_value(work.session, OWN_LINES, note_of("lines", lines, 1200) or None)
    work.tell(Event.COURSE_CHANGED)


def sign_brief(work: Work, job_id: int, name: str, brief: str) -> PupilRow:
    """Write down that a pupil has read the brief and signed it with their own name.

    Parameters
    ----------
    work
        The piece of work.
    job_id
        The pupil's job.
    name
        As the pupil wrote it.
    brief
        The words that were read, stored with the signature.

    Raises
    ------
    ShopError
        It is not the pupil's name, or nobody's job.
    """
    pupil = pupil_at(work.session, job_id)
    if pupil is None:
        raise ShopError(told("job_id", "unknown-pupil", id=job_id))
    own, signed = name_of(work.session, pupil), " ".join(name.split())
    if not signed or folded(signed) != folded(own):
        raise ShopError(told("signed_as", "brief-name", written=signed[:60], name=own))
    if pupil.signed_at is None:
        pupil.signed_as, pupil.signed_at, pupil.signed_brief = signed, work.now, brief
        pupil.revision += 1
        work.tell(Event.BRIEF_SIGNED, job_id, pupil_id=pupil.id)
    return pupil


def is_brief_missing(session: Session, job_id: int) -> bool:
    """Return whether a job is a pupil's who has not signed the safety brief."""
    pupil = pupil_at(session, job_id)
    return pupil is not None and pupil.signed_at is None


def require_brief(session: Session, job_id: int) -> None:
    """Refuse to begin a pupil's job before the safety brief is signed.

    Raises
    ------
    ConflictError
        It is not; names the pupil.
    """
    pupil = pupil_at(session, job_id)
    if pupil is not None and pupil.signed_at is None:
        raise ConflictError(told("job_id", "brief-first", name=name_of(session, pupil)))


def marks_of(session: Session, pupil_id: int) -> dict[str, PupilMark]:
    """Return what a pupil has shown, by skill or condition."""
    rows = session.scalars(select(PupilMark).where(PupilMark.pupil_id == pupil_id))
    return {row.what: row for row in rows}


def set_marks(work: Work, pupil_id: int, marks: Mapping[str, Shown]) -> None:
    """Write down what a pupil has shown; who wrote it stands beside each.

    Raises
    ------
    ConflictError
        The power planer is to be cleared while a condition is not shown; names those.
    """
    pupil = require_row(work.session, PupilRow, pupil_id)
    known = marks_of(work.session, pupil_id)
    for what, mark in marks.items():
        if what not in (*SKILLS, *GATE, CLEARED):
            raise ShopError(
                told(what[:40], "no-choice", written=what[:40], choices=", ".join((*SKILLS, *GATE)))
            )
        row = known.get(what) or PupilMark(pupil_id=pupil_id, what=what, mark="")
        if row.mark != mark.value:
            row.mark, row.by, row.at = mark.value, work.actor.name, work.now
            work.session.add(row)
    work.session.flush()
    _require_gate(work.session, pupil)
    pupil.revision += 1
    work.tell(Event.COURSE_CHANGED, pupil.job_id, course_id=pupil.course_id)


def _require_gate(session: Session, pupil: PupilRow) -> None:
    marks = marks_of(session, pupil.id)
    cleared = marks.get(CLEARED)
    if cleared is None or cleared.mark != Shown.SHOWN:
        return
    missing = [one for one in GATE if one not in marks or marks[one].mark != Shown.SHOWN]
    if missing or pupil.age_group == "child":
        names = ", ".join(missing or ["age"])
        raise ConflictError(told(CLEARED, "gate-open", name=name_of(session, pupil), missing=names))


def is_cleared(session: Session, pupil_id: int) -> bool:
    """Return whether a pupil may take the power planer."""
    cleared = marks_of(session, pupil_id).get(CLEARED)
    return cleared is not None and cleared.mark == Shown.SHOWN


def set_report(work: Work, pupil_id: int, texts: Mapping[str, str]) -> PupilRow:
    """Write down what the teacher says in the report; nothing about health or money belongs there."""
    pupil = require_row(work.session, PupilRow, pupil_id)
    pupil.report = {name: note_of(name, texts.get(name, ""), 600) for name in REPORT_TEXTS}
    pupil.revision += 1
    work.tell(Event.COURSE_CHANGED, pupil.job_id, course_id=pupil.course_id)
    return pupil
