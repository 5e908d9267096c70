"""The door on plain http, for devices that do not trust the shop yet: how to trust it, and nothing else."""

from __future__ import annotations

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from foamwright.web.settings import LOOPBACK_NAMES
from foamwright.web.shields import host_name, refuse_name

OPEN = ("/trust", "/authority.crt", "/static/")


class Door:
    """Shows how to trust the shop; sends everything else on to https."""

    def __init__(self, app: ASGIApp, port: int, names: frozenset[str]) -> None:
        self.app, self.port, self.names = app, port, names | LOOPBACK_NAMES

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or send on."""
        path = scope.get("path", "/")
        if scope["type"] == "http" and scope["method"] in ("GET", "HEAD") and path.startswith(OPEN):
            await self.app(scope, receive, send)
        elif scope["type"] == "http" and host_name(Headers(scope=scope).get("host", "")) not in self.names:
            # Sending on would repeat whatever name was asked for, that of somebody else's site too.
            await refuse_name(scope, send)
        elif scope["type"] == "http":
            await self._send_on(scope, send)

    async def _send_on(self, scope: Scope, send: Send) -> None:
        # The path is left behind: on plain http anybody on the network may have read or changed it.
        host = host_name(Headers(scope=scope).get("host", ""))
        shown = f"[{host}]" if ":" in host else host
        location = f"https://{shown}:{self.port}/".encode("latin-1", "ignore")
        headers = [(b"location", location), (b"content-length", b"0")]
        await send({"type": "http.response.start", "status": 307, "headers": headers})
        await send({"type": "http.response.body", "body": b""})
