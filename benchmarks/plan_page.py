"""Figures of the planning page: paint, script, the shape in the hand, the numbers; one person and four.

Run it on a quiet machine: ``.venv/bin/python benchmarks/plan_page.py``. The app runs as a program of its own
on the demo's stock of 47 blanks; Debian's chromium drags for two seconds on each of so many pages.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from foamwright.blank.sheet import stock_from_text
from foamwright.demo import demo_path
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.opening import open_database
from foamwright.shop.stock import CountRule, take_in
from foamwright.units import Unit

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
WATCH = """
window.taken = { shape: [], numbers: [] };
const fetched = window.fetch;
window.fetch = async (...asked) => {
  const begun = performance.now(), answer = await fetched(...asked);
  if (!String(asked[0]).endsWith("/live/lay")) return answer;
  const read = answer.json.bind(answer);
  answer.json = async () => {
    const value = await read();
    setTimeout(() => taken.numbers.push(performance.now() - begun), 0);
    return value;
  };
  return answer;
};
addEventListener("pointermove", (event) => {
  if (!event.buttons) return;
  requestAnimationFrame(() => {
    const after = new MessageChannel();
    after.port1.onmessage = () => taken.shape.push(performance.now() - event.timeStamp);
    after.port2.postMessage(0);
  });
}, true);
"""
PAINT = "performance.getEntriesByName('first-contentful-paint')[0].startTime"
STEPS, PAUSE_MS = 120, 16


def fill(folder: Path) -> None:
    """Fill a data folder with the demo's board and stock."""
    shop = open_database(f"sqlite:///{folder / 'shop.sqlite'}")
    with shop.writing(Actor("bench")) as work:
        add_board(work, demo_path("groyne.board.toml").read_text("utf-8"))
        blanks = stock_from_text(demo_path("harbour.stock.toml").read_text("utf-8"), "stock")
        take_in(work, blanks, "Harbour", Unit.INCH, CountRule.SET)
    shop.close()


def open_planned(browser: Browser, host: str) -> Page:
    """Open the page and wait until all of it is worked out."""
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.add_init_script(WATCH)
    page.goto(f"{host}/plan/1")
    page.wait_for_selector(".run table", timeout=120_000)
    return page


def drag(pages: list[Page]) -> None:
    """Drag on every page, turn and turn about."""
    grips = []
    for page in pages:
        page.locator(".side").scroll_into_view_if_needed()
        box = page.locator(".side").bounding_box()
        assert box is not None
        grips.append((box["x"] + box["width"] / 2, box["y"] + box["height"] / 2))
        page.mouse.move(*grips[-1])
        page.mouse.down()
    for step in range(STEPS):
        for page, (x, y) in zip(pages, grips, strict=True):
            page.mouse.move(x + abs(step % 60 - 30), y)
        pages[0].wait_for_timeout(PAUSE_MS)
    for page in pages:
        page.mouse.up()
        page.wait_for_timeout(300)


def figures(times: list[float]) -> dict[str, float]:
    """Return median and 95th percentile, milliseconds."""
    ordered = sorted(times)
    return {
        "median_ms": round(ordered[len(ordered) // 2], 1),
        "p95_ms": round(ordered[int(0.95 * len(ordered))], 1),
        "count": len(ordered),
    }


def paints(browser: Browser, host: str) -> dict[str, dict[str, float]]:
    """Return when something of the page is first seen: come to from the app's list; and by a browser anew."""
    known, anew = [], []
    for _ in range(15):
        page = open_planned(browser, host)
        anew.append(page.evaluate(PAINT))
        page.goto(f"{host}/plan")
        page.wait_for_timeout(400)
        page.goto(f"{host}/plan/1")
        page.wait_for_selector(".run table", timeout=120_000)
        known.append(page.evaluate(PAINT))
        page.close()
    return {"from_the_list": figures(known), "nothing_kept": figures(anew)}


def measure(browser: Browser, host: str) -> dict[str, object]:
    """Return every figure."""
    open_planned(browser, host).close()
    found: dict[str, object] = {"paint_ms": paints(browser, host)}
    page = open_planned(browser, host)
    scripts = "performance.getEntriesByType('resource').filter(e => e.name.endsWith('.js'))"
    found["script_bytes"] = page.evaluate(f"{scripts}.reduce((sum, e) => sum + e.decodedBodySize, 0)")
    page.close()
    for people in (1, 4):
        pages = [open_planned(browser, host) for _ in range(people)]
        drag(pages)
        taken = [page.evaluate("taken") for page in pages]
        found[f"dragging_{people}"] = {
            kind: figures([time for one in taken for time in one[kind]]) for kind in ("shape", "numbers")
        }
        for page in pages:
            page.close()
    return found


def main() -> None:
    """Print the figures as JSON, with the machine's load."""
    with tempfile.TemporaryDirectory() as name:
        fill(Path(name))
        command = [sys.executable, "-m", "foamwright", "serve", "--no-browser", "--port", "0"]
        env = {**os.environ, "FOAMWRIGHT_DATA": name}
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=env) as app:
            assert app.stdout is not None
            host = re.search(r"http://\S+", app.stdout.readline())
            assert host is not None
            try:
                with sync_playwright() as playwright:
                    chromium = os.environ.get("FOAMWRIGHT_CHROMIUM", "/usr/bin/chromium")
                    browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
                    found = measure(browser, host[0])
                    browser.close()
            finally:
                app.terminate()
    print(json.dumps({"load_average": os.getloadavg()[0], **found}, indent=2))


if __name__ == "__main__":
    main()
