import csv
import json
from contextlib import closing
from pathlib import Path

import numpy as np
import pytest

from foamwright.brief.brief import brief_for
from foamwright.cli.main import main
from foamwright.demo import demo_path
from foamwright.errors import InputError
from foamwright.jobs import stocking
from foamwright.jobs.stocking import StockingOrder, chosen_job, stocking_job, study_of
from foamwright.jobs.stocking_demand import Sources, demand_of
from foamwright.sheets.rider import read_rider
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, move_job, open_job
from foamwright.shop.kinds import Shelf
from foamwright.shop.opening import open_database
from foamwright.stocking.hands import Alone
from foamwright.stocking.terms import Terms

SMALL = ["stocking", "--boards", "36", "--candidates", "40", "--keep", "5", "--seed", "3", "--workers", "1"]


@pytest.fixture(scope="module")
def out(tmp_path_factory):
    folder = tmp_path_factory.mktemp("study")
    assert main([*SMALL, "--out", str(folder)]) == 0
    return folder


@pytest.fixture(scope="module")
def answer(out):
    return json.loads((out / "stocking.json").read_text())


def test_the_answer_has_its_keys(answer):
    assert {"keep", "cost", "bound", "gap"} <= answer.keys()
    assert len(answer["keep"]) == 5
    assert 0.0 < answer["bound"] <= answer["cost"]
    assert answer["gap"] == pytest.approx((answer["cost"] - answer["bound"]) / answer["cost"], abs=1e-12)


def test_cost_and_dropping_are_proved_again_from_the_costs(out, answer):
    costs = np.load(out / "costs.npy")
    blank, order = costs[:, :-1], costs[:, -1]
    kept = [one["candidate"] for one in answer["keep"]]

    def total(places):
        return np.nanmin(np.column_stack([blank[:, places], order]), axis=1).sum()

    assert total(kept) == pytest.approx(answer["cost"], rel=1e-12)
    assert order.sum() == pytest.approx(answer["all_to_order_cost"], rel=1e-12)
    for one in answer["keep"]:
        without = [place for place in kept if place != one["candidate"]]
        assert total(without) - total(kept) == pytest.approx(one["dropping_costs"], abs=1e-6)


def test_service_is_counted_again_from_the_tables(out, answer):
    rows = list(csv.DictReader((out / "boards.csv").read_text().splitlines()))
    made = np.mean([row["made_from"] != "made to order" for row in rows])
    assert made == pytest.approx(answer["service"]["from_kept"])
    assert sum(answer["service"].values()) == pytest.approx(1.0)
    assert sum(float(row["cost"]) for row in rows) == pytest.approx(answer["cost"], rel=1e-9)
    assert sum(one["boards"] for one in answer["keep"]) == pytest.approx(made * len(rows))


def test_the_curve_holds_the_choice_and_falls(answer):
    costs = [one["cost"] for one in answer["curve"]]
    assert costs == sorted(costs, reverse=True)
    assert answer["curve"][4]["cost"] == answer["cost"]
    assert all(one["bound"] <= one["cost"] for one in answer["curve"])


def test_boards_can_be_picked_from_the_kept_blanks(out, capsys):
    code = main(
        ["pick", str(demo_path("groyne.board.toml")), "--stock", str(out / "kept.stock.toml"), "--json"]
    )
    choices = json.loads(capsys.readouterr().out)["choices"]
    assert code in (0, 1)
    assert len(choices) == 5


def test_the_report_says_it_all(out, answer):
    page = (out / "stocking.html").read_text()
    for one in answer["keep"]:
        assert one["blank"] in page
    assert "<svg" in page
    assert "no source" in page
    assert "http://" not in page.replace("http://www.w3.org/", "")
    assert (out / "stocking.pdf").read_bytes().startswith(b"%PDF-")


def test_ids_of_the_page_are_each_used_once(out):
    import re

    found = re.findall(r'id="([^"]+)"', (out / "stocking.html").read_text())
    assert len(found) == len(set(found))


def test_the_same_command_gives_the_same_bytes(out, tmp_path, capsys):
    assert main([*SMALL, "--out", str(tmp_path), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == json.loads((out / "stocking.json").read_text())
    for path in out.glob("*.*"):
        if path.is_file():
            assert (tmp_path / path.name).read_bytes() == path.read_bytes(), path.name


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["--boards", "0"], "--boards: 0 is out of range"),
        (["--candidates", "-3"], "--candidates: -3 is out of range"),
        (["--keep", "0"], "--keep: 0 is too few"),
        (["--keep", "41", "--candidates", "40"], "41 cannot be kept of 40 candidates"),
        (["--keep", "some"], "--keep: “some” is no number"),
        (["--seed", "-1"], "--seed: -1 is negative"),
        (["--workers", "0"], "--workers: 0 is too few"),
        (["--holding", "-5"], "--holding: “-5” is no cost"),
        (["--holding", "nan"], "--holding: “nan” is no cost"),
        (["--scheduler", "tcp://127.0.0.1:9"], "no Dask scheduler answers there"),
    ],
)
def test_bad_input_is_said_and_nothing_written(words, said, tmp_path, capsys):
    if "--scheduler" in words:
        pytest.importorskip("distributed")
    out = tmp_path / "out"
    assert main(["stocking", *words, "--out", str(out)]) == 2
    heard = capsys.readouterr()
    assert said in heard.err
    assert heard.out == ""
    assert not out.exists()


def test_the_present_stock_is_among_the_candidates(tmp_path):
    stock = demo_path("harbour.stock.toml")
    study = study_of(StockingOrder(3, 2, 1, stock=stock))
    assert len(study.blanks) > 2
    assert study.blanks[-1].id.startswith("block")


def test_past_jobs_are_expected_again(tmp_path):
    sheets = (demo_path("groyne.board.toml"), demo_path("breakwater.board.toml"))
    order = StockingOrder(0, 12, 2, sources=Sources(sheets=sheets))
    job = stocking_job(order, tmp_path, Alone(), lambda line: None)
    assert [one.kind for one in job.study.demand] == ["groyne", "breakwater"]
    assert not any("ANSUR" in words for words in job.said())


def test_riders_get_the_board_of_their_brief():
    rider = demo_path("demo.rider.toml")
    (one,) = demand_of(Sources(riders=(rider,)), 0, 0)
    assert one.board == brief_for(read_rider(rider)).board.numbers


def test_every_wrong_sheet_is_told_at_once(tmp_path):
    paths = [tmp_path / name for name in ("one.toml", "two.toml")]
    for path in paths:
        path.write_text("nonsense = 1")
    with pytest.raises(InputError) as told:
        demand_of(Sources(sheets=tuple(paths)), 0, 0)
    assert {path.name for path in paths} <= {Path(p.where.split(",")[0]).name for p in told.value.problems}


def test_boards_of_a_shop_s_jobs_are_expected_again(tmp_path):
    url = f"sqlite:///{tmp_path / 'shop.db'}"
    sheet = demo_path("groyne.board.toml").read_text()
    with closing(open_database(url)) as database:
        with database.writing(Actor("tester")) as work:
            board = add_board(work, sheet)
            kept = [open_job(work, JobWish(f"job {n}", board_id=board.id)) for n in range(3)]
            open_job(work, JobWish("no board yet"))
        with database.writing(Actor("tester")) as work:
            move_job(work, kept[0].id, Shelf.ARCHIVE)
    found = demand_of(Sources(shop=url), 0, 0)
    assert [one.board.name for one in found] == ["Groyne"] * 3


def test_a_shop_that_is_not_there_is_said(tmp_path):
    with pytest.raises(InputError, match=r"nowhere\.db"):
        demand_of(Sources(shop=f"sqlite:///{tmp_path / 'nowhere.db'}"), 0, 0)
    assert not (tmp_path / "nowhere.db").exists()


def test_nothing_that_fits_is_the_answer_no(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(stocking, "generated", lambda count, make: _thin(count))
    code = main(["stocking", "--boards", "3", "--candidates", "4", "--keep", "1", "--workers", "1",
                 "--out", str(tmp_path)])  # fmt: skip
    assert code == 1
    assert "None of the expected boards lies in any of the candidates" in capsys.readouterr().err


def _thin(count):
    from foamwright.stocking.candidates import Form, Make, blank_numbers

    return tuple(blank_numbers(Form(100.0 + n, 1.0, 25.0, 4.0, 2.0), Make.BLOCK) for n in range(count))


def test_a_higher_holding_keeps_fewer(tmp_path):
    counts = []
    for holding in (1.0, 400.0):
        order = StockingOrder(30, 30, None, terms=Terms(holding=holding))
        study = study_of(order)
        from foamwright.stocking.chunks import Store
        from foamwright.stocking.running import run_study

        lays = run_study(study, Store.within(tmp_path, study.key), Alone(), lambda line: None)
        counts.append(len(chosen_job(order, study, lays, lambda line: None).chosen.kept))
    assert counts[0] > counts[1] >= 1


def test_a_stopped_command_says_that_it_goes_on(tmp_path, capsys, monkeypatch):
    def stopped(*args, **kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr("foamwright.jobs.stocking.run_study", stopped)
    assert main([*SMALL, "--out", str(tmp_path)]) == 130
    assert "the same command goes on from there" in capsys.readouterr().err
