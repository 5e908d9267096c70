"""The app's pages in a real Chromium, beside an empty page from a plain file server in the same run.

Prints Markdown tables: first paint of every page, how soon the workbench answers, sizes, what axe finds, and
what scrolls sideways. Needs a Chromium and the tests' packages: `make bench-app`.
"""

# ruff: noqa: E402 (the tests' helpers are found only after their folder is on the path)
from __future__ import annotations

import functools
import gzip
import http.server
import shutil
import statistics
import sys
import tempfile
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT / "tests" / "shop_support"))

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright
from running import Running

from foamwright.jobs.sample_shop import put_sample_in, sample_plans
from foamwright.shop.database import Actor
from foamwright.shop.opening import open_database
from foamwright.units import System
from foamwright.web.statics import all_statics

PAGES = (
    "/jobs", "/jobs/1", "/jobs/1/details", "/jobs/1/readings", "/jobs/1/history", "/class", "/courses",
    "/boards", "/boards/1", "/stock", "/stock/1", "/supplies", "/people", "/people/1", "/bay", "/orders",
    "/access", "/start", "/start/rider", "/jobs/1/bench",
)  # fmt: skip
WORKBENCH = tuple(
    f"/plan/1{view}" for view in ("", "?view=blank", "?view=off", "?view=strokes", "?view=papers")
)
WIDTHS = ((1280, 800), (1024, 768), (768, 1024), (390, 844))
FLAGS = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
PAINTS, MOVES = 5, 60


PAINTED = """() => new Promise((done) => new PerformanceObserver((list) => {
    for (const one of list.getEntries())
        if (one.name === "first-contentful-paint") done(one.startTime);
}).observe({ type: "paint", buffered: true }))"""

NOTED = """([where, filter, event]) => {
    window.sent = 0; window.drawn = [];
    new MutationObserver(() => {
        if (window.sent) { window.drawn.push(performance.now() - window.sent); window.sent = 0; }
    }).observe(document.getElementById(where), {
        subtree: true, attributes: true, attributeFilter: filter, characterData: true, childList: true,
    });
    addEventListener(event, () => { if (!window.sent) window.sent = performance.now(); }, true);
}"""


@contextmanager
def empty_page() -> Iterator[str]:
    """Serve an empty page from a plain file server; gives its address."""
    with tempfile.TemporaryDirectory() as folder:
        (Path(folder) / "index.html").write_text("<!doctype html><title>empty</title><p>.</p>", "utf-8")

        class Quiet(http.server.SimpleHTTPRequestHandler):
            def log_message(self, *_: object) -> None:
                """Say nothing."""

        server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=folder))
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/"
        server.shutdown()


def first_paint(browser: Browser, address: str) -> float:
    """Return the median of the first contentful paint, milliseconds, each time with an empty cache."""
    found = []
    for _ in range(PAINTS):
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        page = context.new_page()
        page.goto(address)
        found.append(page.evaluate(PAINTED))
        context.close()
    return statistics.median(found)


def answers(page: Page, where: str, filters: list[str], event: str) -> None:
    """Note from an event until something of a part of the page is drawn anew."""
    page.evaluate(NOTED, [where, filters, event])


def drawn(page: Page) -> list[float]:
    """Return what was noted."""
    return page.evaluate("window.drawn")


def p50_p95(found: list[float]) -> tuple[float, float]:
    """Return the median and the 95th percentile."""
    return statistics.median(found), statistics.quantiles(found, n=20)[18]


def drag(browser: Browser, host: str) -> list[float]:
    """Drag the width at the centre to and fro; milliseconds until the exact outline is in the page."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.goto(f"{host}/plan/1?at=12+from+tail")
    page.wait_for_timeout(800)
    answers(page, "stage", ["d"], "pointermove")
    box = page.locator(".hand.jaws .knob").bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.evaluate("window.sent = 0; window.drawn = []")
    for n in range(MOVES):
        page.mouse.move(x, y + 8 * ((n % 6) + 1))
        page.wait_for_timeout(120)
    page.mouse.up()
    found = drawn(page)
    page.context.close()
    return found


def keystrokes(browser: Browser, host: str, where: str, filters: list[str]) -> list[float]:
    """Type widths into the field at the centre; milliseconds until a part of the page is drawn anew."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.goto(f"{host}/plan/1?at=12+from+tail")
    page.wait_for_timeout(800)
    answers(page, where, filters, "input")
    field = page.locator('[name="n:outline/12 from tail"]')
    for n in range(MOVES // 2):
        field.fill(f"14 {n % 7 + 1}/8")
        page.wait_for_timeout(200)
    found = drawn(page)
    page.context.close()
    return found


def steps(browser: Browser, host: str) -> list[float]:
    """Step a width by the arrow keys; milliseconds until the strip of what changed is written anew."""
    page = browser.new_context(viewport={"width": 1280, "height": 800}).new_page()
    page.goto(f"{host}/plan/1?at=12+from+tail")
    page.wait_for_timeout(800)
    answers(page, "strip", ["data-none"], "keydown")
    page.locator('[name="n:outline/12 from tail"]').focus()
    for n in range(MOVES // 2):
        page.keyboard.press("ArrowUp" if n % 6 < 3 else "ArrowDown")
        page.wait_for_timeout(300)
    found = drawn(page)
    page.context.close()
    return found


def look_over(browser: Browser, host: str) -> tuple[list[str], list[str]]:
    """Return what axe finds and what scrolls sideways, at every width, at 320 px and at 200 % zoom."""
    broken, sideways = [], []
    for width, height in (*WIDTHS, (320, 640), (640, 400)):
        page = browser.new_context(viewport={"width": width, "height": height}).new_page()
        for address in (*PAGES, *WORKBENCH):
            page.goto(host + address)
            page.wait_for_timeout(250)
            if page.evaluate("document.documentElement.scrollWidth") > width:
                sideways.append(f"{address} at {width}")
            if (width, height) in WIDTHS:
                for one in Axe().run(page).response["violations"]:
                    broken.append(f"{address} at {width}: {one['id']}: {one['nodes'][0]['html'][:110]}")
        page.context.close()
    return broken, sideways


def sizes(browser: Browser, host: str) -> None:
    """Print how large the scripts and the first answers are."""
    scripts = {name: len(one.plain) for name, one in all_statics().items() if name.endswith(".js")}
    print("\n| what | kB |\n| --- | ---: |")
    print(f"| all scripts as they are written | {sum(scripts.values()) / 1000:.1f} |")
    context = browser.new_context(viewport={"width": 1280, "height": 800})
    for address in (*WORKBENCH, "/jobs/1/bench", "/jobs/1", "/class", "/stock"):
        page = context.new_page()
        loaded: list[str] = []
        page.on("request", lambda request, seen=loaded: seen.append(request.url))
        answer = page.goto(host + address)
        assert answer is not None
        page.wait_for_timeout(500)
        names = {url.split("/")[-1] for url in loaded if url.endswith(".js")}
        total = sum(scripts.get(name, 0) for name in names)
        print(
            f"| first answer of `{address}`, compressed | {len(gzip.compress(answer.body(), 6)) / 1000:.1f} |"
        )
        print(f"| scripts that `{address}` loads | {total / 1000:.1f} |")
        page.close()
    context.close()


def paints(browser: Browser, host: str, empty: str) -> None:
    """Print the first paint of every page beside the empty one's."""
    first_paint(browser, f"{host}/plan/1")
    base = first_paint(browser, empty)
    print("| page | first paint, ms | times the empty page's |\n| --- | ---: | ---: |")
    print(f"| an empty page from a plain file server | {base:.0f} | 1.0 |")
    for address in (*PAGES, *WORKBENCH):
        found = first_paint(browser, host + address)
        print(f"| `{address}` | {found:.0f} | {found / base:.1f} |", flush=True)


def replies(browser: Browser, host: str) -> None:
    """Print how soon the workbench follows a hand and a keystroke."""
    print("\n| what | p50, ms | p95, ms | asked |\n| --- | ---: | ---: | ---: |")
    for what, found, asked in (
        ("drag to the exact drawing", drag(browser, host), 20),
        ("keystroke to the drawing", keystrokes(browser, host, "stage", ["d"]), 60),
        ("step of a number to litres, minutes and money", steps(browser, host), 80),
    ):
        middle, high = p50_p95(found)
        print(f"| {what} ({len(found)} times) | {middle:.1f} | {high:.1f} | < {asked} |", flush=True)


def looked_over(browser: Browser, host: str) -> None:
    """Print what axe finds and what scrolls sideways."""
    broken, sideways = look_over(browser, host)
    print(f"\naxe: {len(broken)} violations; sideways: {len(sideways)}")
    print("\n".join([*broken, *sideways]))


def main() -> None:
    """Measure the parts that are named, or all of them, and print."""
    named = set(sys.argv[1:]) or {"paints", "replies", "sizes", "look"}
    folder = Path(tempfile.mkdtemp())
    shop = open_database(f"sqlite:///{folder / 'shop.sqlite'}")
    plans = sample_plans(System.INCH)
    with shop.writing(Actor("bench")) as work:
        put_sample_in(work, plans)
    shop.close()
    with sync_playwright() as playwright, empty_page() as empty, Running(folder, "--port", "0") as running:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        if "paints" in named:
            paints(browser, running.host, empty)
        if "replies" in named:
            replies(browser, running.host)
        if "sizes" in named:
            sizes(browser, running.host)
        if "look" in named:
            looked_over(browser, running.host)
        browser.close()


if __name__ == "__main__":
    main()
