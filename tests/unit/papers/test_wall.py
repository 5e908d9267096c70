"""The wall pack as printed: read back from the PDF, and its figures recomputed from the plan's surfaces."""

import math
import re
import shutil
import subprocess
from fractions import Fraction

import numpy as np
import pytest

from foamwright.bay.bay import Bay
from foamwright.blank.numbers import Foam, FoamFamily, Stringer
from foamwright.board.board import board_of
from foamwright.brief.brief import Wish, brief_for
from foamwright.brief.kinds import Kind, Waves
from foamwright.jobs.picking import Job
from foamwright.jobs.planning import plan_job
from foamwright.making.closecut import close_cut
from foamwright.papers.pdf import pdf_bytes
from foamwright.papers.tiling import Paper
from foamwright.papers.wall import wall_document
from foamwright.sheets.rider import rider_from_text
from foamwright.starters import starter_text
from foamwright.units import INCH, System
from tests.plans import demo_plan

pytestmark = pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler here")

MM = 72.0 / 25.4
WORD = re.compile(
    r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', re.DOTALL
)
NAMES, EDGE, COLUMNS = 44.0, 9.0, 11


def words_of(pdf, folder):
    """Return the words of every page: (x0, y0, x1, y1, text) in points, y downwards."""
    path = folder / "wall.pdf"
    path.write_bytes(pdf)
    text = subprocess.run(
        ["pdftotext", "-bbox", str(path), "-"], check=True, capture_output=True, encoding="utf-8"
    ).stdout
    return [
        [(*map(float, found[:4]), found[4]) for found in WORD.findall(page)]
        for page in text.split("<page ")[1:]
    ]


def printed(plan, folder):
    return words_of(pdf_bytes(wall_document(plan, Paper.A4, System.INCH)), folder)


def row(words, name):
    """Return the cells of the table's row whose name begins with some words, tail to nose."""
    first, *rest = name.split()
    starts = [
        i
        for i, word in enumerate(words)
        if word[4] == first and [w[4] for w in words[i + 1 : i + 1 + len(rest)]] == rest
    ]
    top = words[starts[0]]
    middle = (top[1] + top[3]) / 2.0
    left, width = (EDGE + NAMES) * MM, (297.0 - 2 * EDGE - NAMES) * MM / COLUMNS
    cells = [""] * COLUMNS
    # A name of two lines stands around the middle of its row, 9.3 mm high.
    for x0, y0, x1, y1, text in sorted(words):
        if x0 > left and abs((y0 + y1) / 2.0 - middle) < 4.3 * MM:
            column = int(((x0 + x1) / 2.0 - left) / width)
            cells[column] = f"{cells[column]} {text}".strip()
    return cells


def inches(cell):
    return float(sum(Fraction(part) for part in cell.split()))


def near(plan):
    """Stations on the wall, from the tail, metres."""
    length = plan.board.length
    reach = [0.0, *(n * INCH for n in (6, 12, 18, 24))]
    return np.array([*reach, length / 2.0, *(length - x for x in reversed(reach))])


def up(metres, parts):
    return math.ceil(metres / INCH * parts - 1e-6) / parts


def down(metres, parts):
    return math.floor(metres / INCH * parts + 1e-6) / parts


@pytest.fixture(scope="module")
def groyne(tmp_path_factory):
    plan = demo_plan()
    return plan, printed(plan, tmp_path_factory.mktemp("wall"))


def test_half_widths_are_the_boards_with_the_sanding_left_on_never_less(groyne):
    plan, pages = groyne
    at = near(plan)[:-1]
    wanted = [up(float(half) + plan.bay.allowances.finish, 16) for half in plan.board.half_width(at)]
    assert [inches(cell) for cell in row(pages[0], "half width,")[:-1]] == wanted


def test_thickness_and_rocker_after_each_stage_are_those_of_its_solid(groyne):
    plan, pages = groyne
    stages = {stage["name"]: stage for stage in plan.as_json()["stages"]}
    for name, stage in (("after the rocker: calipers,", "rocker"), ("after the foil: calipers,", "foil")):
        solid = stages[stage]
        thick = np.interp(near(plan), solid["x_m"], np.subtract(solid["deck_m"], solid["bottom_m"]))
        assert [inches(cell) for cell in row(pages[1], name)] == [up(float(t), 32) for t in thick]
    bottom = np.array(stages["rocker"]["bottom_m"])
    gaps = np.interp(near(plan), stages["rocker"]["x_m"], bottom - bottom.min())
    cells = row(pages[1], "after the rocker: gap")
    assert [inches(cell) for cell in cells] == [down(float(gap), 32) for gap in gaps]


def test_the_finished_row_is_the_finished_board(groyne):
    plan, pages = groyne
    wanted = [up(float(t), 32) for t in plan.board.thickness(near(plan))]
    assert [inches(cell) for cell in row(pages[2], "finished: calipers,")] == wanted


def test_the_first_lists_are_the_printed_rule_worked_by_hand(groyne):
    """30 % of the depth less 1/64 at dots every 4 in, joined: where each ruled line is crossed last."""
    plan, pages = groyne
    text = " ".join(word[4] for word in pages[1])
    for run in plan.as_json()["runs"]:
        length = run["x_m"][-1]
        at = [*np.arange(0.0, length, 4 * INCH), length]
        depth = np.interp(length - np.array(at), run["x_m"], np.subtract(run["before_m"], run["target_m"]))
        drawn = 0.3 * depth - INCH / 64
        starts, level = [], INCH / 32
        while level <= drawn[0] + 1e-12:
            far = max(i for i in range(len(at)) if drawn[i] >= level)
            share = (drawn[far] - level) / (drawn[far] - drawn[far + 1])
            starts.append(down(at[far] + share * (at[far + 1] - at[far]), 16))
            level += INCH / 32
        wanted = [Fraction(start) for start in sorted(starts) if start >= 2.0]
        assert len(wanted) >= 1
        said = "  ".join(
            f"{int(w)} {w - int(w)}" if w.denominator > 1 and w > 1 else str(w) for w in wanted
        ).split()
        # In whatever order the page gives its columns, every mark is there.
        assert all(part in text.split() for part in said)


def overprinted(words):
    """Return pairs of words whose letters meet: the middle half of each one's height is sure to be ink."""
    cores = []
    for x0, y0, x1, y1, text in words:
        quarter = (y1 - y0) / 4.0
        cores.append((x0 + 0.3, y0 + quarter, x1 - 0.3, y1 - quarter, text))
    return [
        (a[4], b[4])
        for i, a in enumerate(cores)
        for b in cores[i + 1 :]
        if a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
    ]


KINDS = [kind for kind in Kind if kind is not Kind.PADDLE]
WAVES = {Kind.GUN: Waves.LARGE, Kind.STEP_UP: Waves.LARGE}


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_board_hangs_on_three_sheets_with_nothing_printed_over(kind, tmp_path):
    text = starter_text("rider").replace("intermediate", "advanced")
    if kind is Kind.CHILD:
        text = text.replace("75 kg", "35 kg").replace("1.78 m", "1.42 m")
    rider = rider_from_text(text, "rider")
    board = board_of(brief_for(rider, Wish(kind, WAVES.get(kind, Waves.MEDIUM))).board.numbers)
    blank = close_cut(board, Foam(FoamFamily.EPS, 24.0), Stringer("basswood", 0.003))
    plan = plan_job(Job(board, (blank,), Bay()), None, System.INCH)
    _hangs(printed(plan, tmp_path))


def test_a_long_board_out_of_a_blank_of_the_stock_hangs_on_three_sheets_too(tmp_path):
    _hangs(printed(demo_plan("breakwater"), tmp_path))


def _hangs(pages):
    assert len(pages) == 3
    for page in pages:
        assert overprinted(page) == []
        assert [w for w in page if w[0] < EDGE * MM - 1 or w[2] > (297.0 - EDGE) * MM + 1] == []
        # A font's box reaches half its height beyond what its letters ink, above and below.
        ink = [(w[1] + (w[3] - w[1]) / 4.0, w[3] - (w[3] - w[1]) / 4.0, w[4]) for w in page]
        assert [w for w in ink if w[0] < EDGE * MM - 1 or w[1] > (210.0 - EDGE) * MM + 1] == []
