"""People."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from foamwright.shop.kinds import Shelf
from foamwright.shop.people import (
    LONGEST_EXPERIENCE,
    LONGEST_RIDER,
    LONGEST_WATER,
    PersonWish,
    add_person,
    all_people,
    change_person,
    move_person,
)
from foamwright.shop.rows import require_row
from foamwright.shop.tables import Person
from foamwright.web.api.here import Api
from foamwright.web.api.kinds import CHANGES, Id, Line, Revision, Sent, Text, Told, answers
from foamwright.web.visitors import Teacher

router = APIRouter(prefix="/people", tags=["people"])

Number = Annotated[float | None, Field(ge=0, le=1000, allow_inf_nan=False)]


class PersonIn(Sent):
    """A rider as sent."""

    name: Annotated[Line, Field(max_length=LONGEST_RIDER)]
    mass_kg: Number = None
    stature_m: Number = None
    experience: Annotated[Line, Field(max_length=LONGEST_EXPERIENCE)] = ""
    water: Annotated[Line, Field(max_length=LONGEST_WATER)] = ""
    note: Text = ""

    def wish(self) -> PersonWish:
        """Return what the shop is asked for."""
        return PersonWish(**self.model_dump(exclude={"revision"}))


class PersonChange(PersonIn):
    """A rider as changed."""

    revision: Revision


class PersonOut(Told):
    """A rider."""

    id: int
    name: str
    mass_kg: float | None
    stature_m: float | None
    experience: str
    water: str
    note: str
    revision: int
    made_at: datetime
    archived_at: datetime | None


class People(Told):
    """Riders by name."""

    people: list[PersonOut]


class ShelfIn(Sent):
    """Where something is to be kept."""

    shelf: Shelf


@router.get("", responses=answers())
def list_people(api: Api, visitor: Teacher, shelf: Shelf = Shelf.IN_USE) -> People:
    """Riders by name, those in use or those in the archive."""
    with api.database.reading() as session:
        return People.model_validate({"people": list(all_people(session, shelf))})


@router.post("", status_code=201, responses=answers(507))
def create_person(api: Api, visitor: Teacher, sent: PersonIn) -> PersonOut:
    """Add a rider."""
    with api.database.writing(visitor.actor) as work:
        return PersonOut.model_validate(add_person(work, sent.wish()))


@router.get("/{id}", responses=answers(404))
def read_person(api: Api, visitor: Teacher, id: Id) -> PersonOut:
    """One rider."""
    with api.database.reading() as session:
        return PersonOut.model_validate(require_row(session, Person, id))


@router.put("/{id}", responses=answers(*CHANGES))
def update_person(api: Api, visitor: Teacher, id: Id, sent: PersonChange) -> PersonOut:
    """Change a rider; refused if somebody changed the rider since that revision."""
    with api.database.writing(visitor.actor) as work:
        return PersonOut.model_validate(change_person(work, id, sent.revision, sent.wish()))


@router.put("/{id}/shelf", responses=answers(*CHANGES))
def shelve_person(api: Api, visitor: Teacher, id: Id, sent: ShelfIn) -> PersonOut:
    """Put a rider into the archive, or take one out."""
    with api.database.writing(visitor.actor) as work:
        return PersonOut.model_validate(move_person(work, id, sent.shelf))
