"""The job's page: complete, well formed, needs no network, and says what the plan says."""

import re
from html.parser import HTMLParser

import pytest

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
    assert "<script" not in page
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
