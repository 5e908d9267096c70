"""The planning page in a real browser: typed into, dragged by hand, keys and number, without script too."""

from __future__ import annotations

import re
import time
from itertools import pairwise

import pytest
from axe_playwright_python.sync_playwright import Axe

PAGE = "/plan/1"
WIDTHS = [1280, 800, 390]
MARK = 0.0254 / 16


def violations(page):
    found = Axe().run(page).response["violations"]
    return [(one["id"], one["nodes"][0]["html"][:160]) for one in found]


def planned(opens, width=1280, **more):
    """The page once everything on it is worked out."""
    page, watched = opens(PAGE, width, 900, **more)
    ready(page)
    return page, watched


def ready(page):
    page.wait_for_selector(".run table", timeout=60_000)
    until(page, "!document.querySelector('.stale-part')")


def until(page, held, seconds=60):
    """Wait until an expression holds on the page; asked from outside, because our policy forbids eval."""
    end = time.monotonic() + seconds
    while not page.evaluate(held):
        assert time.monotonic() < end, held
        page.wait_for_timeout(30)


def minutes(page):
    return page.locator('[data-show="minutes"]').first.inner_text()


def matrix(page):
    return page.locator(".moves").first.get_attribute("transform")


def grab(page):
    """Where the board is taken hold of."""
    side = page.locator(".side")
    side.scroll_into_view_if_needed()
    box = side.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def at_rest(page, part):
    """Where a part stands once it is in view and what came into view above it has its own height."""
    box = None
    while box != (box := part.bounding_box()) or box is None:
        part.scroll_into_view_if_needed()
        page.wait_for_timeout(100)
    return box


@pytest.mark.parametrize("width", WIDTHS)
def test_the_page_is_accessible_and_nothing_sticks_out(look_at, width):
    page, _ = planned(look_at, width)
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """() => [...document.querySelectorAll("button:not(.first-button), input:not([type=hidden]), select")]
            .map(e => e.matches("[type=radio]") ? e.closest("label") : e)
            .filter(e => e.getBoundingClientRect().height < 44 && e.offsetParent)
            .map(e => e.outerHTML.slice(0, 120))"""
    )
    assert small == []


def test_the_board_follows_the_hand_at_once_and_the_numbers_after(look_at):
    page, _ = planned(look_at)
    before, least = matrix(page), minutes(page)
    x, y = grab(page)
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y)
    moved = matrix(page)
    assert moved != before
    page.mouse.move(x + 30, y, steps=4)
    page.mouse.up()
    until(page, f"document.querySelector('[data-show=minutes]').innerText !== '{least}'")
    slide = page.evaluate("Number(document.querySelector('#slider').value)")
    length = page.evaluate("Number(document.querySelector('.lying').dataset.length) / 1000")
    by_hand = 0.00635 + 30 / page.locator(".side").bounding_box()["width"] * length
    assert abs(slide - by_hand) <= MARK / 2 + 1e-6
    assert slide / MARK == pytest.approx(round(slide / MARK), abs=1e-9)
    ready(page)
    assert "slide=" in page.url
    page.reload()
    ready(page)
    assert page.evaluate("Number(document.querySelector('#slider').value)") == pytest.approx(slide, abs=1e-5)


def test_of_many_wishes_only_the_newest_is_sent_and_one_at_a_time(look_at):
    page, _ = planned(look_at)
    page.evaluate("""() => {
        window.flying = 0; window.most = 0; window.sent = 0;
        const fetched = window.fetch;
        window.fetch = async (...asked) => {
            if (!String(asked[0]).endsWith("/live/lay")) return fetched(...asked);
            sent += 1; flying += 1; most = Math.max(most, flying);
            await new Promise((go) => setTimeout(go, 60));
            try { return await fetched(...asked); } finally { flying -= 1; }
        };
    }""")
    x, y = grab(page)
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(60):
        page.mouse.move(x + n, y)
    page.mouse.up()
    until(page, "flying === 0 && sent > 0")
    ready(page)
    assert page.evaluate("most") == 1
    assert 1 < page.evaluate("sent") < 30
    shown = page.locator("#slide").input_value()
    exact = page.evaluate("Number(document.querySelector('#slider').value)") / 0.0254
    assert abs(eval_inches(shown) - exact) <= 1 / 32 + 1e-6


def eval_inches(text):
    parts = text.split()
    return sum(int(a) / int(b) if b else int(a) for a, _, b in (part.partition("/") for part in parts))


def test_every_drag_has_another_way(look_at):
    page, _ = planned(look_at)
    slider = page.locator("#slider")
    slider.focus()
    page.keyboard.press("ArrowRight")
    until(page, "document.querySelector('#slide').value === '5/16'")
    page.keyboard.press("End")
    until(page, "document.querySelector('#slide').value === '3 3/4'")
    assert "minutes" in slider.get_attribute("aria-valuetext")
    page.fill("#slide", "1 1/2")
    page.keyboard.press("Tab")
    until(page, "Math.abs(Number(document.querySelector('#slider').value) - 0.0381) < 1e-9")
    page.click("#to-best")
    until(page, "document.querySelector('#slide').value === '1/4'")
    ready(page)
    assert "slide=" not in page.url


def test_a_slide_that_cannot_be_is_told_beside_its_field_and_moves_nothing(look_at):
    page, _ = planned(look_at)
    slide, told, before = page.locator("#slide"), page.locator("#told-slide"), matrix(page)
    for typed, why in (("-3", "cannot lie"), ("x", "is not a length"), ("99", "cannot lie")):
        slide.fill(typed)
        page.keyboard.press("Enter")
        told.get_by_text(f"“{typed}”").wait_for()
        assert why in told.inner_text()
        assert told.inner_text().endswith("Write one from 1/4 to 3 3/4 in.")
        assert slide.get_attribute("aria-invalid") == "true"
        ready(page)
        assert (slide.input_value(), matrix(page)) == (typed, before)
    assert violations(page) == []
    slide.fill("1 1/2")
    page.keyboard.press("Enter")
    until(page, "Math.abs(Number(document.querySelector('#slider').value) - 0.0381) < 1e-9")
    assert told.inner_text() == ""
    assert slide.get_attribute("aria-invalid") is None
    slide.fill("")
    page.keyboard.press("Enter")
    until(page, "document.querySelector('#slide').value === '1/4'")


def test_a_station_that_stands_there_already_is_said_to(look_at):
    page, _ = planned(look_at)
    place = page.locator("#new-place")
    place.fill("12 from nose")
    page.keyboard.press("Enter")
    page.get_by_text("“12 from nose” stands there already.").wait_for()
    assert place.get_attribute("aria-invalid") == "true"
    place.fill("18 from tail")
    page.keyboard.press("Enter")
    page.locator('[name="outline/18 from tail"]').wait_for()
    assert page.locator("#told-general .problem").count() == 0
    assert place.get_attribute("aria-invalid") is None


@pytest.mark.parametrize("more", ["", "&slide=1"])
def test_a_blank_that_is_not_in_the_stock_is_said_so_and_the_best_is_offered(look_at, more):
    page, _ = look_at(f"{PAGE}?blank=NOPE{more}")
    page.get_by_text("There is no blank “NOPE” in the stock").wait_for()
    until(page, "!document.querySelector('.stale-part')")
    assert "none of these blanks" not in page.content()
    page.get_by_role("button", name="Take the best one, Q-6-8-2.75").click()
    ready(page)
    assert page.locator(".blank.chosen .code").inner_text() == "Q-6-8-2.75"
    assert "blank=Q-6-8-2.75" in page.url


def test_an_address_to_a_blank_that_was_not_tried_yet_is_followed(open_page):
    page, _ = open_page(f"{PAGE}?blank=M-6-9&slide=2")
    ready(page)
    assert page.locator("#slide").input_value() == "2"
    assert "in M-6-9" in page.locator(".lay-figure").inner_text()


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("language", ["en", "de"])
def test_a_point_and_where_it_is_stay_in_one_row(look_at, width, language):
    page, _ = look_at(PAGE, width, locale=language)
    rows = page.evaluate("""() => {
        const top = (name) => document.getElementById("s-" + name).getBoundingClientRect().top;
        return ["outline/wide", "thickness/thickest"].map(point => [top(point), top(point + "_at")]);
    }""")
    for one, other in rows:
        assert one == pytest.approx(other, abs=1)
    tail = page.locator('[name="outline/tail_form"]')
    assert tail.evaluate("e => e.scrollWidth - e.clientWidth") <= 0


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("lengths", ["in", "mm"])
def test_words_run_neither_together_nor_apart(chromium, shared_app, width, lengths):
    page = chromium.new_context(viewport={"width": width, "height": 900}, locale="de").new_page()
    page.context.add_cookies([{"name": "foamwright-lengths", "value": lengths, "url": shared_app.host}])
    page.goto(shared_app.host + PAGE)
    ready(page)
    boxes = page.evaluate("""() => [...document.querySelectorAll(".ruler text")]
        .map(e => e.getBoundingClientRect()).filter(b => b.width).map(b => [b.left, b.right])""")
    assert len(boxes) > 4
    assert all(left[1] < right[0] for left, right in pairwise(boxes)), boxes
    # A word in two lines has a box in each of them.
    broken = page.evaluate("""() => [...document.querySelectorAll(".marks th, .ends span")].flatMap(cell => {
        const text = cell.firstChild, found = [];
        for (const word of text.data.matchAll(/[\\p{L}]+/gu)) {
            const range = document.createRange();
            range.setStart(text, word.index);
            range.setEnd(text, word.index + word[0].length);
            if (range.getClientRects().length > 1) found.push(word[0]);
        }
        return found;
    })""")
    assert broken == []
    page.context.close()


def test_a_depth_on_the_map_is_not_cut_at_its_edge(look_at):
    page, _ = planned(look_at)
    labels = page.locator(".over .labels")
    labels.scroll_into_view_if_needed()
    assert labels.evaluate("e => getComputedStyle(e).overflow") == "visible"


def test_numbers_that_are_not_saved_are_asked_for_before_they_are_left(open_page):
    page, _ = open_page(PAGE)
    ready(page)
    asked = []
    page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.accept()))
    page.reload()
    ready(page)
    assert asked == []
    page.locator('[name="thickness/thickest"]').fill("2 7/16")
    page.locator("#changed").wait_for()
    with page.expect_download():
        page.get_by_role("button", name="Download the sheet").click()
    assert asked == []
    page.wait_for_timeout(1100)
    page.get_by_role("link", name="Jobs", exact=True).click()
    page.wait_for_url("**/jobs")
    assert asked == ["beforeunload"]
    page.go_back()
    page.locator("#changed").wait_for()
    page.get_by_role("button", name="Save the board").click()
    page.wait_for_selector(".said")
    assert asked == ["beforeunload"]


def test_heights_are_stretched_only_when_asked_and_it_is_said(look_at):
    page, _ = planned(look_at)
    assert page.locator("[data-scale]").inner_text() == "Heights are true to the length."
    flat = page.locator(".side").bounding_box()
    view = [float(n) for n in page.locator(".side").get_attribute("viewBox").split()]
    assert flat["height"] / flat["width"] == pytest.approx(view[3] / view[2], rel=0.01)
    page.get_by_label("3 times").check()
    assert page.locator("[data-scale]").inner_text() == "Heights are drawn 3 times too tall."
    assert page.locator(".side").bounding_box()["height"] == pytest.approx(3 * flat["height"], rel=0.01)


def test_a_wrong_number_is_told_beside_its_field_and_stays(look_at):
    page, _ = planned(look_at)
    field = page.locator('[name="outline/12 from nose"]')
    field.fill("12 1/x")
    told = page.locator('[id="told-outline/12 from nose"] .problem')
    told.wait_for()
    assert "is not a length" in told.inner_text()
    assert field.get_attribute("aria-invalid") == "true"
    assert field.input_value() == "12 1/x"
    page.reload()
    page.wait_for_selector('[id="told-outline/12 from nose"] .problem')
    assert page.locator('[name="outline/12 from nose"]').input_value() == "12 1/x"
    page.locator('[name="outline/12 from nose"]').fill("12 1/8")
    page.wait_for_selector('[id="told-outline/12 from nose"] .problem', state="detached")


def test_a_thinner_board_ranks_the_stock_anew(look_at):
    page, _ = planned(look_at)
    before = page.locator(".blank.chosen .litres").inner_text()
    page.locator('[name="thickness/thickest"]').fill("2 7/16")
    page.locator("#changed").wait_for()
    until(page, f"document.querySelector('.blank.chosen .litres')?.innerText !== {before!r}")
    ready(page)
    shown = page.locator(".blank.chosen .minutes").inner_text()
    assert shown.startswith(minutes(page))
    assert re.search(r"2\s*7/16", page.locator(".said-figures").inner_text().replace("\n", ""))


def test_another_blank_is_chosen_by_keyboard_alone(look_at):
    page, _ = planned(look_at)
    page.locator('#stock [name="blank"]:checked').focus()
    page.keyboard.press("ArrowDown")
    until(page, "document.querySelector('#lay').innerText.includes('M-6-9')")
    assert page.locator(".blank.chosen .code").inner_text() == "M-6-9"


def test_the_depth_under_the_pointer_is_the_tables(look_at):
    page, _ = planned(look_at)
    box = at_rest(page, page.locator(".over"))
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 - 1.5)
    said = page.locator("[data-under]").inner_text().replace("\n", "")
    assert "off the deck" in said
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2 + 20)
    assert "off the bottom" in page.locator("[data-under]").inner_text()
    page.mouse.move(box["x"] + 3, box["y"] + 3)
    assert page.locator("[data-under]").inner_text() == "point at the map"


def test_the_surface_turns_by_hand_and_by_keys(look_at):
    page, _ = planned(look_at)
    canvas = page.locator(".round canvas")
    canvas.scroll_into_view_if_needed()
    assert page.locator(".plain-picture").is_hidden()
    first = canvas.screenshot()
    canvas.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(100)
    second = canvas.screenshot()
    assert second != first
    box = canvas.bounding_box()
    page.mouse.move(box["x"] + 200, box["y"] + 100)
    page.mouse.down()
    page.mouse.move(box["x"] + 260, box["y"] + 130, steps=3)
    page.mouse.up()
    page.wait_for_timeout(100)
    assert canvas.screenshot() != second


def test_without_webgl_there_is_a_plain_picture(chromium, shared_app):
    page = chromium.new_page()
    errors = []
    page.on("pageerror", lambda error: errors.append(error))
    page.add_init_script(
        "const real = HTMLCanvasElement.prototype.getContext;"
        "HTMLCanvasElement.prototype.getContext = function (kind, ...more) {"
        " return kind === 'webgl2' ? null : real.call(this, kind, ...more); }"
    )
    page.goto(shared_app.host + PAGE)
    ready(page)
    assert page.locator(".plain-picture polygon").count() > 100
    assert page.locator(".plain-picture").is_visible()
    assert page.locator(".round canvas").count() == 0
    assert errors == []
    page.close()


def test_without_script_the_page_works_as_a_form(open_page):
    page, watched = open_page(PAGE, java_script_enabled=False)
    watched.expected_statuses |= {307}
    page.wait_for_selector(".run table", timeout=60_000)
    assert page.locator("#slider").is_hidden()
    page.locator('[name="thickness/thickest"]').fill("2 7/16")
    page.locator('[name="slide"]').fill("1 1/2")
    page.locator("button.work-out").click()
    page.wait_for_selector(".run table", timeout=60_000)
    assert page.locator('[name="slide"]').input_value() == "1 1/2"
    assert page.locator("#changed").is_visible()
    page.get_by_role("button", name="Save the board").click()
    page.wait_for_selector(".said")
    assert page.locator('[name="thickness/thickest"]').input_value() == "2 7/16"


def test_papers_come_as_files(look_at):
    page, _ = planned(look_at)
    for button, name in (("The plan", "plan.json"), ("Download the sheet", "Groyne.board.toml")):
        with page.expect_download() as coming:
            page.get_by_role("button", name=button, exact=True).click()
        assert coming.value.suggested_filename == name
