"""The nesting job: refusals, files, the command's exit codes."""

import csv
import io
import json
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from foamwright.cli.main import main
from foamwright.errors import InputError, NoAnswerError
from foamwright.jobs.nest import nest_job, nested
from foamwright.making.nest.layout import from_the_top
from foamwright.making.nest.sheet import order_from_text
from foamwright.units import System

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"
ORDER = DEMO / "harbour.order.toml"

BLANK = """
[[blank]]
id = "plain"
count = 4
foam = "eps 20 kg/m3"
length = 78
width = 22
thickness = 3
stringer = "none"
rocker = { tail = 2, nose = 5, "12 from tail" = 0.8, "12 from nose" = 2 }
"""
BLOCK = """
[[block]]
name = "full"
length = 96
width = 48
height = 24
foam = "eps 20 kg/m3"
price = 160
"""


def order(text, folder=DEMO):
    return order_from_text('units = "in"\n' + text, "o.order.toml", folder)


def problems(text):
    with pytest.raises(InputError) as caught:
        order(text)
    return [str(problem) for problem in caught.value.problems]


@pytest.fixture(scope="module")
def job():
    return nest_job(ORDER)


def test_the_demo_order_is_served_at_a_proved_least_cost(job):
    document = job.as_json()
    assert document["gap"] < 0.05
    assert document["cost"] == document["price"] <= document["first_fit_cost"]
    assert document["blocks"] == sum(way["times"] for way in document["layout"])
    found = Counter()
    for way in document["layout"]:
        for strip in way["strips"]:
            for piece in strip["stack"]:
                found[piece["blank"]] += way["times"] / (2 if piece["half"] else 1)
    assert found == {"Q-6-10-3": 10, "Q-7-0-2.75": 8, "Q-5-10-2.5": 6, "for Groyne": 4, "plain 6'6\"": 4}


def test_the_files_are_drawings_a_list_and_the_json(job):
    files = job.files()
    ways = len(job.layout.blocks)
    names = [f"block-{n:02d}.svg" for n in range(1, ways + 1)]
    assert sorted(files) == [*names, "layout.csv", "nest.json", "nest.pdf"]
    assert files["nest.pdf"].startswith(b"%PDF")
    rows = list(csv.DictReader(io.StringIO(files["layout.csv"].decode())))
    pieces = [(s, p) for block in job.layout.blocks for s in block.strips for p in from_the_top(s.stack)]
    assert len(rows) == len(pieces)
    inches = list(csv.DictReader(io.StringIO(job.files(System.INCH)["layout.csv"].decode())))
    for row, inch, (strip, placed) in zip(rows, inches, pieces, strict=True):
        piece = job.order.pieces[placed.piece]
        tall = float(np.max(piece.profile.high - piece.profile.low))
        for name, metres in (("length", piece.profile.length), ("thickness", tall), ("from", strip.start)):
            assert float(row[f"{name}_mm"]) == pytest.approx(1000 * metres, abs=0.0051)
            assert float(inch[f"{name}_in"]) == pytest.approx(metres / 0.0254, abs=0.00051)
        assert row["foam"]
    assert json.loads(files["nest.json"])["bound"] <= json.loads(files["nest.json"])["cost"]


def test_the_same_order_gives_the_same_bytes(job):
    assert nest_job(ORDER).files() == job.files()


def test_cautions_stand_in_the_json_where_blanks_are_cut_by_wire(job):
    assert {"hot-wire", "fume", "current", "no-polyurethane"} <= {
        c["code"] for c in job.as_json()["cautions"]
    }


def test_strips_lie_side_by_side_inside_their_block(job):
    cutting = job.order.cutting
    for block in job.layout.blocks:
        ends = [cutting.margin - cutting.slicing]
        for strip in block.strips:
            assert strip.start >= ends[-1] + cutting.slicing - 1e-9
            ends.append(strip.stop)
        assert ends[-1] <= block.block.width - cutting.margin + 1e-9


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("blank = []" + BLOCK, "no blank in this order"),
        (BLOCK, "“blank” is missing"),
        (BLANK, "no block to cut the blanks from"),
        ("kerf = -1" + BLOCK + BLANK, "line 2, kerf"),
        ("kerf = 0" + BLOCK + BLANK, "A cut of no width"),
        (BLOCK + BLANK.replace("count = 4", "count = nan"), "is not a whole number"),
        (BLOCK + BLANK.replace("count = 4", "count = 0"), "count"),
        (BLOCK + BLANK.replace("width = 22", "width = nan"), "[blank 1] width"),
        (BLOCK + BLANK.replace("length = 78", "length = 120"), "lies in none (full: length"),
        (BLOCK.replace("height = 24", "height = 6") + BLANK, "height"),
        (BLOCK.replace("height = 24", "hieght = 24") + BLANK, "The key “hieght” is unknown. Did you mean"),
        (BLOCK.replace("eps 20", "xps 30") + BLANK, "No block is of eps 20"),
        (BLOCK + BLANK + BLANK, "is another blank too"),
        (BLOCK.replace("price = 160", "price = 0") + BLANK, "costs nothing"),
        (BLOCK + BLANK.replace("eps 20", "pu 35"), "polyurethane is never cut by hot wire".capitalize()),
        (BLOCK.replace("eps 20", "pu 35") + BLANK.replace("eps 20", "pu 35"), "isocyanates"),
        (BLOCK + '[[blank]]\nid = "M-6-2"\ncount = 1\nstock = "harbour.stock.toml"', "domed"),
        (BLOCK + '[[blank]]\nid = "Q-6-1-3"\ncount = 1\nstock = "harbour.stock.toml"', "Did you mean “Q-6-1"),
        (BLOCK + '[[blank]]\nid = "x"\ncount = 1\nstock = "none.stock.toml"', "does not exist"),
        (BLOCK + '[[blank]]\nid = "x"\ncount = 1\nlength = 70', "“width” is missing"),
        (BLOCK + BLANK.replace("thickness = 3", 'thickness = { centre = 3 }'), "thickness"),
        (BLOCK + BLANK + 'board = "groyne.board.toml"', "stands beside “board”"),
    ],
)  # fmt: skip
def test_what_cannot_stand_is_told_with_its_place_and_the_remedy(text, words):
    told = problems(text)
    assert any(words in line and "o.order.toml, line" in line for line in told), told


def test_every_problem_is_told_at_once():
    text = (
        "kerf = -1" + BLOCK.replace("price = 160", "price = -3") + BLANK.replace("count = 4", "count = 1.5")
    )
    assert len(problems(text + 'colour = "red"\n')) == 4


def test_polyurethane_may_be_sawn_with_its_caution():
    text = 'cut = "saw"' + BLOCK.replace("eps 20", "pu 35") + BLANK.replace("eps 20", "pu 35")
    assert "polyurethane" in {caution.code for caution in nested(order(text)).cautions}


def test_blocks_that_do_not_suffice_are_told_with_how_many_would():
    text = BLOCK + "on_hand = 1\n" + BLANK.replace("count = 4", "count = 40")
    with pytest.raises(
        NoAnswerError, match=r"the blocks on hand \(1 of full\) do not suffice. \d+ of full would do"
    ):
        nested(order(text))


def test_the_command_writes_everything_or_nothing(tmp_path, capsys):
    out = tmp_path / "out"
    bad = tmp_path / "bad.order.toml"
    bad.write_text('units = "in"\nkerf = -1' + BLOCK + BLANK)
    assert main(["nest", str(bad), "--out", str(out)]) == 2
    assert not out.exists()
    assert "line 2, kerf" in capsys.readouterr().err
    few = tmp_path / "few.order.toml"
    few.write_text('units = "in"' + BLOCK + "on_hand = 1\n" + BLANK.replace("count = 4", "count = 40"))
    assert main(["nest", str(few), "--out", str(out)]) == 1
    assert not out.exists()
    capsys.readouterr()
    good = tmp_path / "good.order.toml"
    good.write_text('units = "in"' + BLOCK + BLANK)
    assert main(["nest", str(good), "--out", str(out), "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["blocks"] == 1
    assert (out / "nest.pdf").exists()


def test_a_machine_that_is_too_short_is_told(tmp_path):
    machine = tmp_path / "m.machine.toml"
    machine.write_text('along = "2 m"\nunits = "mm"\n')
    with pytest.raises(InputError, match="has 2000 mm along the block"):
        nest_job(ORDER, machine)


def test_the_order_sheet_of_the_page_can_be_read_and_nested():
    page = (Path(__file__).parents[3] / "docs" / "nest.md").read_text(encoding="utf-8")
    text = page.split("```toml\n")[1].split("```")[0]
    assert len(nested(order_from_text(text, "page.order.toml", DEMO)).order.blocks) == 1


def test_every_key_of_the_json_is_on_the_page(job):
    page = (Path(__file__).parents[3] / "docs" / "nest.md").read_text(encoding="utf-8")
    document = job.as_json()
    strip = document["layout"][0]["strips"][0]
    keys = [*document, *strip, *strip["stack"][0]]
    assert [key for key in keys if key not in page] == []
