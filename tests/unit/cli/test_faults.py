"""A fault of ours is one sentence, a written report and exit code 3: never a traceback, never code 1."""

from __future__ import annotations

from pathlib import Path

import pytest

from foamwright.cli.commands import check
from foamwright.cli.main import main
from foamwright.errors import FaultError

FAULTS = (
    ZeroDivisionError("division by zero"),
    MemoryError(),
    OSError(5, "I/O", "/a/file"),
    FaultError("no"),
)


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: type(fault).__name__)
def test_what_nobody_foresaw_is_reported(
    fault: Exception, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_: object) -> int:
        raise fault

    monkeypatch.setattr(check, "run", broken)
    monkeypatch.setenv("FOAMWRIGHT_DATA", str(tmp_path))
    assert main(["check", "any.board.toml"]) == 3
    said = capsys.readouterr()
    (report,) = (tmp_path / "faults").iterdir()
    assert said.out == ""
    assert str(report) in said.err
    assert "Traceback" not in said.err
    text = report.read_text("utf-8")
    assert "Traceback" in text
    assert type(fault).__name__ in text
    assert report.stat().st_mode & 0o077 == 0


def test_a_report_that_no_folder_takes_is_still_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(_: object) -> int:
        raise ZeroDivisionError

    blocked = tmp_path / "file"
    blocked.touch()
    monkeypatch.setattr(check, "run", broken)
    for name in ("FOAMWRIGHT_DATA", "XDG_STATE_HOME", "TMPDIR", "HOME"):
        monkeypatch.setenv(name, str(blocked))
    monkeypatch.setattr("tempfile.tempdir", str(blocked))
    assert main(["check", "any.board.toml"]) == 3
    assert "no place was found" in capsys.readouterr().err
