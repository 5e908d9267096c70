"""What the scripts write on German pages: commas where it is shown, points in fields and in what is kept."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator

import pytest
from bench_support import add_planned_job, go_to_read, position, ready, wait_beyond
from running import Running
from seeded import seed

from foamwright.shop.opening import open_database
from foamwright.shop.readings import readings_of

POINT = re.compile(r"\d\.\d")


@pytest.fixture
def app(tmp_path) -> Iterator[Running]:
    (tmp_path / "data").mkdir()
    seed(tmp_path / "data")
    database = open_database(f"sqlite:///{tmp_path / 'data' / 'shop.sqlite'}")
    add_planned_job(database, "Groyne")
    database.close()
    with Running(tmp_path / "data", "--port", "0") as running:
        yield running


def opened(open_page, path, language):
    page, _ = open_page("/stock", locale=language)
    page.context.add_cookies([{"name": "foamwright-lengths", "value": "mm", "url": page.url}])
    page.goto(page.url.replace("/stock", path))
    return page


def until(page, held):
    """Wait until something holds; asked from outside, because our policy forbids eval."""
    end = time.monotonic() + 120
    while not held():
        assert time.monotonic() < end
        page.wait_for_timeout(30)


def depth_shown(page):
    """What the map of what comes off says is under the pointer."""
    page.locator('button[data-view="off"]').click()
    page.locator(".round[data-wired]").wait_for()
    box = page.locator(".map .over").bounding_box()
    for share in (0.3, 0.31):
        page.mouse.move(box["x"] + share * box["width"], box["y"] + 0.45 * box["height"])
    under = page.locator("[data-under]")
    until(page, lambda: re.search(r"\d", under.inner_text()))
    return under.inner_text()


@pytest.mark.parametrize(("language", "point"), [("de", ","), ("en", ".")])
def test_the_workbench_writes_decimals_as_its_language_does(open_page, language, point):
    page = opened(open_page, "/plan/1?view=blank", language)
    slider = page.locator(".hand.slide")
    slider.wait_for()
    # A person may write either; what the field shows is what a form without script would take.
    page.fill("#slide", "41,5")
    page.keyboard.press("Tab")
    until(page, lambda: slider.get_attribute("data-value") == "0.0415")
    assert page.input_value("#slide") == "41.5"
    assert slider.get_attribute("aria-valuetext").startswith(f"41{point}5 mm, ")
    assert f", 41{point}5 " in page.locator(".figure-label .tag").inner_text()
    shown = page.locator("body").inner_text()
    assert re.match(rf"\d+{re.escape(point)}\d mm ", depth_shown(page))
    if language == "de":
        lines = (shown + page.locator("body").inner_text()).replace("Q-6-8-2.75", "").splitlines()
        assert [line for line in lines if POINT.search(line)] == []


@pytest.mark.parametrize(("language", "point"), [("de", ","), ("en", ".")])
def test_the_bench_writes_decimals_as_its_language_does(open_page, tmp_path, language, point):
    page = opened(open_page, "/jobs/2/bench", language)
    ready(page)
    go_to_read(page)
    page.click('[data-key="2"]')
    page.click('[data-key="."]')
    page.click('[data-key="5"]')
    assert page.locator("#got").inner_text() == f"2{point}5"
    for _ in range(2):
        page.keyboard.press("Backspace")
    page.keyboard.press(point)
    page.keyboard.press("4")
    assert page.locator("#got").inner_text() == f"2{point}4"
    assert page.locator('[data-key="."]').inner_text() == point
    at = position(page)
    page.click("#save")
    wait_beyond(page, at)
    assert f" 2{point}4 mm, " in page.locator("#last").inner_text()
    page.wait_for_selector('#waiting[data-state="saved"]')
    database = open_database(f"sqlite:///{tmp_path / 'data' / 'shop.sqlite'}")
    with database.reading() as session:
        (kept,) = readings_of(session, 2)
        assert (kept.written, kept.value_m) == ("2.4 mm", 0.0024)
    database.close()
