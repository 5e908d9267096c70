"""The workbench in a real browser: by hand, by keys and by numbers, on every size, without script too."""

from __future__ import annotations

import time

import pytest
from axe_playwright_python.sync_playwright import Axe

PAGE = "/plan/1"
SIZES = [(1280, 800), (1024, 768), (768, 1024), (390, 844), (320, 640)]
VIEWS = ["board", "blank", "off", "strokes", "papers"]
MARK = 0.0254 / 16


def violations(page):
    found = Axe().run(page).response["violations"]
    return [(one["id"], one["nodes"][0]["html"][:160]) for one in found]


def until(page, held, seconds=120):
    """Wait until an expression holds on the page; asked from outside, because our policy forbids eval."""
    end = time.monotonic() + seconds
    while not page.evaluate(held):
        assert time.monotonic() < end, held
        page.wait_for_timeout(30)


def opened(opens, path=PAGE, size=(1280, 800), **more):
    page, watched = opens(path, *size, **more)
    until(page, "document.body.classList.contains('scripted')")
    until(page, "document.querySelector('#stage').innerHTML.length > 500")
    return page, watched


def value(page, name):
    return page.locator(f'[name="n:{name}"]').input_value()


def wait_value(page, name, text):
    until(page, f"document.querySelector('[name=\"n:{name}\"]')?.value === {text!r}")


@pytest.mark.parametrize("size", SIZES)
def test_every_view_is_one_screen_that_is_accessible(look_at, size):
    page, _ = opened(look_at, size=size)
    for view in VIEWS:
        page.locator(f'button[data-view="{view}"]').click()
        until(page, f"document.querySelector('button[data-view={view}][aria-current]')")
        page.wait_for_timeout(150)
        assert violations(page) == [], view
        inside = page.evaluate(
            """() => [document.documentElement.scrollWidth - innerWidth,
                document.body.scrollHeight - innerHeight]"""
        )
        assert max(inside) <= 0, view
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, input:not([type=hidden]), select")]
                .filter(e => e.offsetParent && !e.matches(".first-button, .link"))
                .filter(e => e.getBoundingClientRect().height < 44)
                .map(e => e.outerHTML.slice(0, 120))"""
        )
        assert small == [], view


def test_a_drag_is_geared_snaps_and_is_one_undo(look_at):
    page, _ = opened(look_at, f"{PAGE}?at=12+from+tail")
    before = value(page, "outline/12 from tail")
    drawn = page.locator("#outline").get_attribute("d")
    box = page.locator(".hand.jaws .knob").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(1, 17):
        page.mouse.move(x, y - 2 * n)
    page.mouse.up()
    # 32 pixels up are four marks of a sixteenth.
    wait_value(page, "outline/12 from tail", "15 1/8")
    assert page.locator("#outline").get_attribute("d") != drawn
    assert page.locator(".ghost").count() == 2
    page.keyboard.press("Control+z")
    wait_value(page, "outline/12 from tail", before)
    page.keyboard.press("Control+Shift+z")
    wait_value(page, "outline/12 from tail", "15 1/8")
    page.reload()
    wait_value(page, "outline/12 from tail", "15 1/8")


def test_of_many_wishes_only_the_newest_is_sent_and_one_at_a_time(look_at):
    page, _ = opened(look_at, f"{PAGE}?at=12+from+nose")
    page.evaluate("""() => {
        window.flying = 0; window.most = 0; window.sent = 0;
        const fetched = window.fetch;
        window.fetch = async (...asked) => {
            if (!String(asked[0]).endsWith("/live")) return fetched(...asked);
            sent += 1; flying += 1; most = Math.max(most, flying);
            await new Promise((go) => setTimeout(go, 60));
            try { return await fetched(...asked); } finally { flying -= 1; }
        };
    }""")
    box = page.locator(".hand.deck .knob").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for n in range(60):
        page.mouse.move(x, y - n)
    page.mouse.up()
    until(page, "flying === 0 && sent > 0")
    assert page.evaluate("most") == 1
    assert 1 < page.evaluate("sent") < 40


def test_what_is_typed_while_answers_are_slow_is_not_lost(look_at):
    """A view opened and a place touched before the shop has answered take nothing back."""
    page, _ = opened(look_at, f"{PAGE}?at=12+from+tail")
    page.evaluate("""() => {
        const fetched = window.fetch;
        window.fetch = async (...asked) => {
            const answer = await fetched(...asked);
            await new Promise((go) => setTimeout(go, 400));
            return answer;
        };
    }""")
    before = value(page, "outline/12 from tail")
    page.keyboard.press("0")
    page.fill('[name="n:outline/12 from tail"]', "15")
    page.keyboard.press("Tab")
    page.locator('button[data-view="papers"]').click()
    page.locator('button[data-view="board"]').click()
    page.locator(".turn").nth(1).click()
    until(page, "document.querySelector('#stop').innerText === 'centre'")
    page.locator(".turn").nth(0).click()
    wait_value(page, "outline/12 from tail", "15")
    page.keyboard.press("Control+z")
    wait_value(page, "outline/12 from tail", before)


def test_everything_goes_by_keyboard(look_at):
    page, _ = opened(look_at, f"{PAGE}?at=12+from+tail")
    page.locator(".hand.rod").focus()
    page.keyboard.press("ArrowUp")
    wait_value(page, "rocker/12 from tail", "7/8")
    assert page.evaluate("document.activeElement.dataset.hand") == "rocker/12 from tail"
    page.keyboard.press("PageUp")
    wait_value(page, "rocker/12 from tail", "1 1/8")
    page.keyboard.press("Home")
    wait_value(page, "rocker/12 from tail", "0.85")
    page.keyboard.press("ArrowRight")
    until(page, "document.querySelector('#stop').innerText === 'centre'")
    page.keyboard.press("1")
    until(page, "Number(document.querySelector('.drawing').dataset.zoom) > 4")
    page.keyboard.press("0")
    until(page, "Number(document.querySelector('.drawing').dataset.zoom) === 1")


def test_a_place_in_between_becomes_a_station_with_its_first_number(look_at):
    page, _ = opened(look_at)
    stage = page.locator(".drawing").bounding_box()
    page.mouse.click(stage["x"] + stage["width"] * 0.66, stage["y"] + stage["height"] * 0.55)
    until(page, "document.querySelector('.slip-head p').innerText.startsWith('No station yet')")
    until(page, "document.querySelector('.plumb')")
    page.locator(".row .step").nth(1).click()
    until(page, "!document.querySelector('.slip-head p').innerText.startsWith('No station yet')")
    assert page.locator(".row.changed").count() == 1


def test_a_number_that_cannot_be_keeps_what_was_typed_and_says_what_would_make_it(look_at):
    page, _ = opened(look_at, f"{PAGE}?at=12+from+nose")
    drawn = page.locator("#profile").get_attribute("d")
    page.fill('[name="n:rocker/12 from nose"]', "4 1/2")
    page.keyboard.press("Tab")
    page.get_by_text("The nearest fair curve needs it").first.wait_for()
    assert value(page, "rocker/12 from nose") == "4 1/2"
    assert page.locator("#profile").get_attribute("d") != drawn
    make = page.locator("button.make:visible").first
    make.wait_for()
    make.click()
    until(page, "!document.querySelector('.notice-row.wrong')")
    page.fill('[name="n:rocker/12 from nose"]', "x")
    page.keyboard.press("Tab")
    page.get_by_text("is not a length").wait_for()
    assert value(page, "rocker/12 from nose") == "x"
    assert page.locator("#profile").count() == 1


def test_the_board_is_dragged_in_the_blank_and_another_is_chosen(look_at):
    page, _ = opened(look_at, f"{PAGE}?view=blank")
    box = page.locator(".board-shape").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] / 2 + 20, box["y"] + box["height"] / 2, steps=5)
    page.mouse.up()
    until(page, "document.querySelector('#slide').value !== '1/4'")
    slide = page.evaluate("Number(document.querySelector('.hand.slide').dataset.value)")
    assert slide / MARK == pytest.approx(round(slide / MARK), abs=1e-6)
    page.locator(".hand.slide").focus()
    page.keyboard.press("Home")
    until(page, "document.querySelector('#slide').value === '1/4'")
    page.locator('[data-blank="M-6-9"]').click()
    until(page, "document.querySelector('.blanks .chosen').innerText.includes('M-6-9')")
    assert "blank=M-6-9" in page.url


def test_a_version_is_saved_held_against_and_gone_back_to(open_page):
    page, _ = opened(open_page, f"{PAGE}?at=tail")
    page.fill('[name="n:outline/tail"]', "6")
    page.keyboard.press("Tab")
    until(page, "document.body.dataset.changed === 'true'")
    page.locator("#versions summary").click()
    page.fill("#why", "wide tail")
    page.get_by_role("button", name="Save it under this name").click()
    page.locator(".said").wait_for()
    assert "wide tail" in page.locator("#versions summary").inner_text()
    page.locator("#versions summary").click()
    page.get_by_role("button", name="Go back to “version 1”").click()
    wait_value(page, "outline/tail", "5 1/2")


def test_without_script_the_workbench_is_a_form(open_page):
    page, _ = open_page(f"{PAGE}?at=12+from+tail", java_script_enabled=False)
    page.locator('[name="n:outline/12 from tail"]').fill("15")
    page.locator('button[data-view="blank"]').click()
    assert page.locator(".work-curve").count() == 1
    page.locator('button[data-view="board"]').click()
    page.get_by_role("button", name="Save", exact=True).click()
    page.locator(".said").wait_for()
    assert page.locator('[name="n:outline/12 from tail"]').input_value() == "15"


def test_papers_come_as_files(look_at):
    page, _ = opened(look_at, f"{PAGE}?view=papers")
    for button, name in (("The plan", "plan.json"), ("Download the sheet", "Groyne.board.toml")):
        with page.expect_download() as coming:
            page.get_by_role("button", name=button, exact=True).click()
        assert coming.value.suggested_filename == name
