"""Who orders: a person of the shop, with how to reach them and notes; nothing else is asked."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.database import Work
from foamwright.shop.order_tables import ContactRow
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.rows import require_row
from foamwright.shop.tables import Person
from foamwright.shop.texts import line_of, note_of

LONGEST_REACH = 600


@dataclass(frozen=True, slots=True)
class ContactWish:
    """How to reach a person (lines of any kind: telephone, mail, address), and notes."""

    reach: str = ""
    note: str = ""


def set_contact(work: Work, person_id: int, wish: ContactWish) -> ContactRow:
    """Write down how to reach a person.

    Raises
    ------
    UnknownError
        There is no such person.
    ShopError
        A text is too long.
    """
    require_row(work.session, Person, person_id)
    reach, note = note_of("reach", wish.reach, LONGEST_REACH), note_of("contact_note", wish.note)
    row = work.session.get(ContactRow, person_id)
    if row is None:
        row = ContactRow(person_id=person_id)
        work.session.add(row)
    row.reach, row.note, row.changed_at = reach, note, work.now
    return row


def contact_of(session: Session, person_id: int | None) -> ContactWish:
    """Return how to reach a person; empty where nothing is known."""
    row = None if person_id is None else session.get(ContactRow, person_id)
    return ContactWish() if row is None else ContactWish(row.reach, row.note)


def find_or_add_person(work: Work, name: str, reach: str) -> Person:
    """Return the person of that name who can be reached that way, added if there is none.

    Two people of one name are told apart by how they are reached; a way to reach that is left empty, or is
    the first that is known, takes the person there is.
    """
    named = line_of("customer", name)
    same = select(Person).where(func.lower(Person.name) == named.lower(), Person.archived_at.is_(None))
    for person in work.session.scalars(same.order_by(Person.id)):
        known = contact_of(work.session, person.id).reach
        if not reach.strip() or not known or known == note_of("reach", reach, LONGEST_REACH):
            if reach.strip() and not known:
                set_contact(work, person.id, ContactWish(reach))
            return person
    person = add_person(work, PersonWish(named))
    set_contact(work, person.id, ContactWish(reach))
    return person
