"""Make the pictures of the docs from the program itself: a board's drawing, the wall pack, the workbench.

``make_pictures.py [board] [wall] [workbench]``; all of them without a word. Needs poppler (`pdftoppm`) for
the wall pack and a Chromium (`CHROMIUM` names it) for the workbench. Small, so the repository stays small.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import foamwright

ROOT = Path(__file__).resolve().parents[1]
PICTURES = ROOT / "docs" / "pictures"
EXAMPLES = ROOT / "examples"
BOARD, STOCK = EXAMPLES / "groyne-6-4.board.toml", EXAMPLES / "two-yards.stock.toml"
CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium")


def board() -> None:
    """Draw outline, profile and sections of the example board."""
    picture = PICTURES / "board.svg"
    foamwright.export(BOARD, picture)
    # The export is for a plotter at full size; a page shows it a tenth as wide, so its lines are drawn wider.
    drawing = picture.read_text(encoding="utf-8")
    wider = re.sub(r"stroke-width:([\d.]+)", lambda found: f"stroke-width:{8 * float(found[1]):g}", drawing)
    picture.write_text(wider, encoding="utf-8")


def wall() -> None:
    """Rasterise the sheets of the example's wall pack; the first is the README's."""
    with tempfile.TemporaryDirectory() as folder:
        foamwright.write_papers(foamwright.plan(BOARD, STOCK), Path(folder) / "job")
        to = Path(folder) / "page"
        # 70 dots an inch: its lines can be read on a screen, and a page has about 100 kB.
        subprocess.run(["pdftoppm", "-r", "70", "-png", Path(folder) / "job" / "wall.pdf", to], check=True)
        for number, page in enumerate(sorted(Path(folder).glob("page*.png")), 1):
            shutil.copy(page, PICTURES / ("wall-pack.png" if number == 1 else f"wall-pack-{number}.png"))


def workbench() -> None:
    """Photograph the workbench of a fresh shop with the example board on it."""
    with tempfile.TemporaryDirectory() as data:
        command = [sys.executable, "-u", "-m", "foamwright", "serve", "--no-browser", "--port", "0"]
        server = subprocess.Popen(
            command, stdout=subprocess.PIPE, text=True, env={**os.environ, "FOAMWRIGHT_DATA": data}
        )
        try:
            _photograph(_address(server))
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(timeout=30)


def _address(server: subprocess.Popen[str]) -> str:
    assert server.stdout is not None
    for line in server.stdout:
        if found := re.search(r"http://127\.0\.0\.1:\d+", line):
            return found.group()
    raise SystemExit("The app did not say where it answers.")


def _photograph(address: str) -> None:
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.goto(f"{address}/plan")
        page.set_input_files("input[type=file]", BOARD)
        page.locator("form:has(input[type=file]) button").first.click()
        page.wait_for_url("**/plan/*")
        page.goto(page.url.split("?")[0])
        page.wait_for_load_state("networkidle")
        page.screenshot(path=PICTURES / "workbench.png")
        browser.close()


if __name__ == "__main__":
    makers = {"board": board, "wall": wall, "workbench": workbench}
    PICTURES.mkdir(exist_ok=True)
    for name in sys.argv[1:] or makers:
        makers[name]()
