"""What stands before the app: headers on every answer, the names it is called by, the size of bodies."""

from __future__ import annotations

import json
from collections.abc import Mapping
from html import escape

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.middleware.gzip import GZipMiddleware
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from foamwright.errors import Problem
from foamwright.web.settings import LOOPBACK_NAMES, Limits

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "worker-src 'self'",
        "manifest-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
"""No script, style or request but our own; none written into a page."""

HEADERS: Mapping[str, str] = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
}

UPLOADS = ("/api/stock/lists", "/stock/list")
"""Where files are sent."""


class SecureHeaders:
    """Puts the headers on every answer; what is private is not kept in any cache unless it says so."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer with the headers."""

        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        await self.app(scope, receive, send_with_headers)


class Packed(GZipMiddleware):
    """Packs answers over 10 kB, but none to a request that another site made a browser send.

    Whoever can make a browser ask again and again, and watch how long packed answers are, can guess what
    secret stands beside a text of their own (Gluck, Harris and Prado, BREACH, 2013).
    """

    def __init__(self, app: ASGIApp) -> None:
        # Level 5: half the time of the usual 9, and a fiftieth more bytes.
        super().__init__(app, minimum_size=10_000, compresslevel=5)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, packed or not."""
        if scope["type"] == "http" and Headers(scope=scope).get("sec-fetch-site", "none") in _OWN_SITES:
            await super().__call__(scope, receive, send)
        else:
            await self.app(scope, receive, send)


_OWN_SITES = ("same-origin", "none")


class KnownNames:
    """Refuses requests that call the app by a name it does not have.

    A page of somebody else's whose name was pointed at this machine (DNS rebinding) stops here.
    """

    def __init__(self, app: ASGIApp, names: frozenset[str]) -> None:
        self.app, self.names = app, names | LOOPBACK_NAMES

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse."""
        if scope["type"] != "http" or host_name(Headers(scope=scope).get("host", "")) in self.names:
            await self.app(scope, receive, send)
            return
        await refuse_name(scope, send)


class BodyLimit:
    """Refuses a body that is larger than the app takes, whatever it says of its length."""

    def __init__(self, app: ASGIApp, limits: Limits) -> None:
        self.app, self.limits = app, limits

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or refuse as soon as it is known."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        most = self.limits.upload if scope["path"] in UPLOADS else self.limits.body
        said = Headers(scope=scope).get("content-length", "0")
        if not said.isascii() or not said.isdigit() or int(said[:18]) > most:
            await self._refused(scope, send, most)
            return
        await self._counted(scope, receive, send, most)

    async def _refused(self, scope: Scope, send: Send, most: int) -> None:
        """Tell a program in the one shape; tell a person on a page, which the app makes in their words."""

        async def too_large() -> Message:
            raise HTTPException(413, megabytes(most))

        if "text/html" in Headers(scope=scope).get("accept", ""):
            await self.app(scope, too_large, send)
        else:
            await _too_large(send, most)

    async def _counted(self, scope: Scope, receive: Receive, send: Send, most: int) -> None:
        came = 0

        async def receive_counted() -> Message:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > most:
                # The app's own way to say so; see `answers`.
                raise HTTPException(413, megabytes(most))
            return message

        await self.app(scope, receive_counted, send)


def megabytes(count: int) -> str:
    """Return how much may be sent in words: ``5 MB``."""
    return f"{count / 1e6:g} MB"


def host_name(host: str) -> str:
    """Return the name in a Host header, without its port and brackets."""
    if host.startswith("["):
        return host[1:].partition("]")[0].casefold()
    return host.partition(":")[0].casefold().rstrip(".")


async def refuse_name(scope: Scope, send: Send) -> None:
    """Say that the app is not called by the name in the request."""
    what = "The app is not called by this name."
    problem = Problem("host", what, "Use the address that foamwright serve prints.")
    # A page of the app would trust a name that nobody vouches for; these two sentences trust nothing.
    await refuse(send, 421, problem, as_page="text/html" in Headers(scope=scope).get("accept", ""))


async def refuse(send: Send, status: int, problem: Problem, *, as_page: bool = False) -> None:
    """Answer with one problem: in the one shape for programs, or as a bare page for a person."""
    told = {"where": problem.where, "what": problem.what, "remedy": problem.remedy}
    kind, body = b"application/json", json.dumps({"problems": [told]}).encode()
    if as_page:
        words = f"<h1>{escape(problem.what)}</h1><p>{escape(problem.remedy)}</p>"
        head = '<!doctype html><html lang="en"><meta charset="utf-8"><title>foamwright</title>'
        kind, body = b"text/html; charset=utf-8", (head + words).encode()
    headers = [(b"content-type", kind), (b"content-length", str(len(body)).encode())]
    if status == 413:
        headers.append((b"connection", b"close"))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})


async def _too_large(send: Send, most: int) -> None:
    what = f"This is larger than {megabytes(most)}."
    await refuse(send, 413, Problem("body", what, "Leave out what is not needed, or send it in parts."))
