"""The job's page: complete, well formed, needs no network, and says what the plan says."""

import base64
import re
from html.parser import HTMLParser

import numpy as np
import pytest

from foamwright.cli.main import main
from foamwright.demo import demo_path
from foamwright.papers.job_index import job_index
from foamwright.units import System
from tests.plans import demo_plan

VOID = {"meta", "br", "link", "img"}


class Tree(HTMLParser):
    """Tags as they open and close, ids, links, and the cells of tables."""

    def __init__(self):
        super().__init__()
        self.open, self.ids, self.links, self.rows, self.cell = [], [], [], [], None

    def handle_starttag(self, tag, attributes):
        if tag not in VOID:
            self.open.append(tag)
        found = dict(attributes)
        self.ids += [found["id"]] if "id" in found else []
        self.links += [value for key, value in attributes if key in ("href", "src")]
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.cell = ""

    def handle_data(self, data):
        if self.cell is not None:
            self.cell += data

    def handle_endtag(self, tag):
        assert self.open.pop() == tag
        if tag in ("td", "th"):
            self.rows[-1].append(self.cell)
            self.cell = None


@pytest.fixture(scope="module")
def page():
    return job_index(demo_plan(), System.MM, ("plan.json", "a b#c.pdf")).decode()


@pytest.fixture(scope="module")
def tree(page):
    tree = Tree()
    tree.feed(page)
    assert tree.open == []
    return tree


def test_it_needs_nothing_but_the_files_beside_it(page, tree):
    assert tree.links == ["plan.json", "a%20b%23c.pdf"]
    assert all(found.startswith("data:") for found in re.findall(r"url\(([^)]*)\)", page) if found[0] != "#")
    assert re.findall(r"<script[^>]*>", page) == ['<script type="module">']
    assert len(tree.ids) == len(set(tree.ids))


def test_stations_stand_as_the_plan_has_them(tree):
    rows = {tuple(row[:1]): row for row in tree.rows if len(row) == 4 and row[0] == "centre"}
    mark = next(m for m in demo_plan().marks if m.stage.value == "finished" and m.station.name == "centre")
    rocker, thickness, width = (float(cell.split()[0]) for cell in rows[("centre",)][1:])
    assert rocker == pytest.approx(1000 * mark.from_new_level, abs=0.051)
    assert thickness == pytest.approx(1000 * mark.thickness, abs=0.051)
    assert width == pytest.approx(1000 * mark.width, abs=0.51)


def test_every_stroke_finding_and_caution_stands_there(page, tree):
    plan = demo_plan()
    strokes = sum(1 for row in tree.rows if len(row) == 4 and row[0].isdigit())
    assert strokes == sum(len(run.strokes) for run in plan.runs)
    text = re.sub(r"<[^>]+>", "", page).replace("&#x27;", "'").replace("&quot;", '"')
    for one in (*plan.findings, *plan.cautions):
        assert one.sentence in text


def test_the_same_plan_gives_the_same_page(page):
    assert job_index(demo_plan(), System.MM, ("plan.json", "a b#c.pdf")).decode() == page


def test_the_view_in_the_round_holds_what_comes_off_at_every_place(page):
    """The numbers on the page against the surfaces of board and blank, and nothing fetched from elsewhere."""
    plan = demo_plan()
    board, blank, lay = plan.board, plan.blank, plan.lay
    packed = np.frombuffer(base64.b64decode(re.search(r'data-surface="([^"]+)"', page)[1]), dtype="<i2")
    n, k = packed[:2].tolist()
    half, rest = packed[2 : 2 + n] * 0.02e-3, packed[2 + n :].reshape(4, n, k) * 0.02e-3
    x = 0.5 * board.length * (1.0 - np.cos(np.pi * np.arange(n) / (n - 1)))
    share = np.sin(0.5 * np.pi * np.arange(k) / (k - 1))
    assert half == pytest.approx(board.half_width(x), abs=0.011e-3)
    for row in (n // 8, n // 2, 7 * n // 8):
        at = np.array([x[row]])
        line = lay.lift + lay.tilt * x[row]
        low, high = board.bottom_at(at, share)[0], board.deck_at(at, share)[0]
        y = share * board.half_width(at)
        crown = blank.dome(at + lay.slide) * y**2
        off = line + low - blank.bottom(at + lay.slide), blank.deck(at + lay.slide) - crown - line - high
        for told, wanted in zip(rest[:, row], (low, high, *off), strict=True):
            assert told == pytest.approx(np.maximum(wanted, -1.0), abs=0.011e-3)
    assert not re.findall(r'(?:src|href)="(?:https?:)?//', page)
    assert "import " not in page.partition('<script type="module">')[2].partition("</script>")[0]


def test_a_board_alone_has_the_same_page(tmp_path, capsys):
    path, sheet = tmp_path / "groyne.html", demo_path("groyne.board.toml")
    assert main(["check", str(sheet), "--page", str(path)]) == 0
    page = path.read_text("utf-8")
    for words in ("36.0 l", "In the round", 'class="round"', "Nothing to warn of."):
        assert words in page
    assert main(["check", str(sheet), "--page", str(tmp_path / "groyne.txt")]) == 2
    assert main(["check", str(sheet), str(sheet), "--open"]) == 2
    (tmp_path / "mine.html").write_text("my own notes")
    assert main(["check", str(sheet), "--page", str(tmp_path / "mine.html")]) == 2
    assert "would be lost" in capsys.readouterr().err
