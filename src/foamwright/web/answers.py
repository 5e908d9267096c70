"""Errors as answers: one shape for programs, a page in the visitor's words for people."""

from __future__ import annotations

import logging
from collections.abc import Sequence
from typing import Any
from urllib.parse import urlencode

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse, RedirectResponse
from sqlalchemy.exc import SQLAlchemyError
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.routing import Match

from foamwright.errors import FoamwrightError, InputError, NoAnswerError, Problem
from foamwright.shop.told import (
    BusyError,
    ConflictError,
    FullError,
    RefusedError,
    StaleError,
    StrangerError,
    TooManyError,
    UnknownError,
)
from foamwright.web.misread import misread
from foamwright.web.rendering import reader_of
from foamwright.web.services import services_of
from foamwright.web.shields import HEADERS
from foamwright.web.visitors import Visitor, visitor_of

METHODS = ("DELETE", "GET", "HEAD", "PATCH", "POST", "PUT")

_LOG = logging.getLogger(__name__)

STATUSES: tuple[tuple[type[FoamwrightError], int], ...] = (
    (StrangerError, 401),
    (RefusedError, 403),
    (UnknownError, 404),
    (ConflictError, 409),
    (TooManyError, 429),
    (BusyError, 503),
    (FullError, 507),
    (InputError, 422),
    (NoAnswerError, 409),
)
"""First that fits."""


def status_of(error: FoamwrightError) -> int:
    """Return the status that an error is answered with."""
    return next((status for kind, status in STATUSES if isinstance(error, kind)), 500)


def add_answers(app: FastAPI) -> None:
    """Let the app answer every error in words."""
    app.add_exception_handler(FoamwrightError, _told)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _plain)
    app.add_exception_handler(Exception, _fault)


def problems_json(request: Request, problems: Sequence[Problem]) -> dict[str, Any]:
    """Return problems in the one shape, in the visitor's words."""
    reader = reader_of(request)
    told = [reader.problem(problem) for problem in problems]
    return {"problems": [{"where": p.where, "what": p.what, "remedy": p.remedy} for p in told]}


async def _told(request: Request, error: Exception) -> Response:
    problems = error.problems if isinstance(error, InputError) else (Problem("", str(error), ""),)
    status = status_of(error) if isinstance(error, FoamwrightError) else 500
    if status == 401 and not _wants_json(request):
        return RedirectResponse(_way_in(request), 303)
    more = {}
    if isinstance(error, StaleError):
        more = {"revision": error.revision, "sheet": error.sheet, "difference": list(error.difference)}
    headers = {"Retry-After": "2"} if status in (429, 503) else {}
    return await _answer(request, status, problems, more, headers)


def _way_in(request: Request) -> str:
    """Where a stranger pairs; a page that was asked for, by the code on a job sheet say, comes after that."""
    path = request.url.path
    return f"/pair?{urlencode({'next': path})}" if request.method == "GET" and path != "/" else "/pair"


async def _invalid(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    problems = [misread(one, _place(one["loc"])) for one in error.errors()]
    return await _answer(request, 422, problems, {}, {})


async def _plain(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    words = reader_of(request).words
    key = f"status.{error.status_code}" if words.has(f"status.{error.status_code}.what") else "status.400"
    # What a body may weigh stands in the error that `shields` raises; the others' words have no place for it.
    problem = Problem("", words.say(f"{key}.what", limit=error.detail), words.say(f"{key}.remedy"))
    headers = dict(error.headers or {})
    if error.status_code == 405:
        headers["Allow"] = ", ".join(_methods_at(request))
    return await _answer(request, error.status_code, [problem], {}, headers)


def _methods_at(request: Request) -> list[str]:
    """Every method that some route takes at this path; the router itself names those of one route alone."""
    return [
        method
        for method in METHODS
        if any(
            route.matches({**request.scope, "method": method})[0] is Match.FULL
            for route in request.app.routes
        )
    ]


async def _fault(request: Request, error: Exception) -> Response:
    _LOG.error("a fault of ours at %s %s: %s", request.method, request.url.path, type(error).__name__)
    words = reader_of(request).words
    problem = Problem("", words.say("status.500.what"), words.say("status.500.remedy"))
    answer = await _answer(request, 500, [problem], {}, {})
    # This answer is made outside of everything that stands before the app.
    answer.headers.update(HEADERS)
    return answer


async def _answer(
    request: Request, status: int, problems: Sequence[Problem], more: dict[str, Any], headers: dict[str, str]
) -> Response:
    if _wants_json(request):
        return JSONResponse({**problems_json(request, problems), **more}, status, headers)
    reader = reader_of(request)
    page = services_of(request).templates.page(
        request,
        "problems",
        status,
        problems=[reader.problem(problem) for problem in problems],
        visitor=await run_in_threadpool(_visitor_if_known, request),
    )
    page.headers.update(headers)
    return page


def _visitor_if_known(request: Request) -> Visitor | None:
    # The very thing that went wrong may be the database.
    try:
        return visitor_of(request)
    except (FoamwrightError, SQLAlchemyError):
        return None


def _wants_json(request: Request) -> bool:
    return request.url.path.startswith("/api/")


def _place(location: Sequence[object]) -> Sequence[object]:
    """The path to a field, without the part of the request that it stands in where that says nothing more."""
    return location[1:] or location[:1]
