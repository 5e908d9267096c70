"""Thirty readings while the link is held, the shop stopped and killed, the page reloaded: all come, once."""

from __future__ import annotations

import os
import shutil
import signal
import time
from pathlib import Path

import pytest
from bench_support import (
    fill_folder,
    go_to_read,
    held_link,
    kept_readings,
    ready,
    save_reading,
    type_value,
    wanted,
)
from running import Running

from foamwright.units import INCH

SECONDS = float(os.environ.get("FOAMWRIGHT_HOLD", "10"))
"""How long the link is held; 40 for the run that is measured."""


@pytest.fixture(scope="module")
def planned_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("bench")
    fill_folder(folder, "Groyne for Ines")
    return folder


@pytest.fixture
def folder(planned_folder: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(planned_folder, tmp_path / "data"))


class Bench:
    """A tablet at a bench: it reads what should be read, types it and saves it, over and over."""

    def __init__(self, page):
        self.page, self.values = page, []

    def read(self, count: int) -> None:
        for _ in range(count):
            go_to_read(self.page)
            value = wanted(self.page)
            save_reading(self.page, value)
            self.values.append(value)

    def waiting(self) -> str:
        return self.page.locator("#waiting").inner_text()

    def reload(self) -> None:
        """Load the page anew with digits typed; they must still be there."""
        go_to_read(self.page)
        type_value(self.page, 7 * 32 + 5)
        before = self.page.locator("#got").inner_text(), self.page.locator("#ask").inner_text()
        self.page.reload()
        ready(self.page)
        assert (self.page.locator("#got").inner_text(), self.page.locator("#ask").inner_text()) == before
        for _ in range(3):
            self.page.click("#rub")

    def wait_until_saved(self) -> float:
        began = time.monotonic()
        self.page.wait_for_selector('#waiting[data-state="saved"]', timeout=60_000)
        return time.monotonic() - began


def test_thirty_readings_arrive_once_and_in_order(chromium, folder, record_property):
    running = Running(folder, "--port", "0")
    with held_link(running.port) as link:
        context = chromium.new_context(viewport={"width": 800, "height": 1280})
        page = context.new_page()
        wrong = []
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("request", lambda r: wrong.append(r.url) if not r.url.startswith(link.host) else None)
        page.goto(f"{link.host}/jobs/1/bench")
        ready(page)
        page.wait_for_function(
            "() => caches.open('foamwright-bench-1').then(c => c.keys()).then(k => k.length > 4)"
        )
        bench = Bench(page)

        bench.read(6)
        bench.wait_until_saved()
        link.hold()
        held = time.monotonic()
        bench.read(4)
        assert "4" in bench.waiting()
        bench.reload()
        bench.read(4)
        assert "8" in bench.waiting()
        time.sleep(max(0.0, SECONDS - (time.monotonic() - held)))
        held_for = time.monotonic() - held
        link.let_go()
        after_hold = bench.wait_until_saved()

        bench.read(2)
        running.stop(signal.SIGTERM)
        bench.read(4)
        bench.reload()
        running = Running(folder, "--port", str(link.port_behind))
        after_stop = bench.wait_until_saved()

        bench.read(2)
        running.stop(signal.SIGKILL)
        bench.read(4)
        running = Running(folder, "--port", str(link.port_behind))
        bench.read(4)
        after_kill = bench.wait_until_saved()
        context.close()
    running.stop()

    kept = kept_readings(folder, 1)
    print(
        f"\nheld {held_for:.1f} s; all there {after_hold:.1f} s after it was let go, "
        f"{after_stop:.1f} s after the shop came back, {after_kill:.1f} s after it came back from SIGKILL"
    )
    assert wrong == []
    assert len(bench.values) == 30
    assert [sequence for sequence, *_ in kept] == list(range(30))
    assert [round(value / INCH * 32, 6) for _, _, value, _ in kept] == bench.values
    assert {state for *_, state in kept} == {"accepted"}
