"""The class page's addresses: the page, its rows alone (when something has happened), a note to a bench."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Depends, Response

from foamwright.shop.database import Work
from foamwright.shop.notes import add_note
from foamwright.web.classroom.view import class_rows
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/class", include_in_schema=False, dependencies=[Depends(read_form)])


@router.get("")
def page(here: TeacherHere) -> Response:
    """Show every job."""
    return _page(here, NOTHING_TYPED)


@router.get("/rows")
def rows(here: TeacherHere) -> Response:
    """Show the rows alone."""
    return here.show("class_rows", **_values(here))


@router.post("/notes")
def note(here: TeacherHere, form: Sent) -> Response:
    """Leave a note at a bench."""

    def do(work: Work) -> str:
        assert here.visitor.role is not None
        add_note(work, form.number("job_id"), here.visitor.role, form.text("words"))
        return "/class?said=note-left"

    return here.submit(form, do, lambda typed, _: _page(here, typed))


def _page(here: Here, typed: Typed) -> Response:
    asked = here.request.query_params.get("note", "")
    return here.show("class", typed, chosen=asked if asked.isdecimal() else "", **_values(here))


def _values(here: Here) -> dict[str, Any]:
    with here.reading() as session:
        found = class_rows(session, here.database.clock(), here.reader)
    return {"rows": found, "wanting": sum(1 for row in found if row.alarms)}
