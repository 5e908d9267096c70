"""Access: codes shown on the host, paired devices, the password; and the page where a device pairs."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response
from fastapi.responses import HTMLResponse

from foamwright.errors import InputError
from foamwright.shop.database import Work
from foamwright.shop.jobs import JobQuery, find_jobs
from foamwright.shop.kinds import Role
from foamwright.shop.pairing import ShownCode, make_code
from foamwright.shop.passwords import has_password, set_password
from foamwright.shop.sessions import NewSession, end_session, live_sessions
from foamwright.web.answers import status_of
from foamwright.web.entering import enter_with_code, enter_with_password, keep_token, leave
from foamwright.web.forms import Form, Sent, read_form
from foamwright.web.intake import choice_of
from foamwright.web.pages.here import AnybodyHere, DeskHere, Here, SomebodyHere, TeacherHere
from foamwright.web.qr import qr_picture
from foamwright.web.rendering import NOTHING_TYPED, Typed, see_other
from foamwright.web.settings import Reach
from foamwright.web.visitors import require_own_page, require_role_to_make

router = APIRouter(include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]

_OWN_PATH = re.compile(r"/[A-Za-z0-9][A-Za-z0-9/_.-]*")


@router.get("/access")
def access(here: TeacherHere) -> Response:
    """Show the paired devices, and the forms for codes and the password."""
    return _page(here, NOTHING_TYPED, None)


@router.post("/access/codes")
def code(here: TeacherHere, form: Sent) -> Response:
    """Make a code and show it: it is in this answer only, so the form is not sent on."""
    try:
        with here.database.writing(here.visitor.actor) as work:
            role = choice_of(form, "role", Role)
            require_role_to_make(here.visitor, role)
            job = form.number("job_id") if role is Role.BENCH else None
            shown = make_code(work, role, job, form.text("label"))
    except InputError as wrong:
        page = _page(here, here.typed(form, wrong), None)
        page.status_code = status_of(wrong)
        return page
    return _page(here, NOTHING_TYPED, shown)


@router.post("/access/devices/{number}/end")
def end(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Let a device go."""

    def do(work: Work) -> str:
        end_session(work, number)
        return "/access?said=device-ended"

    return here.submit(form, do, lambda typed, _: _page(here, typed, None))


@router.post("/access/password")
def password(here: DeskHere, form: Sent) -> Response:
    """Set the teacher's password, or take it away."""

    def do(work: Work) -> str:
        set_password(work, form.text("password") or None)
        return "/access?said=password-set"

    return here.submit(_without(form, "password"), do, lambda typed, _: _page(here, typed, None))


@router.get("/pair")
def pair(here: AnybodyHere) -> Response:
    """Show where a device pairs."""
    return _pair(here, NOTHING_TYPED)


@router.post("/pair")
def paired(here: AnybodyHere, form: Sent) -> Response:
    """Pair a device by a code, or by the teacher's password."""
    try:
        require_own_page(here.request, here.visitor)
        entered = _enter(here, form)
    except InputError as wrong:
        page = _pair(here, here.typed(_without(form, "password"), wrong))
        page.status_code = status_of(wrong)
        return page
    onward = form.text("next") if _OWN_PATH.fullmatch(form.text("next")) else "/"
    answer = see_other(f"/jobs/{entered.job_id}" if entered.job_id is not None and onward == "/" else onward)
    keep_token(here.request, answer, entered)
    return answer


@router.post("/leave")
def left(here: SomebodyHere) -> Response:
    """Let this very device go."""
    answer = see_other("/pair")
    leave(here.request, answer, here.visitor)
    return answer


@router.get("/trust")
def trust(here: AnybodyHere) -> Response:
    """Explain how a device comes to trust the shop's own certificates."""
    settings = here.services.settings
    return here.show("trust", has_authority=bool(settings.authority), address=settings.address)


@router.get("/authority.crt")
def authority(here: AnybodyHere) -> Response:
    """Give the shop's own certificate authority, for a device to trust."""
    headers = {"Content-Disposition": 'attachment; filename="foamwright-authority.crt"'}
    pem = here.services.settings.authority
    return Response(pem, 200 if pem else 404, media_type="application/x-x509-ca-cert", headers=headers)


def _enter(here: Here, form: Form) -> NewSession:
    if form.text("password"):
        return enter_with_password(here.request, form.text("password"), form.text("label"))
    return enter_with_code(here.request, form.text("code"))


def _without(form: Form, name: str) -> Form:
    """The form as it may be shown again: a password is never sent back."""
    return Form({key: text for key, text in form.fields.items() if key != name}, form.files)


def _page(here: Here, typed: Typed, shown: ShownCode | None) -> HTMLResponse:
    settings = here.services.settings
    with here.reading() as session:
        devices = live_sessions(session, here.database.clock)
        jobs = find_jobs(session, JobQuery(limit=200))
        password_set = has_password(session)
    address = f"{settings.address}/pair?code={shown.code}" if shown and settings.address else ""
    return here.show(
        "access",
        typed,
        shown=shown,
        address=address,
        qr=qr_picture(address) if address else None,
        devices=devices,
        jobs=jobs,
        password_set=password_set,
        on_lan=settings.reach is Reach.LAN,
        at_the_desk=here.visitor.role is Role.DESK,
    )


def _pair(here: Here, typed: Typed) -> HTMLResponse:
    asked = here.request.query_params
    with here.reading() as session:
        password_set = has_password(session)
    return here.show(
        "pair",
        typed,
        code=asked.get("code", "")[:12],
        onward=asked.get("next", "")[:200],
        password_set=password_set,
    )
