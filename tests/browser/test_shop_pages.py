"""The shop's pages in a real browser: accessible, usable by keyboard alone, at home on every width."""

from __future__ import annotations

import re
import shutil

import pytest
from axe_playwright_python.sync_playwright import Axe
from running import Running

PAGES = [
    "/jobs", "/jobs/1", "/jobs/1/details", "/jobs/1/readings", "/jobs/1/history",
    "/jobs?words=mara", "/jobs?shelf=archive", "/boards", "/boards/1",
    "/stock", "/stock/1", "/people", "/people/1", "/access", "/pair", "/trust",
    "/plan/compare?board=1", "/bay",
]  # fmt: skip


def violations(page):
    """What axe finds, each with its first element."""
    found = Axe().run(page).response["violations"]
    return [(one["id"], one["nodes"][0]["html"][:160]) for one in found]


@pytest.mark.parametrize("path", PAGES)
def test_axe_finds_nothing(look_at, path):
    page, _ = look_at(path)
    assert violations(page) == []


def test_axe_finds_something_where_something_is_wrong(look_at):
    page, _ = look_at("/people")
    page.evaluate("document.querySelector('label').remove()")
    assert [rule for rule, _ in violations(page)] == ["label"]


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("width", [1280, 800, 390])
def test_nothing_sticks_out_and_targets_are_large_enough(look_at, path, width):
    page, _ = look_at(path, width)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """() => [...document.querySelectorAll("button, input:not([type=hidden]), select, textarea")]
            .filter(e => e.getBoundingClientRect().height < 44 && e.offsetParent)
            .map(e => e.outerHTML.slice(0, 120))"""
    )
    assert small == []


LISTS = ["/jobs", "/jobs/1/readings", "/stock", "/boards", "/people"]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("path", LISTS)
def test_a_list_fits_where_there_is_room(look_at, path, language):
    page, _ = look_at(path, 800, locale=language)
    assert page.locator(".scroll").last.evaluate("e => e.scrollWidth - e.clientWidth") == 0


def test_a_long_reason_goes_on_in_the_next_line(look_at):
    page, _ = look_at("/jobs/1/readings")
    page.locator(".scroll td:has(.warn)").last.evaluate(
        "e => e.append(' it is thicker than before'.repeat(9))"
    )
    assert page.locator(".scroll").last.evaluate("e => e.scrollWidth - e.clientWidth") == 0


def test_a_list_that_goes_on_sideways_says_so_at_its_edge(look_at):
    """The side behind which more of it lies is in shadow: the right one, then, at its end, the left one."""
    page, _ = look_at("/stock", 390)
    scroll = page.locator(".scroll").last
    edges = """e => getComputedStyle(e).boxShadow.split(/, (?=rgb|color|oklab)/)
        .map(one => parseFloat(one.split(") ")[1]))"""
    assert scroll.evaluate("e => e.scrollWidth - e.clientWidth") > 50
    begun = scroll.evaluate(edges)
    scroll.evaluate("e => { e.scrollLeft = e.scrollWidth; }")
    page.wait_for_timeout(100)
    ended = scroll.evaluate(edges)
    assert [max(begun), min(begun)] == pytest.approx([0, -22.1], abs=0.2)
    assert [max(ended), min(ended)] == pytest.approx([22.1, 0], abs=0.2)
    page.goto(page.url.replace("/stock", "/jobs"))
    page.set_viewport_size({"width": 1280, "height": 800})
    assert page.locator(".scroll").last.evaluate("e => getComputedStyle(e).boxShadow") == "none"


def test_a_rider_is_added_by_keyboard_alone(open_page):
    page, watched = open_page("/people")
    watched.expected_statuses.add(422)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "skip"
    page.keyboard.press("Enter")
    tab_to(page, "f-name")
    page.keyboard.type("Jon Reef")
    page.keyboard.press("Tab")
    page.keyboard.type("80")
    page.keyboard.press("Enter")
    page.wait_for_selector(".refused")
    assert page.locator("#f-name").input_value() == "Jon Reef"
    field = page.locator("#f-mass")
    assert (
        "has no unit" in page.locator(f"#{field.get_attribute('aria-describedby').split()[-1]}").inner_text()
    )
    tab_to(page, "f-mass")
    page.keyboard.type("80 kg")
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(r"/people\?said=person-added#person-2"))
    assert page.get_by_role("link", name="Jon Reef").is_visible()
    assert page.get_by_role("status").inner_text() == "✓ The rider was added."


def tab_to(page, name):
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == name:
            return
    raise AssertionError(f"the keyboard never came to {name}")


def test_focus_is_seen(look_at):
    page, _ = look_at("/stock")
    for _ in range(25):
        page.keyboard.press("Tab")
        outline = page.evaluate(
            """() => { const s = getComputedStyle(document.activeElement);
                return [document.activeElement.tagName, s.outlineStyle, parseFloat(s.outlineWidth)]; }"""
        )
        assert outline[0] == "BODY" or (outline[1] == "solid" and outline[2] >= 2), outline


def test_everything_works_without_script(open_page):
    page, _ = open_page("/jobs", java_script_enabled=False)
    page.fill("#words", "mara first")
    page.click("text=Search >> nth=-1")
    page.click("text=First board")
    page.click("text=Details")
    page.fill("#f-words", "Look at the tail.")
    page.click("text=Leave the note")
    assert page.locator("text=Look at the tail.").count() == 1
    page.select_option("#f-blank_id", "")
    page.click("text=Take it")
    page.goto(page.url.partition("/jobs")[0] + "/stock")
    assert page.locator("tr", has_text="Q-6-8-2.75").locator("td").nth(0).inner_text() == "3"


def test_the_second_teacher_sees_the_difference(open_page):
    one, _ = open_page("/boards/1")
    two, watched = open_page("/boards/1")
    watched.expected_statuses.add(409)
    text = one.locator("#f-sheet").input_value()
    for page, nose in ((one, "4.5"), (two, "5")):
        page.fill("#f-sheet", text.replace("nose = 4.75", f"nose = {nose}"))
        page.click("main button >> nth=0")
        page.wait_for_load_state()
    assert two.locator("del").inner_text().split() == ["theirs", "nose", "=", "4.5"]
    assert two.locator("ins").inner_text().split() == ["yours", "nose", "=", "5"]
    tops = [line.bounding_box()["y"] for line in two.locator(".difference > *").all()]
    assert len(tops) > 3
    assert tops == sorted(set(tops))
    assert "nose = 5" in two.locator("#f-sheet").input_value()
    two.click("text=Save what I put together")
    two.wait_for_selector(".said")
    one.reload()
    assert "nose = 5" in one.locator("#f-sheet").input_value()


def test_german_is_complete_on_the_page(look_at):
    page, _ = look_at("/stock", locale="de-DE")
    text = page.locator("body").inner_text()
    for english in ("Stock", "On hand", "Take in", "Archive", "Choose", "Language"):
        assert english not in text
    assert page.locator("html").get_attribute("lang") == "de"


def test_the_fonts_are_ours(look_at):
    page, _ = look_at("/stock")
    page.evaluate("document.fonts.ready.then(() => true)")
    loaded = page.evaluate(
        "[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family + ' ' + f.weight)"
    )
    assert {"Archivo 400", "Archivo Narrow 600", "B612 400", "B612 700"} <= {
        name.replace('"', "") for name in loaded
    }


LONG_WORD = "Gezeitenbrettbestellungsnummernschildhalterungsschraubenkopf"


@pytest.fixture(scope="module")
def long_words(chromium, pages_of, seeded_folder, tmp_path_factory):
    """An app in which a job, a board, a rider and a note are each one long word."""
    folder = tmp_path_factory.mktemp("long") / "data"
    shutil.copytree(seeded_folder, folder)
    with Running(folder, "--port", "0") as app:
        asked = chromium.new_context().request
        token = {"x-foamwright-csrf": asked.get(f"{app.host}/api/me").json()["csrf"]}

        def kept(path):
            return asked.get(f"{app.host}/api/{path}").json()

        def put(path, **values):
            answer = asked.put(f"{app.host}/api/{path}", headers=token, data=values)
            assert answer.ok, answer.text()

        job, board, rider = kept("jobs/1"), kept("boards/1"), kept("people/1")
        same = {name: rider[name] for name in ("mass_kg", "stature_m", "experience", "water")}
        sheet = re.sub(r'name = "[^"]*"', f'name = "{LONG_WORD}"', board["sheet"], count=1)
        put("boards/1", sheet=sheet, revision=board["revision"])
        put("people/1", name=LONG_WORD, note=LONG_WORD, revision=rider["revision"], **same)
        put("jobs/1", title=LONG_WORD, board_id=1, rider_id=1, note=LONG_WORD, revision=job["revision"])
        asked.post(f"{app.host}/api/jobs/1/notes", headers=token, data={"words": LONG_WORD})
        with pages_of(app) as open_one:
            yield open_one


@pytest.mark.parametrize("width", [1280, 800, 390])
def test_a_word_of_sixty_letters_pushes_no_page_sideways(long_words, width):
    page, _ = long_words("/jobs", width)
    wider = {}
    for path in (*PAGES, "/class", "/jobs/1/bench", "/plan", "/plan/1"):
        page.goto(home(page) + path)
        found = page.evaluate("document.documentElement.scrollWidth")
        if found > width:
            wider[path] = found
    assert wider == {}


def home(page):
    return "/".join(page.url.split("/")[:3])
