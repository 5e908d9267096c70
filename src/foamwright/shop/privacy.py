"""What is stored of a person: shown, taken out as a file, or deleted while the board's numbers stay."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Text, cast, delete, select, update
from sqlalchemy.orm import Session

from foamwright.errors import Problem
from foamwright.shop.class_tables import CourseRow, PupilMark, PupilRow
from foamwright.shop.contacts import contact_of
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.order_kinds import OPEN_STATES
from foamwright.shop.order_tables import BillRow, ContactRow, OrderRow, PaymentRow
from foamwright.shop.rows import require_row
from foamwright.shop.searching import refresh_search
from foamwright.shop.tables import HistoryRow, JobRow, NoteRow, Person
from foamwright.shop.texts import folded
from foamwright.shop.told import ConflictError, ShopError, told

ERASED: dict[str, Any] = {"erased": True}
"""What stands in the place of what history told of a person; the database lets in nothing else."""


@dataclass(frozen=True, slots=True)
class PersonData:
    """What is stored of a person, as plain values, by where it stands."""

    person: dict[str, Any]
    contact: dict[str, Any]
    orders: Sequence[dict[str, Any]]
    bills: Sequence[dict[str, Any]]
    jobs: Sequence[dict[str, Any]]
    courses: Sequence[dict[str, Any]]
    history: Sequence[dict[str, Any]]

    def as_json(self) -> bytes:
        """Return everything as a JSON document."""
        whole = {name: getattr(self, name) for name in self.__slots__}
        return json.dumps(whole, ensure_ascii=False, indent=1, default=str).encode()


def data_of(session: Session, number: int) -> PersonData:
    """Return all that is stored of a person.

    Raises
    ------
    UnknownError
        There is no such person.
    """
    person = require_row(session, Person, number)
    contact = contact_of(session, number)
    return PersonData(
        person=_plain(person, "id", "name", "mass_kg", "stature_m", "experience", "water", "note", "made_at"),
        contact={"reach": contact.reach, "note": contact.note},
        orders=[_order(session, row) for row in _orders(session, number)],
        bills=[
            _plain(row, "name", "given_on", "recipient", "currency", "total")
            for row in _bills(session, number)
        ],
        jobs=[_plain(row, "id", "title", "state", "note", "made_at") for row in _jobs(session, number)],
        courses=[_pupil(session, row) for row in _pupils(session, number)],
        history=[_plain(row, "at", "who", "what", "detail") for row in _history(session, person)],
    )


def _plain(row: object, *names: str) -> dict[str, Any]:
    return {name: getattr(row, name) for name in names}


def _order(session: Session, row: OrderRow) -> dict[str, Any]:
    told_of = _plain(
        row,
        "id",
        "title",
        "state",
        "due_on",
        "colour",
        "glass",
        "fins",
        "note",
        "surfed",
        "deposit",
        "currency",
    )
    payments = session.scalars(select(PaymentRow).where(PaymentRow.order_id == row.id))
    return {**told_of, "payments": [_plain(one, "paid_on", "amount", "what") for one in payments]}


def _pupil(session: Session, row: PupilRow) -> dict[str, Any]:
    course = session.get_one(CourseRow, row.course_id)
    marks = session.scalars(select(PupilMark).where(PupilMark.pupil_id == row.id))
    told_of = _plain(row, "age_group", "signed_as", "signed_at", "report")
    return {"course": course.title, **told_of, "marks": {one.what: one.mark for one in marks}}


def _orders(session: Session, number: int) -> Sequence[OrderRow]:
    return session.scalars(select(OrderRow).where(OrderRow.person_id == number).order_by(OrderRow.id)).all()


def _bills(session: Session, number: int) -> Sequence[BillRow]:
    ours = select(BillRow).join(OrderRow, OrderRow.id == BillRow.order_id)
    return session.scalars(ours.where(OrderRow.person_id == number).order_by(BillRow.id)).all()


def _jobs(session: Session, number: int) -> Sequence[JobRow]:
    return session.scalars(select(JobRow).where(JobRow.rider_id == number).order_by(JobRow.id)).all()


def _pupils(session: Session, number: int) -> Sequence[PupilRow]:
    return session.scalars(select(PupilRow).where(PupilRow.person_id == number).order_by(PupilRow.id)).all()


def _history(session: Session, person: Person) -> list[HistoryRow]:
    """Return what history tells of a person: by number, or by name wherever it stands."""
    # As JSON writes it: a name may have quotes of its own.
    name, found = folded(json.dumps(person.name, ensure_ascii=False)[1:-1]), []
    for row in _that_may_name(session, person):
        told_of = json.dumps(row.detail, ensure_ascii=False)
        if (
            row.detail.get("person_id") == person.id
            or name in folded(told_of)
            or folded(person.name) in folded(row.who)
        ):
            found.append(row)
    return found


def _that_may_name(session: Session, person: Person) -> Iterable[HistoryRow]:
    """Return the rows of history that may tell of a person, and few others.

    Read as plain text first, which is ten times as quick as reading every row's values: what can name
    somebody holds the name's longest word, the person's number, or letters that JSON writes as numbers.
    """
    first = max(re.findall(r"\w+", folded(person.name)) or [""], key=len)
    plain = cast(HistoryRow.detail, Text)
    signs = (first, "\\u", f'"person_id": {person.id}')
    rows = session.execute(select(HistoryRow.id, HistoryRow.who, plain).order_by(HistoryRow.id))
    near = [
        number
        for number, who, text in rows
        if first in who.casefold() or any(sign in text.casefold() for sign in signs)
    ]
    for begin in range(0, len(near), MOST_AT_ONCE):
        part = HistoryRow.id.in_(near[begin : begin + MOST_AT_ONCE])
        yield from session.scalars(select(HistoryRow).where(part).order_by(HistoryRow.id))


MOST_AT_ONCE = 500
"""Numbers in one question to the database; SQLite takes some 32,000, others fewer."""


def forget_person(work: Work, number: int, written: str) -> None:
    """Delete a person: what is left is boards, numbers and sums that are nobody's.

    Orders, jobs, readings, quotes and invoices stay without a name; their texts about the person, notes at
    the bench, contact, signatures, reports and marks go, and so does what history told.

    Raises
    ------
    ShopError
        `written` is not the person's name.
    ConflictError
        They still wait for a board, or are in a course; nothing was deleted.
    """
    session, person = work.session, require_row(work.session, Person, number)
    if folded(written) != folded(person.name):
        raise ShopError(told("name", "person-confirm", written=written[:60], name=person.name))
    _require_nothing_open(session, person)
    _erase_history(work, person)
    for job in _jobs(session, number):
        _forget_job(work, job, person.name)
    orders = _orders(session, number)
    _erase_recipients(work, [order.id for order in orders])
    for order in orders:
        _forget_order(order)
    session.flush()
    session.execute(delete(ContactRow).where(ContactRow.person_id == number))
    session.delete(person)
    session.flush()
    work.tell(Event.PERSON_FORGOTTEN)


def _require_nothing_open(session: Session, person: Person) -> None:
    waiting = [order for order in _orders(session, person.id) if order.state in OPEN_STATES]
    problems: list[Problem] = []
    if waiting:
        names = ", ".join(f"{order.id} ({order.title})" for order in waiting)
        values = {"name": person.name, "count": len(waiting), "orders": names}
        problems.append(told("id", "person-has-open", **values))
    courses = [session.get_one(CourseRow, pupil.course_id) for pupil in _pupils(session, person.id)]
    running = ", ".join(course.title for course in courses if course.archived_at is None)
    if running:
        problems.append(told("id", "person-in-course", name=person.name, courses=running))
    if problems:
        raise ConflictError(problems)
    for pupil in _pupils(session, person.id):
        session.execute(delete(PupilMark).where(PupilMark.pupil_id == pupil.id))
        session.delete(pupil)
    session.flush()


def _erase_history(work: Work, person: Person) -> None:
    for row in _history(work.session, person):
        who = "" if folded(person.name) in folded(row.who) else row.who
        erased = update(HistoryRow).where(HistoryRow.id == row.id).values(who=who, detail=ERASED)
        work.session.execute(erased, execution_options={"synchronize_session": False})


def _forget_job(work: Work, job: JobRow, name: str) -> None:
    job.rider_id, job.note = None, ""
    if folded(name) in folded(job.title):
        job.title = f"{job.id}"
    work.session.execute(delete(NoteRow).where(NoteRow.job_id == job.id))
    work.session.flush()
    refresh_search(work.session, job)


def _forget_order(order: OrderRow) -> None:
    order.person_id, order.note, order.colour, order.surfed = None, "", "", ""
    order.title = f"{order.id}"
    order.search = order.title


def _erase_recipients(work: Work, order_ids: Sequence[int]) -> None:
    """Take the recipient and what he wrote off quotes and invoices; their numbers and sums stay."""
    if order_ids:
        work.session.execute(
            update(BillRow).where(BillRow.order_id.in_(order_ids)).values(recipient="", private={})
        )
