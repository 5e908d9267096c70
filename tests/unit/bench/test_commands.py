"""The commands: what they print, their keys, and their exit codes."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from foamwright.bench.lines import read_lines
from foamwright.cli.main import main
from tests.bench_jobs import job_folder

ONE = ("--stage", "rocker", "--station", "nose", "--what", "rocker", "--value")


@pytest.fixture
def folder(tmp_path: Path) -> str:
    return str(job_folder(tmp_path))


def told(capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    return json.loads(capsys.readouterr().out)  # type: ignore[no-any-return]


def test_one_reading(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", folder, *ONE, "4 1/8", "--json"]) == 0
    assert [one["value_m"] for one in told(capsys)["accepted"]] == [pytest.approx(0.104775)]  # type: ignore[attr-defined]
    assert main(["read", folder, *ONE, "41/8", "--json"]) == 1
    document = told(capsys)
    assert document["accepted"] == []
    assert len(document["questioned"]) == 1  # type: ignore[arg-type]


def test_millimetres(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["read", folder, *ONE, "105", "--json", "--units", "mm"]) == 0
    assert told(capsys)["accepted"][0]["value_m"] == pytest.approx(0.105)  # type: ignore[index]


def test_a_csv(folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheet = tmp_path / "readings.csv"
    sheet.write_text(
        "stage,station,what,value,note\nrocker,nose,rocker,4 1/8,cold\nrocker,12 from nose,rocker,1 5/8,\n"
    )
    assert main(["read", folder, "--csv", str(sheet), "--json"]) == 0
    assert [one["note"] for one in told(capsys)["accepted"]] == ["cold", ""]  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("", "no reading in it"),
        ("stage,station,value\nrocker,nose,4\n", "“what” is missing"),
        ("stage,station,what,value,colour\nrocker,nose,rocker,4,red\n", "“colour” is no column"),
        ("stage,station,what,value\nrocker,nose,rocker,x\nrocker,nose,rocker,4\n", "line 2, value"),
    ],
)
def test_a_csv_that_is_none(
    folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, wrong: str
) -> None:
    sheet = tmp_path / "readings.csv"
    sheet.write_text(text)
    assert main(["read", folder, "--csv", str(sheet)]) == 2
    assert wrong in capsys.readouterr().err
    assert not (tmp_path / "history.jsonl").exists()


def test_a_dialogue(
    folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    first = ["rocker", "nose", "rocker", "4 1/8", ""]
    wrong = ["", "12 from nose", "", "seven", ""]
    last = ["", "12 from nose", "rocker", "1 5/8", "", "", ""]
    answers: Iterator[str] = iter([*first, *wrong, *last])
    monkeypatch.setattr("sys.stdin.isatty", lambda: True)
    monkeypatch.setattr("builtins.input", lambda _: next(answers))
    assert main(["read", folder]) == 0
    said = capsys.readouterr().out
    assert "“seven” is not a length" in said
    assert [line["value_m"] for line in read_lines(tmp_path / "history.jsonl")] == [
        pytest.approx(0.104775),
        pytest.approx(0.041275),
    ]


def test_nothing_told_and_no_terminal(
    folder: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin.isatty", lambda: False)
    assert main(["read", folder]) == 2
    assert "nothing to record" in capsys.readouterr().err


def test_strokes_minutes_notes_and_undoing(folder: str, tmp_path: Path) -> None:
    strokes = ["--stage", "rocker", "--end", "nose", "--strokes", "3", "--from", "6", "--chip", "1/32"]
    assert main(["read", folder, *strokes]) == 0
    assert main(["read", folder, "--stage", "rocker", "--minutes", "12"]) == 0
    assert main(["read", folder, "--note", "cold day"]) == 0
    assert main(["read", folder, "--undo", "1"]) == 0
    assert main(["read", folder, "--undo", "9"]) == 2
    kinds = [line["kind"] for line in read_lines(tmp_path / "history.jsonl")]
    assert kinds == ["strokes", "time", "note", "undo"]


def test_advice_its_keys_and_its_picture(
    folder: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["read", folder, *ONE, "4 1/8"])
    capsys.readouterr()
    picture = tmp_path / "as-is.svg"
    assert main(["advise", folder, "--plot", str(tmp_path / "as-is.png")]) == 2
    assert "Name it as-is.svg" in capsys.readouterr().err
    assert not (tmp_path / "as-is.png").exists()
    assert main(["advise", folder, "--json", "--plot", str(picture)]) == 0
    document = told(capsys)
    assert {"next", "left", "too_deep", "finished"} <= set(document)
    assert set(document["left"][0]) == {"stage", "face", "station_m", "left_m", "doubt_m"}  # type: ignore[index]
    assert document["finished"] is False
    assert picture.read_text(encoding="utf-8").count("rocker, bottom, nose") >= 1
    assert main(["advise", folder]) == 0
    assert "give or take" in capsys.readouterr().out


def test_too_deep_is_exit_code_1(folder: str, capsys: pytest.CaptureFixture[str]) -> None:
    for station, value in (("nose", "4.9"), ("12 from nose", "1.99"), ("6 from nose", "3.4")):
        for _ in range(3):
            main(
                [
                    "read",
                    folder,
                    "--stage",
                    "rocker",
                    "--station",
                    station,
                    "--what",
                    "rocker",
                    "--value",
                    value,
                ]
            )
    assert main(["advise", folder]) == 1
    assert "Too deep at rocker, bottom, 6 in from nose" in capsys.readouterr().out


def test_a_folder_that_is_no_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["advise", str(tmp_path)]) == 2
    assert "this is no job" in capsys.readouterr().err
