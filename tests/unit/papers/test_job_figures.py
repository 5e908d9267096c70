"""Figures of the job sheet's tables as printed, recomputed from the plan's surfaces alone.

`plan.json` holds the stages; the rules of rounding are those that the sheet itself prints: a mark of a cut is
never deeper than the plan, a thickness never under it. Reader: poppler's words with their places.
"""

import math
import re
import shutil
import subprocess
from fractions import Fraction

import numpy as np
import pytest

from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.template_files import template_files
from foamwright.papers.tiling import Paper
from foamwright.units import INCH, System
from tests.plans import demo_plan
from tests.unit.papers.job_pages import document

pytestmark = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler here")

MM = 72.0 / 25.4
WORD = re.compile(
    r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', re.DOTALL
)
ROW = 3.4
"""Millimetres from the middle of a row within which its words stand."""

BOARDS = ("groyne", "breakwater")


def pages_of(name, folder):
    """Return words of every page: (x, y, text), middles in millimetres, y downwards."""
    path = folder / f"{name}.pdf"
    path.write_bytes(pdf_bytes(document(name, Paper.A4, System.INCH)))
    told = subprocess.run(
        ["pdftotext", "-bbox", str(path), "-"], check=True, capture_output=True, encoding="utf-8"
    ).stdout
    pages = []
    for page in told.split("<page ")[1:]:
        found = [(*(float(n) / MM for n in word[:4]), word[4]) for word in WORD.findall(page)]
        pages.append([((x0 + x1) / 2.0, (y0 + y1) / 2.0, text) for x0, y0, x1, y1, text in found])
    return pages


@pytest.fixture(scope="module", params=BOARDS)
def sheet(request, tmp_path_factory):
    plan = demo_plan(request.param)
    return plan.as_json(), plan, pages_of(request.param, tmp_path_factory.mktemp("sheet"))


def page_called(pages, *title):
    """Return the page whose title begins with some words, or None."""
    for words in pages:
        if [text for _, _, text in words[1 : 1 + len(title)]] == list(title):
            return words
    return None


def stations_of(length):
    """Where a tape is held: every half foot for two feet from each tip, then every foot, and the centre."""
    steps = [s * INCH for s in (6, 12, 18, 24, 36, 48) if s * INCH < length / 2.0 - 2.9 * INCH]
    return np.array([0.0, *steps, length / 2.0, *(length - s for s in reversed(steps)), length])


def cells(words, name, count):
    """Return what stands in the row that begins with a name, under each of the heads."""
    (head,) = {
        round(y, 1)
        for _, y, text in words
        if text == "centre" and {"tail", "nose"} <= {t for _, v, t in words if abs(v - y) < 0.3}
    }
    at = sorted(x for x, y, _ in words if abs(y - head) < 0.9)[-count:]
    first = name.split()
    texts = [text for _, _, text in words]
    begins = [i for i in range(len(texts)) if texts[i : i + len(first)] == first]
    y = words[begins[0]][1]
    left = at[0] - (at[1] - at[0]) / 2.0
    row = [""] * count
    for x, v, text in sorted(words):
        if x > left and abs(v - y) < ROW:
            column = int(np.argmin(np.abs(np.array(at) - x)))
            row[column] = f"{row[column]} {text}".strip()
    return row


def read(cell):
    return 0.0 if cell == "skim" else float(sum(Fraction(part) for part in cell.split()))


def up(metres, parts=32):
    return math.ceil(metres / INCH * parts - 1e-6) / parts


def down(metres, parts=32):
    return math.floor(metres / INCH * parts + 1e-6) / parts


def line(stage, key, x):
    return np.interp(x, stage["x_m"], stage[key])


def compare(words, name, wanted):
    found = cells(words, name, len(wanted))
    assert [read(cell) for cell in found] == list(wanted), name


def test_the_outline_is_the_boards_with_the_sanding_left_on(sheet):
    told, _plan, pages = sheet
    words, x = page_called(pages, "Outline"), stations_of(told["length_m"])
    stage = next(s for s in told["stages"] if s["name"] == "outline")
    half = line(stage, "half_width_m", x)
    compare(words, "edge: half width", [up(h, 16) for h in half])
    saw = told["allowances"]["saw_m"] - told["allowances"]["finish_m"]
    printed = cells(words, "saw this far", len(x))
    for cell, wanted in zip(printed[1:-1], half[1:-1], strict=True):
        assert read(cell) == up(wanted + saw, 16)


@pytest.mark.parametrize(
    ("title", "name", "before", "face"),
    [("Rocker", "rocker", "thickness", "bottom"), ("Foil", "foil", "rocker", "deck")],
)
def test_what_comes_off_and_what_is_read_after_a_stage(sheet, title, name, before, face):
    told, _plan, pages = sheet
    words, x = page_called(pages, title), stations_of(told["length_m"])
    stages = {stage["name"]: stage for stage in told["stages"]}
    after, earlier = stages[name], stages[before]
    sign = 1.0 if face == "bottom" else -1.0
    off = sign * (line(after, f"{face}_m", x) - line(earlier, f"{face}_m", x))
    compare(words, f"take off the {face},", [down(depth) for depth in off])
    lay = told["lay"]
    level = line(after, f"{face}_m", x) + lay["lift_m"] + lay["tilt_rad"] * x
    compare(words, f"mark the {face} line:", [(down if face == "bottom" else up)(z) for z in level])
    if face == "bottom":
        gap = line(after, "bottom_m", x) - min(after["bottom_m"])
        compare(words, "check: bottom to a", [down(z) for z in gap])
    thick = line(after, "deck_m", x) - line(after, "bottom_m", x)
    compare(words, "check: thickness by", [up(t) for t in thick])


def test_the_finished_rows_are_the_finished_board(sheet):
    told, plan, pages = sheet
    words, x = page_called(pages, "Finish"), stations_of(told["length_m"])
    board = plan.board
    compare(words, "thickness by calipers,", [up(t) for t in board.thickness(x)])
    finished = next(s for s in told["stages"] if s["name"] == "finished")
    rocker = line(finished, "bottom_m", x) - min(finished["bottom_m"])
    nearest = [round(z / INCH * 32 + 1e-9) / 32 for z in rocker]
    compare(words, "rocker above the level", nearest)
    compare(words, "full width", [up(2.0 * float(w), 16) for w in board.half_width(x)])


def test_the_contours_at_the_stringer_are_the_stages_difference(sheet):
    told, _plan, pages = sheet
    words, x = page_called(pages, "Contours"), stations_of(told["length_m"])
    stages = {stage["name"]: stage for stage in told["stages"]}
    deep = line(stages["contours"], "bottom_m", x) - line(stages["foil"], "bottom_m", x)
    compare(words, "take off at the stringer,", [down(d) if d > 1e-5 else 0.0 for d in deep])
    thick = line(stages["contours"], "deck_m", x) - line(stages["contours"], "bottom_m", x)
    compare(words, "check: thickness by", [up(t) for t in thick])


@pytest.mark.parametrize("name", BOARDS)
def test_labels_of_the_outline_template_are_the_boards_widths(name, tmp_path):
    plan = demo_plan(name)
    path = tmp_path / "outline.pdf"
    path.write_bytes(template_files(plan, Paper.A3, System.INCH)["templates/outline-a3.pdf"])
    # Upright labels come whole from one order of reading or the other.
    told = " ".join(
        subprocess.run(
            ["pdftotext", *order, str(path), "-"], check=True, capture_output=True, encoding="utf-8"
        ).stdout
        for order in ((), ("-raw",))
    )
    found = re.findall(r"half ((?:\d+ )?(?:\d+/\d+|\d+)) *,? *full ((?:\d+ )?(?:\d+/\d+|\d+)) in", told)
    printed = {(read(half), read(full)) for half, full in found}
    for x in stations_of(plan.board.length)[1:-1]:
        half = float(plan.board.half_width(x)) / INCH
        wanted = round(half * 16) / 16, round(2.0 * half * 16) / 16
        assert wanted in printed, x
