"""Who is asking: somebody at the host, a paired teacher, a paired bench, or a stranger."""

from __future__ import annotations

import hashlib
import hmac
import secrets
from contextlib import suppress
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Request, Response
from starlette.concurrency import run_in_threadpool

from foamwright.shop.database import Actor
from foamwright.shop.grants import grants_given
from foamwright.shop.kinds import Role
from foamwright.shop.order_kinds import Grant
from foamwright.shop.sessions import SEEN_EVERY, find_session, saw_session
from foamwright.shop.tables import PairedSession
from foamwright.shop.told import RefusedError, ShopError, StrangerError, told
from foamwright.web.rendering import AT_THE_HOST
from foamwright.web.services import Services, services_of
from foamwright.web.settings import LOOPBACK_NAMES, Reach
from foamwright.web.shields import host_name

SESSION_COOKIE = "foamwright-session"
DESK_COOKIE = "foamwright-desk"
CSRF_HEADER = "x-foamwright-csrf"
CSRF_FIELD = "csrf"
SAFE_METHODS = frozenset({"GET", "HEAD", "OPTIONS"})
_YEAR_SECONDS = 365 * 24 * 3600


@dataclass(frozen=True, slots=True)
class Visitor:
    """Who is asking.

    Attributes
    ----------
    role
        ``None`` for a stranger.
    label
        What history calls them.
    job_id
        The one job that a bench sees; ``None`` for everybody else.
    session_id
        Of a paired device.
    secret
        What this browser alone knows; its form tokens are made from it. Empty if it keeps no cookie yet.
    csrf
        The token that its forms carry.
    grants
        What the owner has given this teacher to see besides the work.
    """

    role: Role | None
    label: str
    job_id: int | None
    session_id: int | None
    secret: str
    csrf: str
    grants: frozenset[Grant] = frozenset()

    @property
    def actor(self) -> Actor:
        """Who does it, as history names them."""
        return Actor(self.label)

    @property
    def teaches(self) -> bool:
        """Whether this is the host or a teacher."""
        return self.role in (Role.DESK, Role.TEACHER)

    @property
    def sees_money(self) -> bool:
        """Whether prices, costs and sums are shown: to the owner, at the host, and to whom that was given."""
        return self.role is Role.DESK or Grant.MONEY in self.grants

    @property
    def sees_contacts(self) -> bool:
        """Whether it is shown how to reach people; as with money."""
        return self.role is Role.DESK or Grant.CONTACTS in self.grants

    def may_see(self, job_id: int | None) -> bool:
        """Return whether a job (``None``: all of them) is this visitor's to see."""
        return self.teaches or (self.role is Role.BENCH and job_id is not None and job_id == self.job_id)


def visitor_of(request: Request) -> Visitor:
    """Return who is asking; routes depend on it by `Anybody`, `Somebody`, `Teacher` and `Desk`."""
    services = services_of(request)
    if is_at_the_host(request):
        secret = unsigned(services.key, request.cookies.get(cookie_name(request, DESK_COOKIE), ""))
        return _visitor(services, Role.DESK, AT_THE_HOST, secret or "")
    token = unsigned(services.key, request.cookies.get(cookie_name(request, SESSION_COOKIE), ""))
    session, grants = None, frozenset[Grant]()
    if token and services.settings.reach is Reach.LAN:
        session, grants = _session(services, token)
    if token is None or session is None:
        secret = unsigned(services.key, request.cookies.get(cookie_name(request, DESK_COOKIE), ""))
        return _visitor(services, None, "stranger", secret or "")
    return _visitor(services, Role(session.role), session.label, token, session, grants)


async def _asking(request: Request) -> Visitor:
    # A dependency that does not wait is asked without changing threads; only a paired device's session is
    # looked up, in a thread of its own.
    looks_up = services_of(request).settings.reach is Reach.LAN and not is_at_the_host(request)
    return await run_in_threadpool(visitor_of, request) if looks_up else visitor_of(request)


def is_at_the_host(request: Request) -> bool:
    """Return whether the request comes from this very machine, and calls it by its own name."""
    peer = request.client.host if request.client else ""
    return peer in LOOPBACK_NAMES and host_name(request.headers.get("host", "")) in LOOPBACK_NAMES


async def somebody(request: Request, visitor: Annotated[Visitor, Depends(_asking)]) -> Visitor:
    """Return a visitor who is known, and whose request our own page sent.

    Raises
    ------
    StrangerError
        Nobody known is asking.
    """
    if visitor.role is None:
        raise StrangerError(told("session", "stranger"))
    require_own_page(request, visitor)
    return visitor


async def teacher(visitor: Annotated[Visitor, Depends(somebody)]) -> Visitor:
    """Return the host or a teacher.

    Raises
    ------
    RefusedError
        It is a bench.
    """
    if not visitor.teaches:
        raise RefusedError(told("session", "teacher-only"))
    return visitor


async def desk(visitor: Annotated[Visitor, Depends(somebody)]) -> Visitor:
    """Return somebody at the host itself.

    Raises
    ------
    RefusedError
        It is anybody else.
    """
    if visitor.role is not Role.DESK:
        raise RefusedError(told("session", "desk-only"))
    return visitor


async def moneyed(visitor: Annotated[Visitor, Depends(teacher)]) -> Visitor:
    """Return the owner, or a teacher who was given to see money.

    Raises
    ------
    RefusedError
        It is anybody else.
    """
    if not visitor.sees_money:
        raise RefusedError(told("session", "money-only"))
    return visitor


Anybody = Annotated[Visitor, Depends(_asking)]
Somebody = Annotated[Visitor, Depends(somebody)]
Teacher = Annotated[Visitor, Depends(teacher)]
Moneyed = Annotated[Visitor, Depends(moneyed)]
Desk = Annotated[Visitor, Depends(desk)]


def require_job(visitor: Visitor, job_id: int) -> None:
    """Refuse a bench that asks for another job than its own.

    Raises
    ------
    RefusedError
        The job is not this visitor's to see.
    """
    if not visitor.may_see(job_id):
        raise RefusedError(told("job_id", "other-job"))


def require_role_to_make(visitor: Visitor, role: Role) -> None:
    """Refuse codes that the visitor may not make: only the host lets teachers in.

    Raises
    ------
    RefusedError
        It is not the host, or a code for the host itself was asked for.
    """
    if role is Role.DESK or (role is Role.TEACHER and visitor.role is not Role.DESK):
        raise RefusedError(told("role", "desk-only"))


def require_own_page(request: Request, visitor: Visitor) -> None:
    """Refuse a change that some other site's page has sent in this browser's name.

    Raises
    ------
    RefusedError
        The token is missing or wrong, or the browser says that another site or origin sent it.
    """
    if request.method in SAFE_METHODS:
        return
    sent = request.headers.get(CSRF_HEADER) or _form_token(request)
    foreign = request.headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none")
    if (
        foreign
        or not _is_own_origin(request)
        or not visitor.csrf
        or not hmac.compare_digest(sent.encode(), visitor.csrf.encode())
    ):
        raise RefusedError(told(CSRF_FIELD, "form-stale"))


def _is_own_origin(request: Request) -> bool:
    """Whether the origin that a browser names, if it names one, is this very one."""
    origin = request.headers.get("origin")
    own = f"{request.url.scheme}://{request.headers.get('host', '')}"
    return origin is None or origin.casefold() == own.casefold()


def give_secret(request: Request, response: Response, visitor: Visitor) -> Visitor:
    """Give a browser without one a secret of its own, and return the visitor who has it now."""
    if visitor.secret:
        return visitor
    secret = secrets.token_urlsafe(24)
    keep_cookie(request, response, DESK_COOKIE, signed(services_of(request).key, secret))
    return _visitor(services_of(request), visitor.role, visitor.label, secret)


def keep_cookie(request: Request, response: Response, name: str, value: str) -> None:
    """Give the browser a cookie that no script reads and no other site sends along."""
    response.set_cookie(
        cookie_name(request, name),
        value,
        max_age=_YEAR_SECONDS,
        secure=request.url.scheme == "https",
        httponly=True,
        samesite="lax",
    )


def cookie_name(request: Request, name: str) -> str:
    """Return a cookie's name; over https the prefix keeps other hosts from setting it."""
    return f"__Host-{name}" if request.url.scheme == "https" else name


def signed(key: bytes, value: str) -> str:
    """Return a value with our signature."""
    return f"{value}.{_mac(key, 'cookie', value)}"


def unsigned(key: bytes, text: str) -> str | None:
    """Return the value of a signed text, or ``None`` if the signature is not ours."""
    value, _, mac = text.rpartition(".")
    good = hmac.compare_digest(mac.encode(), _mac(key, "cookie", value).encode())
    return value if value and good else None


def _visitor(
    services: Services,
    role: Role | None,
    label: str,
    secret: str,
    session: PairedSession | None = None,
    grants: frozenset[Grant] = frozenset(),
) -> Visitor:
    csrf = _mac(services.key, "csrf", secret) if secret else ""
    if session is None:
        return Visitor(role, label, None, None, secret, csrf)
    return Visitor(role, label, session.job_id, session.id, secret, csrf, grants)


def _mac(key: bytes, use: str, value: str) -> str:
    return hmac.new(key, f"{use}:{value}".encode(), hashlib.sha256).hexdigest()


def _session(services: Services, token: str) -> tuple[PairedSession | None, frozenset[Grant]]:
    database = services.database
    with database.reading() as session:
        found = find_session(session, token, database.clock)
        teaches = found is not None and found.role == Role.TEACHER
        grants = grants_given(session) if teaches else frozenset[Grant]()
    if found is not None and database.clock() - found.seen_at > SEEN_EVERY:
        # A full disk or a busy database must not keep a bench from reading its job.
        with suppress(ShopError), database.writing(Actor(found.label)) as work:
            saw_session(work, found.id)
    return found, grants


def _form_token(request: Request) -> str:
    form = getattr(request.state, "form", None)
    return "" if form is None else str(form.fields.get(CSRF_FIELD, ""))
