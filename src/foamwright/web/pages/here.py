"""What a page has at hand: who asks, how they read, the database, and a way to answer a form."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import Depends, Request, Response
from fastapi.responses import HTMLResponse
from sqlalchemy.orm import Session

from foamwright.errors import InputError
from foamwright.shop.database import Database, Work
from foamwright.web.answers import status_of
from foamwright.web.forms import Form, done_once, new_once
from foamwright.web.pages.navigation import links_for
from foamwright.web.rendering import NOTHING_TYPED, Reader, Typed, reader_of, see_other
from foamwright.web.services import Services, services_of
from foamwright.web.visitors import Anybody, Desk, Moneyed, Somebody, Teacher, Visitor, give_secret

Again = Callable[[Typed, InputError | None], Response]
"""Shows a form once more, with what was typed and what cannot be taken."""


@dataclass(frozen=True, eq=False)
class Here:
    """What a page has at hand."""

    request: Request
    visitor: Visitor
    services: Services
    reader: Reader

    @property
    def database(self) -> Database:
        """The shop's."""
        return self.services.database

    def reading(self) -> AbstractContextManager[Session]:
        """Give a session for reading."""
        return self.database.reading()

    def show(self, name: str, typed: Typed = NOTHING_TYPED, status: int = 200, **values: Any) -> HTMLResponse:
        """Return a page, with its forms' tokens; a browser without a secret gets one along."""
        shared, cookies = self._shared()
        page = self.services.templates.page(self.request, name, status, typed=typed, **shared, **values)
        page.raw_headers.extend(cookies)
        return page

    def _shared(self) -> tuple[dict[str, Any], list[tuple[bytes, bytes]]]:
        """Return what every page is given, and the cookies that go with it."""
        bare = Response()
        visitor = give_secret(self.request, bare, self.visitor)
        cookies = [pair for pair in bare.raw_headers if pair[0] == b"set-cookie"]
        return {"visitor": visitor, "links": links_for(visitor), "once": new_once()}, cookies

    def submit(self, form: Form, do: Callable[[Work], str], again: Again) -> Response:
        """Do what a form asks, once, and send the browser on; or show the form again with what is wrong.

        Parameters
        ----------
        form
            As it was sent.
        do
            Does it, and returns where it leads.
        again
            Shows the form again.
        """
        try:
            with self.database.writing(self.visitor.actor) as work:
                location = done_once(work, form, lambda: do(work))
        except InputError as wrong:
            page = again(self.typed(form, wrong), wrong)
            page.status_code = status_of(wrong)
            return page
        return see_other(location)

    def typed(self, form: Form, wrong: InputError) -> Typed:
        """Return what was typed, with the problems in the visitor's words."""
        return Typed(form.fields, [self.reader.problem(problem) for problem in wrong.problems])


def _here(request: Request, visitor: Visitor) -> Here:
    return Here(request, visitor, services_of(request), reader_of(request))


async def _for_anybody(request: Request, visitor: Anybody) -> Here:
    return _here(request, visitor)


async def _for_somebody(request: Request, visitor: Somebody) -> Here:
    return _here(request, visitor)


async def _for_teacher(request: Request, visitor: Teacher) -> Here:
    return _here(request, visitor)


async def _for_moneyed(request: Request, visitor: Moneyed) -> Here:
    return _here(request, visitor)


async def _for_desk(request: Request, visitor: Desk) -> Here:
    return _here(request, visitor)


AnybodyHere = Annotated[Here, Depends(_for_anybody)]
SomebodyHere = Annotated[Here, Depends(_for_somebody)]
TeacherHere = Annotated[Here, Depends(_for_teacher)]
MoneyedHere = Annotated[Here, Depends(_for_moneyed)]
DeskHere = Annotated[Here, Depends(_for_desk)]
