"""The people page: riders, added and changed, in use and in the archive."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from foamwright.errors import InputError
from foamwright.shop.database import Work
from foamwright.shop.kinds import Shelf
from foamwright.shop.people import PersonWish, add_person, change_person, move_person, people_page
from foamwright.shop.rows import require_row
from foamwright.shop.tables import Person
from foamwright.units import parse_length, parse_mass
from foamwright.web.forms import Form, Sent, gathered, read_form
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.pages.shelves import ON_A_PAGE, MoveTo, Part, part_asked, shelf_asked
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/people", include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]
FIELDS = ("name", "mass", "stature", "experience", "water", "note")


@router.get("")
def people(here: TeacherHere) -> Response:
    """Show the riders."""
    return _list(here, NOTHING_TYPED)


@router.post("")
def add(here: TeacherHere, form: Sent) -> Response:
    """Add a rider."""

    def do(work: Work) -> str:
        person = add_person(work, _wish(form))
        return f"/people?said=person-added#person-{person.id}"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


@router.get("/{number}")
def person(here: TeacherHere, number: Number) -> Response:
    """Show one rider's form."""
    return _form(here, number, NOTHING_TYPED)


@router.post("/{number}")
def change(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Change a rider."""

    def do(work: Work) -> str:
        change_person(work, number, form.number("revision"), _wish(form))
        return f"/people?said=person-saved#person-{number}"

    return here.submit(form, do, lambda typed, _: _form(here, number, typed))


@router.post("/{number}/shelf")
def move(here: TeacherHere, number: Number, form: Sent, to: MoveTo) -> Response:
    """Put a rider into the archive, or take one out."""

    def do(work: Work) -> str:
        move_person(work, number, to)
        return f"/people?said={to.name.casefold()}"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


def _list(here: Here, typed: Typed) -> Response:
    shelf = shelf_asked(here.request)
    with here.reading() as session:
        start = part_asked(here.request)
        rows, count = people_page(session, shelf, ON_A_PAGE, start)
    return here.show(
        "people", typed, people=rows, part=Part(start, count), shelf=shelf, in_use=Shelf.IN_USE, fields=FIELDS
    )


def _form(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        row = require_row(session, Person, number)
    return here.show("person", typed, person=row, fields=FIELDS)


def _wish(form: Form) -> PersonWish:
    mass, stature = form.text("mass").strip(), form.text("stature").strip()
    problems = gathered(
        lambda: parse_mass(mass or "1 kg", "mass"), lambda: parse_length(stature or "1 m", None, "stature")
    )
    if problems:
        raise InputError(problems)
    return PersonWish(
        name=form.text("name"),
        mass_kg=parse_mass(mass) if mass else None,
        stature_m=parse_length(stature) if stature else None,
        experience=form.text("experience"),
        water=form.text("water"),
        note=form.text("note"),
    )
