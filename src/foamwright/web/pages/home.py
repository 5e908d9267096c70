"""The first page, how a visitor reads, everything as one file, and whether the app is well."""

from __future__ import annotations

import re

from fastapi import APIRouter, Depends, Response

from foamwright.shop.boards import all_boards
from foamwright.shop.stock import all_stock
from foamwright.units import System
from foamwright.web.catalogue import LANGUAGES
from foamwright.web.exported import export_answer
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.here import AnybodyHere, DeskHere, SomebodyHere
from foamwright.web.rendering import LANGUAGE_COOKIE, LENGTHS_COOKIE, see_other
from foamwright.web.visitors import require_own_page

router = APIRouter(include_in_schema=False, dependencies=[Depends(read_form)])

_OWN_PATH = re.compile(r"/[A-Za-z0-9/_.-]*")


@router.get("/")
def home(here: SomebodyHere) -> Response:
    """Send a visitor to where their work is: into an empty shop by its doors."""
    with here.reading() as session:
        is_empty = here.visitor.teaches and not all_boards(session) and not all_stock(session)
    return see_other("/start" if is_empty else "/jobs")


@router.post("/reading-habits")
def habits(here: AnybodyHere, form: Sent) -> Response:
    """Keep a visitor's language and lengths."""
    require_own_page(here.request, here.visitor)
    back = form.text("back")
    answer = see_other(back if _OWN_PATH.fullmatch(back) and not back.startswith("//") else "/")
    for cookie, chosen, choices in (
        (LANGUAGE_COOKIE, form.text("language"), LANGUAGES),
        (LENGTHS_COOKIE, form.text("lengths"), tuple(System)),
    ):
        if chosen in choices:
            answer.set_cookie(cookie, chosen, max_age=31_536_000, httponly=True, samesite="lax")
    return answer


@router.get("/export.zip")
def everything(here: DeskHere) -> Response:
    """Give everything as one zip."""
    return export_answer(here.database)


@router.get("/health")
def health(here: AnybodyHere) -> Response:
    """Say that the app answers and its database can be read."""
    with here.reading() as session:
        session.connection()
    return Response("ok\n", media_type="text/plain")
