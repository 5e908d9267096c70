"""Coming in by a code or the teacher's password, wrong tries slowed down; and leaving."""

from __future__ import annotations

from fastapi import Request, Response

from foamwright.shop.database import Actor
from foamwright.shop.kinds import Role
from foamwright.shop.pairing import require_paired, try_code
from foamwright.shop.passwords import password_kept, require_password
from foamwright.shop.sessions import NewSession, end_session, open_session
from foamwright.shop.texts import line_of
from foamwright.web.services import services_of
from foamwright.web.visitors import SESSION_COOKIE, Visitor, cookie_name, keep_cookie, signed

_DOOR = Actor("door")


def enter_with_code(request: Request, code: str) -> NewSession:
    """Open a session with a code.

    Raises
    ------
    RefusedError
        The code is not good.
    TooManyError
        This address has tried wrongly too often.
    """
    services = services_of(request)
    with services.codes.trying(address_of(request)):
        with services.database.writing(_DOOR) as work:
            session = try_code(work, code[:20])
        return require_paired(session)


def enter_with_password(request: Request, password: str, label: str) -> NewSession:
    """Open a teacher's session with the teacher's password.

    Raises
    ------
    RefusedError
        It is wrong, or none is set.
    TooManyError
        This address has tried wrongly too often.
    """
    services = services_of(request)
    named = line_of("label", label or "teacher")
    with services.passwords.trying(address_of(request)):
        # The database is let go before the hashing, which takes its time.
        with services.database.reading() as session:
            kept = password_kept(session)
        require_password(kept, password)
    with services.database.writing(_DOOR) as work:
        return open_session(work, Role.TEACHER, None, named)


def keep_token(request: Request, answer: Response, entered: NewSession) -> None:
    """Give the device its token."""
    keep_cookie(request, answer, SESSION_COOKIE, signed(services_of(request).key, entered.token))


def leave(request: Request, answer: Response, visitor: Visitor) -> None:
    """End the visitor's own session."""
    if visitor.session_id is not None:
        with services_of(request).database.writing(visitor.actor) as work:
            end_session(work, visitor.session_id)
    answer.delete_cookie(
        cookie_name(request, SESSION_COOKIE), secure=request.url.scheme == "https", httponly=True
    )


def address_of(request: Request) -> str:
    """Return the address a request comes from; what proxies say of it is not believed."""
    return request.client.host if request.client else ""
