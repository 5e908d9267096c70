"""The wire job: refusals, files, comparison with stock blanks, the command's own words."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from foamwright.blank.sheet import stock_from_text
from foamwright.cli.commands import wire as command
from foamwright.errors import InputError
from foamwright.jobs.wire import WireOrder, read_wire_sheets, wire_of
from foamwright.making.rs274 import run_program
from foamwright.making.wire_cut import Wanted

DEMO = Path(__file__).parents[3] / "src" / "foamwright" / "demo"
BOARD, STOCK = DEMO / "groyne.board.toml", DEMO / "harbour.stock.toml"


def wired(order, **sheets):
    return wire_of(read_wire_sheets(BOARD, **sheets), order)


@pytest.fixture(scope="module")
def job():
    return wired(WireOrder(), stock=STOCK)


def test_the_files_are_programs_pictures_and_sheets(job):
    files = job.files()
    assert sorted(files) == [
        *("close-cut.stock.toml", "outline-ends.svg", "outline.ngc", "outline.svg"),
        *("profile-ends.svg", "profile.ngc", "profile.svg", "wire.json"),
    ]
    assert len(run_program(files["profile.ngc"].decode("ascii"), "XY").moves) > 100
    (blank,) = stock_from_text(files["close-cut.stock.toml"].decode(), "close-cut.stock.toml")
    assert blank.lead_time_days == 4.0
    assert blank.price == job.cut.numbers.price > 0.0


def test_the_same_order_gives_the_same_bytes(job):
    assert wired(WireOrder(), stock=STOCK).files() == job.files()


def test_the_json_has_paths_kerf_and_cautions(job):
    document = json.loads(job.files()["wire.json"])
    assert document["kerf_m"] == pytest.approx(0.0016)
    assert [path["name"] for path in document["paths"]] == ["profile", "outline"]
    assert max(path["gouge_m"] for path in document["paths"]) < 1e-4
    assert {"hot-wire", "fume", "no-polyurethane", "current"} <= {c["code"] for c in document["cautions"]}


def test_it_is_compared_with_stock_blanks_by_work_price_and_lead_time(job):
    compared = {one["blank"]: one for one in job.as_json()["compared"]}
    own = compared["close-cut Groyne"]
    assert own["fits"]
    assert own["work_min"] < min(
        one["work_min"] for name, one in compared.items() if one["fits"] and name != "close-cut Groyne"
    )
    assert own["lead_time_days"] == 4.0


@pytest.mark.parametrize(
    ("order", "words"),
    [
        (WireOrder(foam="pu 35 kg/m3"), "never cut by hot wire"),
        (WireOrder(foam="xps 30 kg/m3"), "no block is of xps"),
        (WireOrder(foam="balsa"), "not a foam"),
        (WireOrder(wanted=Wanted(block="none such")), "not in the machine sheet"),
    ],
)
def test_orders_that_cannot_be_cut(order, words):
    with pytest.raises(InputError, match=words):
        wired(order)


def test_a_block_of_polyurethane_is_refused_too(tmp_path):
    sheet = tmp_path / "wire.machine.toml"
    sides = "length = 250\nwidth = 100\nheight = 60"
    sheet.write_text(f'units = "cm"\n[[block]]\nname = "pu"\n{sides}\nfoam = "pu 35 kg/m3"\nprice = 1\n')
    with pytest.raises(InputError, match="block pu: polyurethane is never cut"):
        wired(WireOrder(), machine=sheet)


def test_the_command_writes_nothing_when_it_refuses(tmp_path):
    args = arguments(BOARD, "--out", str(tmp_path / "out"), "--foam", "pu 35 kg/m3")
    with pytest.raises(InputError, match="isocyanates"):
        command.run(args)
    assert not (tmp_path / "out").exists()


def test_the_command_says_the_cautions_on_the_screen(tmp_path, capsys):
    assert command.run(arguments(BOARD, "--out", str(tmp_path / "out"), "--stringer", "none")) == 0
    said = capsys.readouterr().out
    assert "polyurethane" in said
    assert "profile.ngc" in said


def arguments(board, *words):
    import argparse

    parser = argparse.ArgumentParser()
    command.add_arguments(parser)
    args = parser.parse_args([str(board), *words])
    args.json, args.units = False, "mm"
    return args


def test_no_stringer_means_one_piece(job):
    whole = wired(replace(WireOrder(), stringer=replace(job.cut.stringer, wood="none", width=0.0)))
    assert whole.cuts[0].part.depth == pytest.approx(whole.cut.width)
    assert whole.cost.stringer == 0.0
