"""Serving the app: on this machine, and with https on the local network when asked to."""

from __future__ import annotations

import asyncio
import contextlib
import os
import signal
import socket
import threading
import webbrowser
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import Any

import uvicorn
from fastapi import FastAPI

from foamwright.errors import InputError, Problem
from foamwright.shop.database import Database
from foamwright.web.app import create_app
from foamwright.web.authority import authority_in, certificate_in, host_names, lan_addresses
from foamwright.web.descriptors import shares
from foamwright.web.door import Door
from foamwright.web.gate import Gate, Patience, Watched
from foamwright.web.services import Services
from foamwright.web.settings import Reach, Settings

USUAL_PORT = 8420
LAN_OFFSET, DOOR_OFFSET = 1, 2
"""The host's own port, then https for the network, then the door on plain http."""

GRACE_SECONDS = 3

KEEP_ALIVE_SECONDS = 5
"""How long the server keeps a connection after an answer."""


class Browser(StrEnum):
    """Whether a browser is opened."""

    OPEN = "open"
    STAY = "stay"


@dataclass(frozen=True, slots=True)
class Wish:
    """How the app is to be served.

    Attributes
    ----------
    port
        For this machine; 0 takes any that is free. The network's ports follow it.
    reach
        This machine alone, or the local network too.
    browser
        Whether a browser is opened.
    folder
        Where certificates are kept.
    """

    port: int
    reach: Reach
    browser: Browser
    folder: Path


@dataclass(frozen=True, slots=True)
class Addresses:
    """Where the app is: for this machine, for the network, and the door that explains."""

    host: str
    lan: str = ""
    door: str = ""


@dataclass(frozen=True, eq=False)
class Listener:
    """One socket and how it speaks."""

    app: Any
    socket: Gate
    options: dict[str, Any]


def serve(database: Database, wish: Wish, tell: Callable[[Addresses], None]) -> None:
    """Serve the app until told to stop.

    Parameters
    ----------
    database
        The shop's, open.
    wish
        How.
    tell
        Told the addresses, once they answer.

    Raises
    ------
    InputError
        A port is taken.
    """
    with contextlib.ExitStack() as sockets:
        app, listeners, addresses = _prepared(database, wish, sockets)
        asyncio.run(_serve_all(app, listeners, lambda: _begin(wish, addresses, tell)))


def _prepared(
    database: Database, wish: Wish, sockets: contextlib.ExitStack
) -> tuple[FastAPI, list[Listener], Addresses]:
    kept = shares()
    own = sockets.enter_context(_listening("127.0.0.1", wish.port, kept.host))
    port = own.getsockname()[1]
    host = f"http://127.0.0.1:{port}"
    if wish.reach is Reach.LOCAL:
        app = create_app(Settings(database))
        return app, [Listener(app, own, {})], Addresses(host)
    lan = sockets.enter_context(_listening("", port + LAN_OFFSET if wish.port else 0, kept.lan))
    door = sockets.enter_context(_listening("", port + DOOR_OFFSET if wish.port else 0, kept.door))
    names = (*lan_addresses(), *host_names())
    addresses = Addresses(host, _address("https", names, lan), _address("http", names, door))
    authority = authority_in(wish.folder, database.clock)
    files = certificate_in(wish.folder, authority, ("localhost", "127.0.0.1", *names), database.clock)
    app = create_app(Settings(database, Reach.LAN, frozenset(names), addresses.lan, authority.pem))
    secure = {"ssl_certfile": str(files[0]), "ssl_keyfile": str(files[1])}
    doorway = Door(app, lan.getsockname()[1], frozenset(names))
    return app, [Listener(app, own, {}), Listener(app, lan, secure), Listener(doorway, door, {})], addresses


def _address(scheme: str, names: tuple[str, ...], listening: socket.socket) -> str:
    name = names[0] if names else "127.0.0.1"
    return f"{scheme}://{f'[{name}]' if ':' in name else name}:{listening.getsockname()[1]}"


@contextlib.contextmanager
def _listening(address: str, port: int, patience: Patience) -> Iterator[Gate]:
    """Listen on one address, or on every one this machine has (both kinds, where it has both)."""
    try:
        one = _everywhere(port) if not address else socket.create_server((address, port))
    except OSError as why:
        what = f"Port {port} cannot be used: {os.strerror(why.errno or 0)}."
        raise InputError(Problem("--port", what, "Stop what uses it, or name another port.")) from None
    # asyncio leaves this unset for sockets made here (their protocol number is 0), and every small
    # answer on a kept connection would then wait some 40 ms for the other side's acknowledgement.
    one.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    with Gate(one, patience) as gate:
        yield gate


def _everywhere(port: int) -> socket.socket:
    if socket.has_dualstack_ipv6():
        return socket.create_server(("", port), family=socket.AF_INET6, dualstack_ipv6=True)
    return socket.create_server(("", port))


def _begin(wish: Wish, addresses: Addresses, tell: Callable[[Addresses], None]) -> None:
    tell(addresses)
    if wish.browser is Browser.OPEN:
        # Opening can wait for a slow browser; the app does not.
        threading.Thread(target=webbrowser.open, args=(addresses.host,), daemon=True).start()


class _Server(uvicorn.Server):
    """A server among others: signals are for all of them, and live pages are let go first."""

    def __init__(self, config: uvicorn.Config, let_go: Callable[[], None]) -> None:
        super().__init__(config)
        self.let_go = let_go

    @contextlib.contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave signals to `_serve_all`."""
        yield

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop, live pages first: they would otherwise be waited for."""
        self.let_go()
        await super().shutdown(sockets)


async def _serve_all(app: FastAPI, listeners: list[Listener], begun: Callable[[], None]) -> None:
    services: Services = app.state.services
    servers = [_server(one, "on" if one is listeners[0] else "off", services.live.stop) for one in listeners]

    def stop() -> None:
        for server in servers:
            server.should_exit = True

    with _on_signals(stop):
        tasks = [
            asyncio.create_task(server.serve(sockets=[one.socket]))
            for server, one in zip(servers, listeners, strict=True)
        ]
        while not all(server.started for server in servers) and not any(task.done() for task in tasks):
            await asyncio.sleep(0.01)
        if all(server.started for server in servers):
            begun()
        await asyncio.gather(*tasks)


def _server(listener: Listener, lifespan: str, let_go: Callable[[], None]) -> _Server:
    config = uvicorn.Config(
        Watched(listener.app, listener.socket, KEEP_ALIVE_SECONDS),
        # Named, so that the server does not take others that happen to be installed: gates need this loop.
        loop="asyncio",
        http="h11",
        timeout_keep_alive=KEEP_ALIVE_SECONDS,
        lifespan=lifespan,  # type: ignore[arg-type]
        log_level="warning",
        access_log=False,
        # What a client says of proxies before it is not believed: the address decides who is at the host.
        proxy_headers=False,
        server_header=False,
        timeout_graceful_shutdown=GRACE_SECONDS,
        **listener.options,
    )
    return _Server(config, let_go)


@contextlib.contextmanager
def _on_signals(stop: Callable[[], None]) -> Iterator[None]:
    """Call `stop` when the terminal or the system asks to; put the signals back as they were afterwards."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    loop = asyncio.get_running_loop()
    wanted = (signal.SIGINT, signal.SIGTERM)
    before = {one: signal.signal(one, lambda *_: loop.call_soon_threadsafe(stop)) for one in wanted}
    try:
        yield
    finally:
        for one, handler in before.items():
            signal.signal(one, handler)
