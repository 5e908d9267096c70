"""Silent and slow sockets by the thousand: the host's page answers, and paired tablets go on saving."""

from __future__ import annotations

import asyncio
import contextlib
import json
import random
import resource
import socket
import ssl
import threading
import time
import urllib.request
from http.client import HTTPConnection, HTTPSConnection

import pytest
from running import Running
from shop_fixtures import TEACHER

from foamwright.shop.about import signing_key
from foamwright.shop.database import Database
from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.kinds import Role
from foamwright.shop.opening import open_database
from foamwright.shop.sessions import open_session
from foamwright.shop.tables import ReadingRow
from foamwright.web.gate import Gate, Patience
from foamwright.web.visitors import SESSION_COOKIE, signed

SOCKETS, TABLETS = 2000, 30
SLOW = b"GET /trust HTTP/1.1\r\nHost: 127.0.0.1\r\nX-Slow: "


@pytest.fixture
def many_descriptors():
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if hard != resource.RLIM_INFINITY and hard < 5 * SOCKETS:
        pytest.skip(f"this machine gives a process only {hard} descriptors")
    resource.setrlimit(resource.RLIMIT_NOFILE, (5 * SOCKETS, hard))
    yield
    resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))


class Crowd:
    """Sockets that are opened and say nothing, or a letter now and then."""

    def __init__(self, port: int, slow: bool) -> None:
        self.port, self.slow, self.sockets, self.over = port, slow, [], threading.Event()
        self.thread = threading.Thread(target=self._press)

    def _press(self) -> None:
        chance = random.Random(self.port)
        for number in range(SOCKETS):
            one = socket.socket()
            one.setblocking(False)
            # Forty addresses of this machine's own.
            with contextlib.suppress(OSError):
                one.bind((f"127.0.1.{1 + number % 40}", 0))
            one.connect_ex(("127.0.0.1", self.port))
            self.sockets.append(one)
            if number % 50 == 0:
                time.sleep(0.02)
        while not self.over.wait(0.01):
            if self.slow:
                with contextlib.suppress(OSError):
                    chance.choice(self.sockets).send(SLOW[:40] if chance.random() < 0.2 else b"x")

    def __enter__(self) -> Crowd:
        self.thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.over.set()
        self.thread.join()
        for one in self.sockets:
            one.close()


class Tablet(threading.Thread):
    """A paired tablet that saves until told to stop, and counts what was acknowledged."""

    def __init__(self, where: tuple[str, int], cookie: str, job: int, over: threading.Event) -> None:
        super().__init__()
        self.where, self.cookie, self.job, self.over = where, cookie, job, over
        self.acknowledged: list[str] = []
        self.failed: list[str] = []

    def run(self) -> None:
        context = ssl.create_default_context()
        context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
        number = 0
        while not self.over.is_set():
            connection = HTTPSConnection(*self.where, timeout=20, context=context)
            with contextlib.closing(connection):
                try:
                    token = self._asked(connection, "GET", "/api/me", None, {})["csrf"]
                    while not self.over.is_set():
                        number += 1
                        self._save(connection, token, f"t{self.job:03}-{number:012}", number)
                        self.over.wait(1.0)
                except (OSError, ValueError, KeyError) as why:
                    # As the page does: it connects again, and sends again what was not acknowledged.
                    self.failed.append(repr(why))

    def _save(self, connection: HTTPConnection, token: str, name: str, number: int) -> None:
        reading = {
            "client_id": name, "sequence": number, "stage": "rocker", "station": "nose", "station_m": 1.9,
            "what": "rocker", "value_m": 0.1, "written": "4 in", "tool": "tape", "tablet_ms": 1,
        }  # fmt: skip
        body = json.dumps({"readings": [reading]})
        headers = {"x-foamwright-csrf": token, "content-type": "application/json"}
        path = f"/api/jobs/{self.job}/readings"
        self.acknowledged += self._asked(connection, "POST", path, body, headers)["stored"]

    def _asked(self, connection, method, path, body, headers):
        connection.request(method, path, body, {**headers, "cookie": self.cookie})
        return json.loads(connection.getresponse().read())


def paired(shop: Database) -> list[tuple[str, int]]:
    """Pair thirty tablets with a job each: the cookie and the job of each."""
    key, made = signing_key(shop), []
    for number in range(TABLETS):
        with shop.writing(TEACHER) as work:
            job = open_job(work, JobWish(f"Board {number}"))
            token = open_session(work, Role.BENCH, job.id, f"Tablet {number}").token
        made.append((f"__Host-{SESSION_COOKIE}={signed(key, token)}", job.id))
    return made


def test_the_app_and_the_door_outlive_crowds(tmp_path, many_descriptors):
    """Two thousand silent and two thousand slow sockets at each of the two ports of the network."""
    url = f"sqlite:///{tmp_path / 'data' / 'shop.sqlite'}"
    shop = open_database(url)
    benches = paired(shop)
    over = threading.Event()
    with Running(tmp_path / "data", "--port", "0", "--lan") as app:
        lan, door = (int(app.where[name].rpartition(":")[2]) for name in ("lan", "door"))
        tablets = [Tablet(("127.0.0.1", lan), cookie, job, over) for cookie, job in benches]
        for tablet in tablets:
            tablet.start()
        waits = []
        with Crowd(lan, slow=False), Crowd(lan, slow=True), Crowd(door, slow=False), Crowd(door, slow=True):
            until = time.monotonic() + 6
            while time.monotonic() < until:
                # It answers, however loaded this machine is; `waits` are printed, and told in docs/app.md.
                asked = time.monotonic()
                with urllib.request.urlopen(app.host + "/jobs", timeout=20) as page:
                    assert page.status == 200
                waits.append(time.monotonic() - asked)
                time.sleep(0.2)
            before = [len(tablet.acknowledged) for tablet in tablets]
            with urllib.request.urlopen(f"http://127.0.0.1:{door}/trust", timeout=20) as page:
                assert page.status == 200
            time.sleep(4)
            # Every tablet still saves with the crowds before the ports.
            assert all(len(t.acknowledged) > b for t, b in zip(tablets, before, strict=True))
        over.set()
        for tablet in tablets:
            tablet.join(30)
        descriptors = app.descriptors()
        code, said = app.stop()
    assert (code, "Traceback" in said, "Too many open files" in said) == (0, False, False), said[-2000:]
    assert len(waits) > 2
    assert descriptors < 2000
    acknowledged = [name for tablet in tablets for name in tablet.acknowledged]
    with shop.reading() as session:
        stored = [row.client_id for row in session.query(ReadingRow)]
    shop.close()
    assert len(stored) == len(set(stored))
    assert set(acknowledged) <= set(stored)
    again = sum(len(tablet.failed) for tablet in tablets)
    print(f"acknowledged {len(acknowledged)}, connected again {again}, descriptors {descriptors}")
    print(f"host's page: median {sorted(waits)[len(waits) // 2]:.3f} s, longest {max(waits):.3f} s")


def test_the_oldest_stranger_goes_first_and_nobody_who_was_answered():
    """Of four places, one address has three; who was answered stays."""

    async def scene():
        with socket.create_server(("127.0.0.1", 0)) as plain, Gate(plain, Patience(4, 3)) as gate:
            gate.setblocking(False)
            address, calls = gate.getsockname(), []

            def call(source):
                one = socket.create_connection(address, source_address=(source, 0))
                calls.append(one)
                return one

            def take():
                try:
                    return gate.accept()[0]
                except BlockingIOError:
                    return None

            call("127.0.0.2")
            first = take()
            first.answered = True
            call("127.0.0.2")
            second = take()
            call("127.0.0.2")
            third = take()
            call("127.0.0.2")
            fourth = take()
            assert fourth is not None
            assert (first.leaving, second.leaving, third.leaving) == (False, True, False)
            second.close()
            call("127.0.0.3")
            assert take() is not None
            call("127.0.0.4")
            # All four places are taken: the oldest stranger goes, and only then is there room.
            assert take() is None
            assert third.leaving
            assert take() is None
            third.close()
            assert take() is not None
            for guest in gate.guests.values():
                guest.answered = True
            late = call("127.0.0.5")
            assert take() is None
            late.settimeout(5)
            assert late.recv(1) == b""
            assert len(gate.guests) == 4
            for guest in list(gate.guests.values()):
                guest.close()
            assert (gate.guests, +gate.each, gate.leaving) == ({}, {}, 0)
            for one in calls:
                one.close()

    asyncio.run(scene())


@pytest.mark.parametrize(
    "sent", [b"", b"GET /trust HT", b"POST /pair HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\n\r\nab"]
)
def test_a_request_that_does_not_come_to_its_end_is_let_go(tmp_path, monkeypatch, sent):
    monkeypatch.setenv("FOAMWRIGHT_DATA", str(tmp_path))
    with running_impatiently(tmp_path) as port, socket.create_connection(("127.0.0.1", port)) as slow:
        slow.settimeout(30)
        slow.sendall(sent)
        received = b""
        while piece := slow.recv(4096):
            received += piece
        # It may be told why; it is never answered as if all had come.
        assert not received.startswith(b"HTTP/1.1 2")


@contextlib.contextmanager
def running_impatiently(folder):
    """The server within this process, with time-outs of a fraction of a second."""
    from foamwright.web import serving
    from foamwright.web.descriptors import Shares
    from foamwright.web.settings import Reach

    short = Patience(50, 50, head=0.3, body=0.3)
    shop = open_database(f"sqlite:///{folder / 'shop.sqlite'}")
    begun, found, servers = threading.Event(), [], []

    class Noted(serving._Server):
        def __init__(self, *words):
            super().__init__(*words)
            servers.append(self)

    def tell(addresses):
        found.append(int(addresses.host.rpartition(":")[2]))
        begun.set()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(serving, "shares", lambda: Shares(short, short, short))
        patch.setattr(serving, "_Server", Noted)
        wish = serving.Wish(0, Reach.LOCAL, serving.Browser.STAY, folder)
        thread = threading.Thread(target=serving.serve, args=(shop, wish, tell))
        thread.start()
        assert begun.wait(30)
        try:
            yield found[0]
        finally:
            for server in servers:
                server.should_exit = True
            thread.join(30)
            shop.close()
