"""A planned job for the tests of bench and class, a link that can be held, and a hand at the keypad."""

from __future__ import annotations

import contextlib
import re
import socket
import threading
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

from playwright.sync_api import Page

from foamwright.documents import json_bytes
from foamwright.jobs.bench_steps import step_wishes
from foamwright.shop.database import Actor, Database
from foamwright.shop.jobs import JobWish, open_job
from foamwright.shop.opening import open_database
from foamwright.shop.plans import StepWish, put_plan
from tests.plans import demo_plan

TEACHER = Actor("teacher")


@cache
def demo_steps(name: str = "groyne") -> tuple[str, tuple[StepWish, ...]]:
    """A demo board's plan as the shop keeps it, and its steps."""
    plan = demo_plan(name)
    return json_bytes(plan.as_json()).decode(), step_wishes(plan)


def add_planned_job(database: Database, title: str, name: str = "groyne") -> int:
    """Open a job with a demo board's plan, and return its number."""
    plan, steps = demo_steps(name)
    with database.writing(TEACHER) as work:
        job = open_job(work, JobWish(title))
        put_plan(work, job.id, job.revision, plan, steps)
        return job.id


def fill_folder(folder: Path, *titles: str) -> list[int]:
    """Put planned jobs into the shop of a data folder."""
    folder.mkdir(parents=True, exist_ok=True)
    database = open_database(f"sqlite:///{folder / 'shop.sqlite'}")
    try:
        return [add_planned_job(database, title) for title in titles]
    finally:
        database.close()


def kept_readings(folder: Path, job: int) -> list[tuple[int, str, float, str]]:
    """What the shop has, in the order it came: sequence, station, value, state."""
    from foamwright.shop.readings import readings_of

    database = open_database(f"sqlite:///{folder / 'shop.sqlite'}")
    try:
        with database.reading() as session:
            return [(r.sequence, r.station, r.value_m, r.state) for r in readings_of(session, job)]
    finally:
        database.close()


class Link:
    """A link between tablet and shop that can be held: bytes stay where they are, nobody is told."""

    def __init__(self, port: int) -> None:
        self.port_behind = port
        self.open = threading.Event()
        self.open.set()
        self.sockets: list[socket.socket] = []
        self.threads: list[threading.Thread] = []
        self.listener = socket.create_server(("127.0.0.1", 0), backlog=64)
        self.listener.settimeout(0.2)
        self.port = self.listener.getsockname()[1]
        self.stopped = False
        self._start(self._accept)

    @property
    def host(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def hold(self) -> None:
        self.open.clear()

    def let_go(self) -> None:
        self.open.set()

    def close(self) -> None:
        self.stopped = True
        self.open.set()
        for one in [self.listener, *self.sockets]:
            with contextlib.suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)
        for thread in self.threads:
            thread.join(5)
        for one in [self.listener, *self.sockets]:
            one.close()

    def _start(self, do: Callable[..., None], *what: socket.socket) -> None:
        thread = threading.Thread(target=do, args=what, daemon=True)
        self.threads.append(thread)
        thread.start()

    def _accept(self) -> None:
        while not self.stopped:
            with contextlib.suppress(OSError):
                near, _ = self.listener.accept()
                near.settimeout(None)
                self.sockets.append(near)
                self._start(self._serve, near)

    def _serve(self, near: socket.socket) -> None:
        self.open.wait()
        try:
            far = socket.create_connection(("127.0.0.1", self.port_behind), timeout=5)
        except OSError:
            near.close()
            return
        far.settimeout(None)
        self.sockets.append(far)
        for one, other in ((near, far), (far, near)):
            self._start(self._carry, one, other)

    def _carry(self, source: socket.socket, sink: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while data := source.recv(65536):
                # Taken off the wire, not handed on: what a dead access point does.
                self.open.wait()
                sink.sendall(data)
        with contextlib.suppress(OSError):
            self.open.wait()
            sink.shutdown(socket.SHUT_RDWR)


@contextlib.contextmanager
def held_link(port: int) -> Iterator[Link]:
    link = Link(port)
    try:
        yield link
    finally:
        link.close()


def ready(page: Page) -> None:
    page.wait_for_selector("body[data-ready]", timeout=30_000)


def wanted(page: Page) -> int:
    """What should be read now, in thirty-seconds of an inch."""
    text = page.locator("#want").inner_text(timeout=5000)
    whole, over, under = re.fullmatch(
        r"(?:(\d+)(?: |$))?(?:(\d+) ?/ ?(\d+))?", " ".join(text.split())
    ).groups()
    return int(whole or 0) * 32 + (int(over) * 32 // int(under) if over else 0)


def type_value(page: Page, thirty_seconds: int) -> None:
    """Type a number of inches on the keypad."""
    whole, rest = divmod(thirty_seconds, 32)
    for digit in str(whole):
        page.click(f'[data-key="{digit}"]')
    page.click(f'[data-key="m{rest // 2}"]')
    if rest % 2:
        page.click('[data-key="half"]')


def go_to_read(page: Page) -> None:
    """From a step's strokes to its reading, through steps that ask for none."""
    while not page.locator("#save").is_visible():
        at = position(page)
        page.locator(".step:not([hidden]) .to-read").click()
        wait_beyond(page, at)


def save_reading(page: Page, thirty_seconds: int) -> None:
    """Type a value, save it, and wait until the page has moved on."""
    type_value(page, thirty_seconds)
    at = position(page)
    page.click("#save")
    wait_beyond(page, at)


def position(page: Page) -> str:
    """Step, reading and half of the page that are shown."""
    return page.locator("body").get_attribute("data-at") or ""


def wait_beyond(page: Page, at: str) -> None:
    page.wait_for_selector(f'body[data-at]:not([data-at="{at}"])', timeout=10_000)
