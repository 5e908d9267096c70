"""The command line: exit codes, one JSON document and nothing else, words instead of tracebacks."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from foamwright.cli.main import main
from foamwright.demo import demo_path

BOARD = str(demo_path("groyne.board.toml"))
STOCK = str(demo_path("harbour.stock.toml"))


def test_help_answers_without_loading_anything_heavy() -> None:
    code = (
        "import sys\n"
        "from foamwright.cli.main import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "heavy = {'numpy', 'scipy', 'numba', 'pydantic', 'reportlab', 'ezdxf', 'sqlalchemy', 'fastapi'}\n"
        "sys.exit(len(heavy & set(sys.modules)))\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    assert "plan" in done.stdout


def test_check_gives_the_keys_that_others_depend_on(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", BOARD, "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["length_m"] == pytest.approx(1.9304)
    assert {"volume_l", "area_m2", "width_m", "thickness_m", "warnings", "profile"} <= set(found)
    assert set(found["profile"]) >= {"x_m", "rocker_m", "thickness_m", "half_width_m", "pre_contour_bottom_m"}


def test_pick_gives_every_blank_best_first_and_its_work_is_the_integral(
    capsys: pytest.CaptureFixture[str],
) -> None:
    import numpy as np

    assert main(["pick", BOARD, "--stock", STOCK, "--json"]) == 0
    choices = json.loads(capsys.readouterr().out)["choices"]
    assert len(choices) == 47
    fitting = [c for c in choices if c["fits"] and c["on_hand"] > 0]
    costs = [c["price"] + c["work_min"] / 60.0 * 40.0 for c in fitting]
    assert costs == sorted(costs)
    assert all(c["why"] for c in choices if not c["fits"])
    for choice in fitting[:5]:
        x = np.array(choice["rates"]["x_m"])
        rate = np.array(choice["rates"]["bottom"]) * np.array(choice["bottom_off"]["depth_m"])
        rate += np.array(choice["rates"]["deck"]) * np.array(choice["deck_off"]["depth_m"])
        apart = sum(choice["apart_min"].values())
        assert float(np.trapezoid(rate, x)) + apart == pytest.approx(choice["work_min"], rel=1e-12)


@pytest.mark.parametrize(("by", "key"), [("minutes", "work_min"), ("foam", "foam_off_l"), ("cost", "cost")])
def test_pick_ranks_by_what_is_wanted(capsys: pytest.CaptureFixture[str], by: str, key: str) -> None:
    assert main(["pick", BOARD, "--stock", STOCK, "--json", "--by", by]) == 0
    document = json.loads(capsys.readouterr().out)
    ranked = [c[key] for c in document["choices"] if c["fits"] and c["on_hand"] > 0]
    assert document["by"] == by
    assert ranked == sorted(ranked)
    assert len(set(ranked)) > 5


def test_plan_writes_its_papers_and_says_the_same_on_standard_output(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", BOARD, "--stock", STOCK, "--out", str(tmp_path / "job"), "--json"]) == 0
    shown = json.loads(capsys.readouterr().out)
    assert shown == json.loads((tmp_path / "job" / "plan.json").read_text())
    assert {"blank", "lay", "stages", "marks", "runs", "bands", "scoop", "allowances", "cautions"} <= set(
        shown
    )
    assert len(shown["runs"]) == 4


def test_a_named_blank_that_does_not_take_the_board_is_a_no_with_its_reason(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "job"
    assert main(["plan", BOARD, "--stock", STOCK, "--blank", "Q-6-8-2.25", "--out", str(out)]) == 1
    said = capsys.readouterr()
    assert "Too thin by" in said.err
    assert said.out == ""
    assert not out.exists()


def test_an_unknown_blank_is_wrong_input_and_the_stock_is_named(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["plan", BOARD, "--stock", STOCK, "--blank", "nope", "--out", str(tmp_path / "j")]) == 2
    assert "no blank of the stock is called" in capsys.readouterr().err


def test_every_problem_of_every_sheet_is_told_at_once(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    board = tmp_path / "wrong.board.toml"
    board.write_text('name = "W"\nunits = "in"\nlength = "40\'"\nlenght = 3\n')
    stock = tmp_path / "wrong.stock.toml"
    stock.write_text("units = 3\n")
    out = tmp_path / "job"
    assert main(["plan", str(board), "--stock", str(stock), "--out", str(out)]) == 2
    said = capsys.readouterr()
    assert "wrong.board.toml, line 3" in said.err
    assert "wrong.board.toml, line 4" in said.err
    assert "wrong.stock.toml, line 1" in said.err
    assert "Traceback" not in said.err
    assert not out.exists()


@pytest.mark.parametrize("text", ["", "name = ", "\x00\x01", "[[blank]]\n" * 3])
def test_wrong_files_give_words_and_exit_code_2(
    text: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(text)
    assert main(["check", str(wrong)]) == 2
    assert capsys.readouterr().err.strip()


def test_a_missing_file_is_said_to_be_missing(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", "no-such.board.toml"]) == 2
    assert "no-such.board.toml" in capsys.readouterr().err


def test_papers_are_not_written_over_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    taken = tmp_path / "taken"
    taken.write_text("mine")
    assert main(["plan", BOARD, "--stock", STOCK, "--out", str(taken)]) == 2
    assert taken.read_text() == "mine"
    assert "taken" in capsys.readouterr().err


def test_the_same_job_gives_the_same_bytes(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for name in ("a", "b"):
        assert main(["plan", BOARD, "--stock", STOCK, "--out", str(tmp_path / name)]) == 0
    first, second = ({p.name: p.read_bytes() for p in (tmp_path / n).rglob("*") if p.is_file()} for n in "ab")
    assert first == second


def test_an_answer_that_cannot_be_written_out_is_said_in_words() -> None:
    if not Path("/dev/full").is_char_device():
        pytest.skip("no /dev/full here")
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "foamwright", "check", str(demo_path("groyne.board.toml"))],
            stdout=full, stderr=subprocess.PIPE, text=True, check=False,
        )  # fmt: skip
    assert done.returncode == 3
    assert done.stderr.strip() == "The answer could not be written out: No space left on device."


def test_labour_and_stock_in_two_currencies_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bay = tmp_path / "dollars.toml"
    bay.write_text('[prices]\nlabour_hour = 10\ncurrency = "USD"\n', "utf-8")
    assert main(["pick", BOARD, "--stock", STOCK, "--bay", str(bay)]) == 2
    assert "Labour is priced in USD, the stock in EUR." in capsys.readouterr().err


def test_an_empty_name_is_no_folder(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["demo", "--out", ""])
    assert left.value.code == 2
    assert "an empty word stands where a name or a number belongs" in capsys.readouterr().err


def test_a_best_blank_that_is_not_on_hand_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    stock = tmp_path / "empty-rack.toml"
    lines = Path(STOCK).read_text("utf-8").splitlines()
    stock.write_text("\n".join("on_hand = 0" if w.startswith("on_hand") else w for w in lines), "utf-8")
    assert main(["pick", BOARD, "--stock", str(stock)]) == 0
    assert "none is on hand" in capsys.readouterr().out
