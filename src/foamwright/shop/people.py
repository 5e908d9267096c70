"""Riders: what is known of them obeys the rules of a rider sheet, but may be left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.errors import InputError, Problem
from foamwright.sheets.rider import rider_from_text
from foamwright.sheets.writing import key, lines, text_value
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event, Shelf
from foamwright.shop.rows import move, on_shelf, require_fresh, require_row
from foamwright.shop.searching import refresh_jobs_of
from foamwright.shop.tables import JobRow, Person
from foamwright.shop.texts import line_of, note_of
from foamwright.shop.told import ShopError

LONGEST_RIDER = 100
LONGEST_EXPERIENCE = 40
LONGEST_WATER = 80
"""Characters; as in a rider sheet."""


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


def people_page(session: Session, shelf: Shelf, limit: int, offset: int) -> tuple[Sequence[Person], int]:
    """Return a page of the people by name, and how many there are."""
    there = on_shelf(Person.archived_at, shelf)
    ordered = select(Person).where(there).order_by(func.lower(Person.name), Person.id)
    count = session.scalar(select(func.count()).select_from(Person).where(there)) or 0
    return session.scalars(ordered.limit(limit).offset(offset)).all(), int(count)


def offered_people(session: Session, chosen: int | None = None, most: int = 60) -> Sequence[Person]:
    """Return the people that a list of choices offers, by name: the newest, and the one chosen."""
    newest = select(Person).where(Person.archived_at.is_(None)).order_by(Person.id.desc()).limit(most)
    rows = list(session.scalars(newest))
    own = None if chosen is None else session.get(Person, chosen)
    if own is not None and own not in rows:
        rows.append(own)
    return sorted(rows, key=lambda row: (row.name.casefold(), row.id))


def rider_sheet(person: Person) -> str | None:
    """Return the rider as a rider sheet that the command line reads; ``None`` while something is missing."""
    told_all = None not in (person.mass_kg, person.stature_m) and person.experience and person.water
    if not told_all:
        return None
    return _sheet(PersonWish(person.name, person.mass_kg, person.stature_m, person.experience, person.water))


def _fill(person: Person, wish: PersonWish) -> None:
    person.name = line_of("name", wish.name, LONGEST_RIDER)
    person.mass_kg, person.stature_m = wish.mass_kg, wish.stature_m
    person.experience = note_of("experience", wish.experience, LONGEST_EXPERIENCE)
    person.water = note_of("water", wish.water, LONGEST_WATER)
    person.note = note_of("note", wish.note)
    _require_rider(replace(wish, name=person.name, experience=person.experience, water=person.water))


def _require_rider(wish: PersonWish) -> None:
    """Refuse what no rider sheet may say; what is left out is left out."""
    try:
        rider_from_text(_sheet(wish), "rider.toml")
    except InputError as why:
        raise ShopError([_at_its_field(problem) for problem in why.problems]) from None


def _sheet(wish: PersonWish) -> str:
    """The rider as a sheet, with something possible in the place of what is left out."""
    mass = 75.0 if wish.mass_kg is None else wish.mass_kg
    stature = 1.75 if wish.stature_m is None else wish.stature_m
    return lines(
        key("name", text_value(wish.name)),
        key("mass", text_value(f"{mass:.9f} kg")),
        key("stature", text_value(f"{stature:.9f} m")),
        key("experience", text_value(wish.experience or "beginner")),
        key("water", text_value(wish.water or "sea")),
    )


_FIELDS = {"mass": "mass_kg", "stature": "stature_m", "[water] temperature": "water"}


def _at_its_field(problem: Problem) -> Problem:
    place = problem.where.rpartition(", ")[2]
    return replace(problem, where=_FIELDS.get(place, place))
