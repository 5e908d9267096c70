"""What is stored of a person: shown, taken out, deleted; and who may see money and contacts."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from foamwright.shop.database import Work
from foamwright.shop.grants import give_grants, grants_given
from foamwright.shop.order_kinds import Grant
from foamwright.shop.order_round import put_away_days, put_old_away, set_put_away_days
from foamwright.shop.privacy import data_of, forget_person
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.here import DeskHere, Here
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]


@router.get("/people/{number}/data")
def data(here: DeskHere, number: Number) -> Response:
    """Show all that is stored of a person."""
    return _page(here, number, NOTHING_TYPED)


@router.get("/people/{number}/data.json")
def export(here: DeskHere, number: Number) -> Response:
    """Give all that is stored of a person as a file."""
    with here.reading() as session:
        content = data_of(session, number).as_json()
    headers = {"Content-Disposition": f'attachment; filename="person-{number}.json"'}
    return Response(content, media_type="application/json", headers=headers)


@router.post("/people/{number}/data")
def forget(here: DeskHere, number: Number, form: Sent) -> Response:
    """Delete a person."""

    def do(work: Work) -> str:
        forget_person(work, number, form.text("name"))
        return "/people?said=person-forgotten"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.get("/rights")
def rights(here: DeskHere) -> Response:
    """Show who may see what, and when orders are put away."""
    return _rights(here, NOTHING_TYPED)


@router.post("/rights")
def set_rights(here: DeskHere, form: Sent) -> Response:
    """Set who may see what, and when orders are put away."""

    def do(work: Work) -> str:
        give_grants(work, [grant for grant in Grant if form.text(grant.value) == "yes"])
        set_put_away_days(work, form.number("days"))
        return "/rights?said=rights-saved"

    return here.submit(form, do, lambda typed, _: _rights(here, typed))


@router.post("/rights/put-away")
def put_away(here: DeskHere, form: Sent) -> Response:
    """Put old orders away now."""

    def do(work: Work) -> str:
        put_old_away(work)
        return "/rights?said=put-away"

    return here.submit(form, do, lambda typed, _: _rights(here, typed))


def _page(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        found = data_of(session, number)
    return here.show("person_data", typed, data=found)


def _rights(here: Here, typed: Typed) -> Response:
    with here.reading() as session:
        given, days = grants_given(session), put_away_days(session)
    return here.show("rights", typed, given=given, days=days, grants=list(Grant))
