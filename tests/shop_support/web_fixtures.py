"""Fixtures of the app's tests: an app over each database, and visitors of each kind."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import ExitStack

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from foamwright.shop.database import Database
from foamwright.web.app import create_app
from foamwright.web.settings import Reach, Settings

LAN_HOST = "192.168.7.20"


class Visit(TestClient):
    """A visitor with cookies; `send_form` sends a form as the page shown last would."""

    def meet(self) -> Visit:
        """Ask who I am, and keep the token for programs."""
        self.headers["x-foamwright-csrf"] = self.get("/api/me").json()["csrf"]
        return self

    def tokens(self, page: str) -> dict[str, str]:
        text = self.get(page).text
        return {name: re.search(rf'name="{name}" value="([^"]*)"', text)[1] for name in ("csrf", "once")}

    def send_form(self, page: str, action: str, fields: dict[str, str], **more):
        token = self.headers.pop("x-foamwright-csrf", None)
        try:
            return self.post(action, data={**self.tokens(page), **fields}, follow_redirects=False, **more)
        finally:
            if token:
                self.headers["x-foamwright-csrf"] = token


@pytest.fixture
def local_app(database: Database) -> FastAPI:
    return create_app(Settings(database))


@pytest.fixture
def lan_app(database: Database) -> FastAPI:
    return create_app(
        Settings(database, Reach.LAN, frozenset({LAN_HOST}), f"https://{LAN_HOST}:8421", b"PEM")
    )


@pytest.fixture
def visit() -> Iterator[Callable[..., Visit]]:
    with ExitStack() as stack:

        def come(app: FastAPI, peer: str = "127.0.0.1", base: str = "http://127.0.0.1") -> Visit:
            # Faults come back as answers, as they do from a real server.
            client = Visit(app, client=(peer, 50000), base_url=base, raise_server_exceptions=False)
            stack.callback(client.close)
            return client

        yield come


@pytest.fixture
def desk(local_app: FastAPI, visit: Callable[..., Visit]) -> Visit:
    """Somebody at the host."""
    return visit(local_app).meet()


@pytest.fixture
def tablet(lan_app: FastAPI, visit: Callable[..., Visit]) -> Callable[..., Visit]:
    """Makes tablets on the local network, strangers at first."""

    def make(peer: str = "192.168.7.31") -> Visit:
        return visit(lan_app, peer, f"https://{LAN_HOST}:8421")

    return make


@pytest.fixture
def host(lan_app: FastAPI, visit: Callable[..., Visit]) -> Visit:
    """Somebody at the host of an app that serves the network."""
    return visit(lan_app).meet()
