"""The papers of a course in a visitor's words: safety brief, report, certificate."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy.orm import Session

from foamwright.jobs.bench_steps_asked import HALF_MARK, Asked, asked_from
from foamwright.jobs.bench_steps_standing import Told, places_of
from foamwright.jobs.shop_readings import SAME_STATION
from foamwright.papers.course import (
    BriefPage,
    CertificatePage,
    ReportPage,
    brief_document,
    certificate_document,
    report_document,
)
from foamwright.papers.pdf import pdf_bytes
from foamwright.shop.class_tables import CourseRow, PupilRow
from foamwright.shop.courses import CLEARED, GATE, REPORT_TEXTS, SKILLS, marks_of, name_of, own_lines
from foamwright.shop.kinds import ReadingState
from foamwright.shop.order_kinds import Shown
from foamwright.shop.plans import steps_of
from foamwright.shop.readings import readings_of
from foamwright.shop.tables import JobRow, StepRow, StockBlank
from foamwright.web.bench.figures import Sayer, sayer_of
from foamwright.web.rendering import Reader

FOOT_FROM_TIP = 0.3025
"""Metres: the trade reads a board at its tips, 12 in from them and at its centre (common practice, no
source).

A metric sheet's mark there is 300 mm."""

NEAR = 0.012
"""Metres; 12 in and 300 mm are one place of the report, 11 in is another."""

FINISHED = {("rocker", "rocker"), ("finished", "thickness"), ("finished", "width")}
"""Stage and kind of the numbers that a finished board is known by; its rocker is read when it is cut."""


def brief_lines(session: Session, reader: Reader, job: JobRow | None) -> list[str]:
    """Return the ten lines of the brief; of foams only the one that lies on the rack, both without a job."""
    foams = _foams(session, job)
    keys = ["1", "2", *(f"3-{foam}" for foam in foams), *(str(n) for n in range(4, 11))]
    lines = [reader.words.say(f"brief.line.{key}") for key in keys]
    # The third line is one line, whether it speaks of one foam or of both.
    return [*lines[:2], " ".join(lines[2 : 2 + len(foams)]), *lines[2 + len(foams) :]]


def _foams(session: Session, job: JobRow | None) -> tuple[str, ...]:
    blank = None if job is None or job.blank_id is None else session.get(StockBlank, job.blank_id)
    if blank is None:
        return ("pu", "ps")
    return ("pu",) if blank.foam.casefold().startswith("pu") else ("ps",)


def brief_text(session: Session, reader: Reader, job: JobRow | None) -> str:
    """Return the whole brief as it is read, to be stored with a signature."""
    return "\n".join([*brief_lines(session, reader, job), *own_lines(session).splitlines()])


def brief_pdf(session: Session, reader: Reader, job: JobRow | None) -> bytes:
    """Return the safety brief as a page to hang up, or to sign at a job."""
    say = reader.words.say
    page = BriefPage(
        title=say("brief.title"),
        lead=say("brief.lead"),
        lines=brief_lines(session, reader, job),
        own_heading=say("brief.own"),
        own=own_lines(session).splitlines(),
        defer=say("brief.defer"),
        signature=say("brief.signature"),
        language=reader.words.language,
    )
    return pdf_bytes(brief_document(page))


def report_pdf(session: Session, reader: Reader, pupil: PupilRow) -> bytes:
    """Return a pupil's end-of-course report."""
    say = reader.words.say
    job = None if pupil.job_id is None else session.get(JobRow, pupil.job_id)
    marks = marks_of(session, pupil.id)
    rows, remarks = _readings(session, reader, job)
    cleared = marks.get(CLEARED)
    is_cleared = cleared is not None and cleared.mark == Shown.SHOWN
    planer = say("report.cleared-by", name=reader.who(cleared.by)) if cleared and is_cleared else ""
    page = ReportPage(
        title=say("report.title"),
        facts=_facts(session, reader, pupil, job),
        headings=(
            say("report.place"),
            say("report.planned"),
            say("report.value"),
            say("report.off"),
            "",
        ),
        readings_heading=say("report.read"),
        readings=rows,
        no_readings=say("report.no-readings"),
        remarks=remarks,
        skills_heading=say("courses.skills"),
        skills=[
            *((say(f"skill.{one}"), _mark(reader, marks.get(one))) for one in SKILLS),
            (say("report.planer"), planer or say("report.not-cleared")),
        ],
        texts=[(say(f"report.{one}"), str(pupil.report.get(one, ""))) for one in REPORT_TEXTS],
        photographs=say("report.photographs"),
        signatures=say("report.signatures"),
        language=reader.words.language,
    )
    return pdf_bytes(report_document(page))


def _mark(reader: Reader, mark: object) -> str:
    word = getattr(mark, "mark", "")
    return reader.words.say(f"shown.{word}") if word else ""


def _facts(session: Session, reader: Reader, pupil: PupilRow, job: JobRow | None) -> list[tuple[str, str]]:
    say, course = reader.words.say, session.get_one(CourseRow, pupil.course_id)
    age = (say(f"age.{pupil.age_group}"),) if pupil.age_group else ()
    return [
        (say("courses.pupil"), ", ".join((name_of(session, pupil), *age))),
        (say("courses.name"), course.title),
        (say("report.dates"), " – ".join(day for day in (course.begins_on, course.ends_on) if day)),
        (say("courses.teacher"), ", ".join(one for one in (course.teacher, course.bay) if one)),
        (say("report.board"), job.title if job else ""),
    ]


Row = tuple[str, str, str, str, str]


def _readings(session: Session, reader: Reader, job: JobRow | None) -> tuple[list[Row], list[str]]:
    """Return the board's numbers, planned and finished, and what is to be said of all readings."""
    if job is None:
        return [], []
    steps, readings = steps_of(session, job), readings_of(session, job.id)
    if not readings:
        return [], []
    say = sayer_of(reader, steps[0].detail["tape"] if steps else 16)
    length = steps[0].detail["length_m"] if steps else 0.0
    places = places_of(steps, readings)
    rows = _board_rows(steps, places, say, length)
    deep = [one for one in places if one.left_m is not None and one.left_m < -HALF_MARK - 1e-9]
    where = ", ".join(say.station(one.reading.station, one.reading.station_m, length) for one in deep)
    right = sum(row.state == ReadingState.ACCEPTED for row in readings)
    words = reader.words.say
    stops = words("courses.stops", right=right, all=len(readings))
    return rows, [stops, f"{words('report.too-deep')} {where or words('report.nowhere')}."]


def _board_rows(steps: Sequence[StepRow], places: Sequence[Told], say: Sayer, length: float) -> list[Row]:
    """Return a row for every number that the finished board is asked for, read or not."""
    found: dict[tuple[str, str, float], Row] = {}
    for step in steps:
        for ask in map(asked_from, step.detail["asks"]):
            if (step.stage, ask.what) in FINISHED and _is_usual(ask.station_m, length):
                read = [one for one in places if _answers(one, step.stage, ask)]
                found[(step.stage, ask.what, ask.station_m)] = _row(ask, read, say, length)
    return list(found.values())


def _is_usual(station: float, length: float) -> bool:
    places = (0.0, FOOT_FROM_TIP, length / 2.0, length - FOOT_FROM_TIP, length)
    return any(abs(station - place) < NEAR for place in places)


def _answers(told: Told, stage: str, ask: Asked) -> bool:
    row = told.reading
    return (row.stage, row.what) == (stage, ask.what) and abs(row.station_m - ask.station_m) < SAME_STATION


def _row(ask: Asked, read: Sequence[Told], say: Sayer, length: float) -> Row:
    words, station = say.reader.words.say, say.station(ask.station, ask.station_m, length)
    place, planned = words(f"bench.measure.{ask.what}", place=station), say.unit(say.expected(ask.as_json()))
    if not read:
        return place, planned, words("report.unread"), "", ""
    value, left = read[-1].reading.value_m, read[-1].left_m
    off = value - ask.expect_m
    shown = "0" if abs(off) < HALF_MARK else say.unit(say.figures.nearest(abs(off)))
    sign = "" if shown == "0" else "-" if off < 0 else "+"
    is_deep = left is not None and left < -HALF_MARK - 1e-9
    finished = say.unit(say.figures.nearest(value))
    return place, planned, finished, sign + shown, words("report.beyond" if is_deep else "report.within")


def certificate_pdf(session: Session, reader: Reader, pupil: PupilRow, day: str) -> bytes:
    """Return a pupil's certificate; only what was shown without help stands on it."""
    say, course = reader.words.say, session.get_one(CourseRow, pupil.course_id)
    job = None if pupil.job_id is None else session.get(JobRow, pupil.job_id)
    marks = marks_of(session, pupil.id)
    page = CertificatePage(
        title=say("certificate.title"),
        name=name_of(session, pupil),
        has=say("certificate.has"),
        course=say("certificate.course", course=course.title),
        board=job.title if job else "",
        shown_heading=say("certificate.shown"),
        shown=[say(f"skill.{one}") for one in SKILLS if _is_shown(marks.get(one))],
        day=course.ends_on or day,
        signature=course.teacher or say("courses.teacher"),
        language=reader.words.language,
    )
    return pdf_bytes(certificate_document(page))


def _is_shown(mark: object) -> bool:
    return getattr(mark, "mark", "") == Shown.SHOWN


def suggested_tape(session: Session, job: JobRow) -> Shown:
    """Return what readings say of reading the tape: 19 right in 20 is shown, two in three with help.

    Common practice, no source; the teacher has the last word.
    """
    readings: Sequence[object] = readings_of(session, job.id)
    right = sum(getattr(row, "state", "") == ReadingState.ACCEPTED for row in readings)
    if len(readings) < len(GATE):
        return Shown.NOT_YET
    if 20 * right >= 19 * len(readings):
        return Shown.SHOWN
    return Shown.WITH_HELP if 3 * right >= 2 * len(readings) else Shown.NOT_YET
