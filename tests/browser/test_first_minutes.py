"""From nothing to a printed wall pack: counted in acts, in a real browser; and the tour on the way."""

from __future__ import annotations

import pytest
from axe_playwright_python.sync_playwright import Axe
from running import Running

MOST_ACTS = 25


@pytest.fixture
def app(tmp_path):
    """A shop with nothing in it."""
    with Running(tmp_path, "--port", "0") as running:
        yield running


def violations(page):
    return [one["id"] for one in Axe().run(page).response["violations"]]


def test_from_nothing_to_a_wall_pack_without_typing_but_a_name(open_page, tmp_path):
    page, _ = open_page("/start")
    acts = []

    def act(what, do):
        acts.append(what)
        do()

    assert violations(page) == []
    act("a sample shop, so that there is stock", page.locator("section.sample button").click)
    page.wait_for_selector(".said")
    act("from a rider", page.locator('a[href="/start/rider"]').click)
    act("how well they ride", page.locator('input[value="advanced"]').check)
    act("which kind", page.locator('input[value="mid-length"]').check)
    page.wait_for_selector(".did")
    assert violations(page) == []
    act("its name", lambda: page.fill("#name", "Sandbar"))
    act("take it", page.locator(".acts button").click)
    page.wait_for_selector("#tour")
    assert violations(page) == []
    act("skip the tour", page.locator(".skip-it").click)
    assert page.locator("#tour").count() == 0
    act("the papers", page.locator('button[data-view="papers"]').click)
    pack = page.locator('#slip-in [formaction$="wall.pdf"]')
    pack.wait_for()
    with page.expect_download() as waiting:
        act("the wall pack", pack.click)
    waiting.value.save_as(tmp_path / "wall.pdf")
    assert (tmp_path / "wall.pdf").read_bytes().startswith(b"%PDF")
    assert len(acts) <= MOST_ACTS


def test_the_tour_shows_five_things_one_at_a_time(open_page):
    page, _ = open_page("/start")
    page.locator('form[action="/start/like"] button').first.click()
    page.goto(page.url.split("?")[0] + "?tour=1")
    seen = []
    while page.locator("#tour").count():
        assert page.locator("#tour li:visible").count() == 1
        assert page.locator(".shown").count() == 1
        seen.append(page.locator("#tour li:visible").inner_text())
        page.locator("#tour .next").click()
    assert len(set(seen)) == 5
    assert page.locator(".shown").count() == 0
    assert "tour" not in page.url


@pytest.mark.parametrize("size", [(1280, 800), (1024, 768)])
def test_a_job_is_one_screen_and_seven_jobs_of_a_class_are_in_view(open_page, size):
    page, _ = open_page("/start", *size)
    page.locator("section.sample button").click()
    page.wait_for_selector(".said")
    page.goto(page.url.partition("/start")[0] + "/jobs/1")
    assert violations(page) == []
    if size == (1280, 800):
        assert page.evaluate("document.documentElement.scrollHeight") <= size[1]
    page.goto(page.url.partition("/jobs")[0] + "/class")
    assert violations(page) == []
    if size == (1280, 800):
        top = page.locator(".class").bounding_box()["y"]
        heights = [row.bounding_box()["height"] for row in page.locator(".bench-row").all()]
        assert top + 7 * max(heights[1:]) <= size[1]
