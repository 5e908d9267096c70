"""Who I am, pairing, paired devices, all jobs at a glance, everything as one zip, the live stream."""

from __future__ import annotations

from collections.abc import AsyncIterator, Callable
from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Header, Query, Request, Response
from fastapi.responses import JSONResponse, StreamingResponse
from pydantic import Field
from starlette.types import Receive, Scope, Send

from foamwright import __version__
from foamwright.shop.kinds import Role
from foamwright.shop.overview import glance_at
from foamwright.shop.pairing import make_code
from foamwright.shop.sessions import end_session, live_sessions
from foamwright.units import System
from foamwright.web.api.bench import ReadingOut
from foamwright.web.api.here import Api
from foamwright.web.api.jobs import JobEntry
from foamwright.web.api.kinds import CHANGES, Id, IdField, Line, Sent, Told, answers
from foamwright.web.entering import enter_with_code, enter_with_password, keep_token
from foamwright.web.exported import export_answer
from foamwright.web.rendering import reader_of
from foamwright.web.visitors import (
    Anybody,
    Desk,
    Somebody,
    Teacher,
    give_secret,
    require_job,
    require_own_page,
    require_role_to_make,
    visitor_of,
)

router = APIRouter(tags=["access"])


class Me(Told):
    """Who asks, as the shop knows them; `csrf` goes into the header of every change."""

    role: Role | None
    label: str
    job_id: int | None
    csrf: str
    language: str
    lengths: System
    version: str


class CodeIn(Sent):
    """A code asked for."""

    role: Role
    job_id: IdField | None = None
    label: Line


class CodeOut(Told):
    """A code, in clear only here."""

    id: int
    code: str
    role: Role
    job_id: int | None
    label: str
    expires_at: datetime
    address: str


class PairIn(Sent):
    """A code from the host, or the teacher's password and what the device is called."""

    code: Annotated[str, Field(max_length=20)] = ""
    password: Annotated[str, Field(max_length=200)] = ""
    label: Line = ""


class Paired(Told):
    """A device that is paired now."""

    role: Role
    job_id: int | None


class Device(Told):
    """A paired device."""

    id: int
    role: Role
    job_id: int | None
    label: str
    made_at: datetime
    seen_at: datetime
    expires_at: datetime


class Devices(Told):
    """Paired devices, last seen first."""

    devices: list[Device]


class GlanceOut(Told):
    """A job at a glance."""

    job: JobEntry
    last: ReadingOut | None
    questioned: int
    steps: int
    done: int
    quiet_since: datetime
    waits_long: bool


class Class(Told):
    """Every job that is not in the archive, at a glance."""

    jobs: list[GlanceOut]


@router.get("/me", responses=answers())
def read_me(request: Request, response: Response, visitor: Anybody) -> Me:
    """Who asks; a browser or program without a cookie gets one, and the token that goes with it."""
    known, reader = give_secret(request, response, visitor), reader_of(request)
    return Me(
        role=known.role,
        label=known.label,
        job_id=known.job_id,
        csrf=known.csrf,
        language=reader.words.language,
        lengths=reader.lengths,
        version=__version__,
    )


@router.get("/class", responses=answers())
def read_class(api: Api, visitor: Teacher) -> Class:
    """Every job that is not in the archive, at a glance."""
    with api.database.reading() as session:
        return Class.model_validate({"jobs": list(glance_at(session, api.database.clock()))})


@router.post("/pairing/codes", status_code=201, responses=answers(*CHANGES))
def create_code(api: Api, visitor: Teacher, sent: CodeIn) -> CodeOut:
    """Make a code that lets one device in; only the host makes codes for teachers."""
    require_role_to_make(visitor, sent.role)
    with api.database.writing(visitor.actor) as work:
        shown = make_code(work, sent.role, sent.job_id, sent.label)
    address = api.settings.address
    return CodeOut(
        id=shown.id,
        code=shown.code,
        role=shown.role,
        job_id=shown.job_id,
        label=shown.label,
        expires_at=shown.expires_at,
        address=f"{address}/pair?code={shown.code}" if address else "",
    )


@router.post("/pairing", responses=answers(409, 429, 507))
def pair_device(request: Request, response: Response, visitor: Anybody, sent: PairIn) -> Paired:
    """Pair this device by a code, or by the teacher's password."""
    require_own_page(request, visitor)
    if sent.password:
        entered = enter_with_password(request, sent.password, sent.label)
    else:
        entered = enter_with_code(request, sent.code)
    keep_token(request, response, entered)
    return Paired(role=entered.role, job_id=entered.job_id)


@router.get("/devices", responses=answers())
def list_devices(api: Api, visitor: Teacher) -> Devices:
    """Paired devices, last seen first."""
    with api.database.reading() as session:
        return Devices.model_validate({"devices": list(live_sessions(session, api.database.clock))})


@router.delete("/devices/{id}", status_code=204, responses=answers(*CHANGES))
def delete_device(api: Api, visitor: Teacher, id: Id) -> None:
    """Let a device go."""
    with api.database.writing(visitor.actor) as work:
        end_session(work, id)


@router.get(
    "/export",
    response_class=StreamingResponse,
    responses={**answers(507), 200: {"content": {"application/zip": {}}, "description": "A zip."}},
)
def read_export(api: Api, visitor: Desk) -> StreamingResponse:
    """Everything in the shop as one zip, from which it can be restored."""
    return export_answer(api.database)


@router.get(
    "/live",
    response_class=StreamingResponse,
    responses={**answers(429), 200: {"content": {"text/event-stream": {}}, "description": "Events."}},
)
def follow(
    request: Request,
    api: Api,
    visitor: Somebody,
    job: Annotated[int | None, Query(ge=1, le=2_147_483_647, description="One job; else all.")] = None,
    after: Annotated[int | None, Query(ge=0, le=2_147_483_647, description="The last number seen.")] = None,
    last_event_id: Annotated[str, Header(description="The last number seen, as browsers send it.")] = "",
) -> StreamingResponse:
    """What happens, as server-sent events: name, number, and a JSON object; a bench follows its own job."""
    followed = job if job is not None else visitor.job_id
    if followed is not None or not visitor.teaches:
        require_job(visitor, followed or 0)
    follower = api.live.enter(followed, visitor.session_id)
    seen = int(last_event_id) if last_event_id.isdecimal() and len(last_event_id) < 10 else after
    lines = api.live.follow(follower, seen, lambda: visitor_of(request).may_see(followed))
    return LiveAnswer(lines, lambda: api.live.leave(follower))


@router.get("/openapi.json", include_in_schema=False)
def read_document(request: Request, visitor: Somebody) -> JSONResponse:
    """The OpenAPI document of this interface, for devices that are paired."""
    return JSONResponse(request.app.openapi())


class LiveAnswer(StreamingResponse):
    """A live stream; its place is given up however it ends, also where it never began."""

    def __init__(self, lines: AsyncIterator[str], gone: Callable[[], None]) -> None:
        super().__init__(lines, media_type="text/event-stream", headers={"X-Accel-Buffering": "no"})
        self.gone = gone

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Send the stream until it ends."""
        try:
            await super().__call__(scope, receive, send)
        finally:
            self.gone()
