"""A real browser on the running app: Debian's chromium, nothing from elsewhere, no error let pass.

Without chromium these tests are left out, and say so.
"""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from functools import partial
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "shop_support"))

from playwright.sync_api import Browser, Page, sync_playwright
from running import Running
from seeded import seed

CHROMIUM = os.environ.get("FOAMWRIGHT_CHROMIUM") or shutil.which("chromium")
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
PATIENCE = 120_000
"""Milliseconds until a page is given up: a busy machine took over 30 s to open one.

No test's verdict hangs on it."""


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    if CHROMIUM is None:
        pytest.skip("left out: chromium is not installed (apt-get install chromium)")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def seeded_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with a stock, a board, a rider and a job in it."""
    folder = tmp_path_factory.mktemp("seeded")
    seed(folder)
    return folder


@pytest.fixture
def app(seeded_folder: Path, tmp_path: Path) -> Iterator[Running]:
    """The app running on a copy of the seeded data."""
    shutil.copytree(seeded_folder, tmp_path / "data")
    with Running(tmp_path / "data", "--port", "0") as running:
        yield running


@pytest.fixture(scope="session")
def shared_app(seeded_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    """The app running once for all tests that only look."""
    folder = tmp_path_factory.mktemp("shared") / "data"
    shutil.copytree(seeded_folder, folder)
    with Running(folder, "--port", "0") as running:
        yield running


class Watched:
    """Notes what must not happen on any page."""

    def __init__(self, page: Page, host: str) -> None:
        self.wrong: list[str] = []
        self.expected_statuses = {200, 303, 304}
        page.on("pageerror", lambda error: self.wrong.append(f"error on the page: {error}"))
        page.on("request", lambda request: self._note_request(request.url, host))
        page.on("response", lambda response: self._note_answer(response.status, response.url))
        page.on("console", lambda message: self._note_console(message.type, message.text))

    def _note_request(self, url: str, host: str) -> None:
        if not url.startswith((host, "data:", "blob:")):
            self.wrong.append(f"a request left the machine: {url}")

    def _note_answer(self, status: int, url: str) -> None:
        if status not in self.expected_statuses:
            self.wrong.append(f"{status} at {url}")

    def _note_console(self, kind: str, text: str) -> None:
        # A refused form is an answer of ours; the browser mentions its status on the console.
        if kind == "error" and "Failed to load resource" not in text:
            self.wrong.append(f"console: {text}")


Opened = tuple[Page, Watched]
Opens = Callable[..., Opened]


@contextmanager
def watched_pages(chromium: Browser, app: Running) -> Iterator[Opens]:
    """Gives a way to open pages; by the end nothing wrong may have happened on any."""
    opened: list[Opened] = []

    def open_one(path: str = "/", width: int = 1280, height: int = 800, **context: object) -> Opened:
        page = chromium.new_context(viewport={"width": width, "height": height}, **context).new_page()
        page.set_default_timeout(PATIENCE)
        watched = Watched(page, app.host)
        opened.append((page, watched))
        page.goto(app.host + path)
        return page, watched

    try:
        yield open_one
    finally:
        for page, _ in opened:
            page.context.close()
    for _, watched in opened:
        assert watched.wrong == []


@pytest.fixture(scope="session")
def pages_of(chromium: Browser) -> Callable[[Running], AbstractContextManager[Opens]]:
    """Opens pages of an app that the test itself brings."""
    return partial(watched_pages, chromium)


@pytest.fixture
def open_page(chromium: Browser, app: Running) -> Iterator[Opens]:
    """Opens pages of an app of this test's own."""
    with watched_pages(chromium, app) as open_one:
        yield open_one


@pytest.fixture
def look_at(chromium: Browser, shared_app: Running) -> Iterator[Opens]:
    """Opens pages that are only looked at: one app serves all of these tests."""
    with watched_pages(chromium, shared_app) as open_one:
        yield open_one
