"""Listening sockets that strangers cannot fill: so many connections, each in its time.

A connection that has not yet got an answer is a stranger's. Where there is no room, the oldest stranger goes
for whoever comes: a tablet gets its answer in a moment, so it is hardly ever the one. What is written here is
only what the server has no setting for: its time-outs begin with the first answer.
"""

from __future__ import annotations

import asyncio
import socket
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

Key = tuple[Any, ...]

MOST_AT_ONCE = 8
"""Connections that are taken in or turned away in one go, before what others sent gets its turn.

With 32, two thousand handshakes held the host's page up for 0.7 to 1.0 s, with 8 for 0.35 to 0.97 s (three
runs each at most, load 6 of two cores); a quarter of it leaves every tablet its connection all the same."""


@dataclass(frozen=True, slots=True)
class Patience:
    """How many connections are kept, and how many seconds for what.

    Attributes
    ----------
    most, most_each
        Connections in all, and from one address.
    head
        From the connection (or the last answer, besides the server's own keep-alive) to a whole head of a
        request; on the network the handshake is in it.
    body
        From the head to the end of the body: 5 MB over a weak network.
    """

    most: int
    most_each: int
    head: float = 10.0
    body: float = 60.0


class Guest(socket.socket):
    """One connection, known to its gate until it is closed."""

    gate: Gate
    key: Key
    answered = False
    leaving = False
    timer: asyncio.TimerHandle | None = None

    def close(self) -> None:
        """Close the connection and give its place up."""
        self.stop_waiting()
        self.gate.forget(self)
        super().close()

    def wait_at_most(self, seconds: float) -> None:
        """Let go of the guest unless something comes in time; takes the place of any wait before."""
        self.stop_waiting()
        self.timer = asyncio.get_running_loop().call_later(seconds, self.let_go)

    def stop_waiting(self) -> None:
        """Give the guest all the time it wants."""
        if self.timer is not None:
            self.timer.cancel()
            self.timer = None

    def let_go(self) -> None:
        """End the connection; whoever reads from it here finds its end and closes it."""
        self.stop_waiting()
        if not self.leaving:
            self.leaving = True
            self.gate.leaving += 1
            with suppress(OSError):
                self.shutdown(socket.SHUT_RDWR)


class Gate(socket.socket):
    """A listening socket that takes in as many guests as it has room for."""

    def __init__(self, listening: socket.socket, patience: Patience) -> None:
        super().__init__(listening.family, listening.type, listening.proto, listening.detach())
        self.patience = patience
        self.guests: dict[Key, Guest] = {}
        self.each: Counter[str] = Counter()
        self.leaving = 0
        self.this_turn = 0

    def accept(self) -> tuple[Guest, Any]:
        """Take in the next connection; raise ``BlockingIOError``, as if none had come, while room is made."""
        if len(self.guests) >= self.patience.most and (self.leaving or self._oldest_stranger_goes()):
            raise BlockingIOError
        while self._has_turn():
            plain, address = super().accept()
            if self._has_room(str(address[0])):
                return self._taken_in(plain, address), address
            plain.close()
        raise BlockingIOError

    def forget(self, guest: Guest) -> None:
        """Give up the place of a guest that has gone."""
        if self.guests.get(guest.key) is guest:
            del self.guests[guest.key]
            self.each[str(guest.key[0])] -= 1
            self.leaving -= guest.leaving

    def guest(self, client: Any) -> Guest | None:
        """Return the guest at an address and port, as requests name them."""
        return self.guests.get(tuple(client)[:2]) if client else None

    def _has_turn(self) -> bool:
        """Whether one more may come before the loop goes round."""
        if self.this_turn == 0:
            asyncio.get_running_loop().call_soon(self._next_turn)
        self.this_turn += 1
        return self.this_turn <= MOST_AT_ONCE

    def _next_turn(self) -> None:
        self.this_turn = 0

    def _has_room(self, address: str) -> bool:
        if len(self.guests) >= self.patience.most:
            return False
        return self.each[address] < self.patience.most_each or self._oldest_stranger_goes(address)

    def _taken_in(self, plain: socket.socket, address: Any) -> Guest:
        guest = Guest(self.family, self.type, self.proto, plain.detach())
        guest.gate, guest.key = self, tuple(address)[:2]
        self.guests[guest.key] = guest
        self.each[str(address[0])] += 1
        guest.wait_at_most(self.patience.head)
        return guest

    def _oldest_stranger_goes(self, address: str | None = None) -> bool:
        """Let the guest go that has waited longest for its first answer (of one address), if there is any."""
        for key, guest in self.guests.items():
            if not (guest.answered or guest.leaving) and address in (None, key[0]):
                guest.let_go()
                return True
        return False


class Watched:
    """Tells a gate how far each request is: its guests are bounded in time until they are answered."""

    def __init__(self, app: ASGIApp, gate: Gate, keep_alive: float) -> None:
        self.app, self.gate, self.keep_alive = app, gate, keep_alive

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, watched."""
        guest = self.gate.guest(scope.get("client")) if scope["type"] == "http" else None
        if guest is None:
            await self.app(scope, receive, send)
            return
        if _has_body(scope):
            guest.wait_at_most(self.gate.patience.body)
        else:
            guest.stop_waiting()

        async def receive_in_time() -> Message:
            message = await receive()
            if message["type"] != "http.request" or not message.get("more_body", False):
                guest.stop_waiting()
            return message

        async def send_noted(message: Message) -> None:
            if message["type"] == "http.response.start":
                guest.stop_waiting()
                # A refusal makes nobody known.
                guest.answered = guest.answered or int(message["status"]) < 400
            await send(message)

        try:
            await self.app(scope, receive_in_time, send_noted)
        finally:
            if guest.fileno() >= 0:
                guest.wait_at_most(self.keep_alive + self.gate.patience.head)


def _has_body(scope: Scope) -> bool:
    headers = Headers(scope=scope)
    return headers.get("content-length", "0") != "0" or "transfer-encoding" in headers
