"""Riders."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.database import Work
from foamwright.shop.kinds import Event, Shelf
from foamwright.shop.rows import move, on_shelf, require_fresh, require_row
from foamwright.shop.searching import refresh_jobs_of
from foamwright.shop.tables import JobRow, Person
from foamwright.shop.texts import line_of, note_of
from foamwright.shop.told import ShopError, told

LIGHTEST_KG, HEAVIEST_KG = 10.0, 250.0
SHORTEST_M, TALLEST_M = 0.8, 2.4


@dataclass(frozen=True, slots=True)
class PersonWish:
    """What is to stand in a rider's row; mass in kg, stature in metres, both optional."""

    name: str
    mass_kg: float | None = None
    stature_m: float | None = None
    experience: str = ""
    water: str = ""
    note: str = ""


def add_person(work: Work, wish: PersonWish) -> Person:
    """Add a rider and return the row.

    Raises
    ------
    ShopError
        A text is empty or too long, or a number is beyond what can be.
    """
    person = Person(made_at=work.now, revision=1)
    _fill(person, wish)
    work.session.add(person)
    work.session.flush()
    work.tell(Event.PERSON_SAVED, person_id=person.id, name=person.name)
    return person


def change_person(work: Work, number: int, revision: int, wish: PersonWish) -> Person:
    """Change a rider and return the row.

    Raises
    ------
    UnknownError
        There is no such person.
    ConflictError
        Somebody changed the person meanwhile.
    ShopError
        A text or number cannot stand.
    """
    person = require_row(work.session, Person, number)
    require_fresh(person, revision)
    _fill(person, wish)
    person.revision += 1
    work.session.flush()
    refresh_jobs_of(work.session, JobRow.rider_id == person.id)
    work.tell(Event.PERSON_SAVED, person_id=person.id, name=person.name)
    return person


def move_person(work: Work, number: int, shelf: Shelf) -> Person:
    """Put a rider into the archive (jobs keep their rider), or take one out."""
    person = require_row(work.session, Person, number)
    if move(person, shelf, work.now):
        work.tell(Event.PERSON_ARCHIVED, person_id=person.id, shelf=shelf.value)
    return person


def all_people(session: Session, shelf: Shelf = Shelf.IN_USE) -> Sequence[Person]:
    """Return the riders by name: those at hand, or those in the archive."""
    there = on_shelf(Person.archived_at, shelf)
    return session.scalars(select(Person).where(there).order_by(func.lower(Person.name), Person.id)).all()


def _fill(person: Person, wish: PersonWish) -> None:
    person.name = line_of("name", wish.name)
    person.mass_kg = _within("mass_kg", wish.mass_kg, LIGHTEST_KG, HEAVIEST_KG)
    person.stature_m = _within("stature_m", wish.stature_m, SHORTEST_M, TALLEST_M)
    person.experience = note_of("experience", wish.experience, 40)
    person.water = note_of("water", wish.water, 80)
    person.note = note_of("note", wish.note)


def _within(where: str, value: float | None, least: float, most: float) -> float | None:
    if value is not None and not least <= value <= most:
        raise ShopError(told(where, "beyond", written=f"{value:g}", least=f"{least:g}", most=f"{most:g}"))
    return value
