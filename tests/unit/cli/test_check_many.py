"""``check`` of several boards, and of one that is piped in."""

import io
import json
import sys
from pathlib import Path

from foamwright.cli.main import main
from foamwright.demo import demo_path

GROYNE, BREAKWATER = (str(demo_path(f"{name}.board.toml")) for name in ("groyne", "breakwater"))


def piped(monkeypatch, text: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(text.encode())))


def test_several_boards_are_shown_one_after_the_other(capsys):
    assert main(["check", GROYNE, BREAKWATER]) == 0
    assert [line for line in capsys.readouterr().out.splitlines() if line[:1].isupper()][::2] == [
        "Groyne",
        "Breakwater",
    ]


def test_several_boards_are_one_document(capsys):
    assert main(["check", GROYNE, BREAKWATER, "--json"]) == 0
    assert [board["name"] for board in json.loads(capsys.readouterr().out)["boards"]] == [
        "Groyne",
        "Breakwater",
    ]


def test_problems_of_all_boards_come_at_once(tmp_path: Path, capsys):
    for name in ("a", "b"):
        (tmp_path / f"{name}.toml").write_text('name = "x"\n')
    assert main(["check", str(tmp_path / "a.toml"), GROYNE, str(tmp_path / "b.toml")]) == 2
    told = capsys.readouterr()
    assert "a.toml" in told.err
    assert "b.toml" in told.err
    assert told.out == ""


def test_a_board_is_read_from_standard_input(monkeypatch, capsys):
    piped(monkeypatch, Path(GROYNE).read_text("utf-8"))
    assert main(["check", "-"]) == 0
    assert capsys.readouterr().out.startswith("Groyne")


def test_a_wrong_sheet_from_standard_input_is_named_so(monkeypatch, capsys):
    piped(monkeypatch, "nothing = 1\n")
    assert main(["check", "-"]) == 2
    assert capsys.readouterr().err.startswith("standard input, line 1")


def test_a_job_wants_a_file(monkeypatch, tmp_path: Path, capsys):
    piped(monkeypatch, Path(GROYNE).read_text("utf-8"))
    stock = str(demo_path("harbour.stock.toml"))
    assert main(["plan", "-", "--stock", stock, "--out", str(tmp_path / "job")]) == 2
    assert "keeps a copy of its board sheet" in capsys.readouterr().err
    assert not (tmp_path / "job").exists()
