"""Ctrl-C at any moment: words and the code of a stop, or the answer; never a traceback, never half a file."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from foamwright.cli import main as command_line
from foamwright.cli import stopping
from foamwright.demo import demo_path
from foamwright.errors import InputError, Problem

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals are sent as POSIX has them")
WORDS = "Stopped. Nothing was left half written.\n"


def heeding() -> None:
    """Let a child heed Ctrl-C, also where these tests run in the background and are told to ignore it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def stopped_after(seconds: float, folder: Path) -> tuple[int, str]:
    board = str(demo_path("groyne.board.toml"))
    words = [sys.executable, "-m", "foamwright", "finish", board, "--out", str(folder)]
    process = subprocess.Popen(
        words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, preexec_fn=heeding
    )
    time.sleep(seconds)
    process.send_signal(signal.SIGINT)
    return process.wait(60), process.communicate()[1]


@pytest.mark.parametrize("seconds", [0.25, 0.4, 0.55, 0.8, 1.2])
def test_a_stop_has_words_and_leaves_nothing_half_written(seconds: float, tmp_path: Path) -> None:
    code, said = stopped_after(seconds, tmp_path / "out")
    assert (code, said) in [(130, WORDS), (0, "")], f"after {seconds} s"
    if code == 130:
        assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "error", [InputError(Problem("kernel", "is missing.", "")), ImportError("half loaded")]
)
def test_a_librarys_answer_to_a_stop_is_not_told_as_an_error(error, monkeypatch, capsys) -> None:
    def loaded(_words: list[str]) -> int:
        raise error

    monkeypatch.setattr(command_line, "_done", loaded)
    monkeypatch.setitem(stopping._state, "asked", True)
    assert command_line.main(["check"]) == 130
    assert capsys.readouterr().err == WORDS


def test_an_error_without_a_stop_is_told(monkeypatch, capsys) -> None:
    def wrong(_words: list[str]) -> int:
        raise InputError(Problem("kernel", "is missing.", ""))

    monkeypatch.setattr(command_line, "_done", wrong)
    assert command_line.main(["check"]) == 2
    assert capsys.readouterr().err == "kernel: is missing.\n"


LOST = """
import sys, time, weakref, _signal
from foamwright.cli import stopping
stopping.at_once()
stopping.by_exception()
class Thing: pass
thing = Thing()
kept = weakref.ref(thing, lambda _: _signal.raise_signal(_signal.SIGINT))
try:
    del thing
    time.sleep(10)
except KeyboardInterrupt:
    sys.exit(stopping.told())
"""


def test_a_stop_that_gets_lost_in_a_callback_is_asked_again() -> None:
    done = subprocess.run(
        [sys.executable, "-c", LOST],
        capture_output=True, text=True, timeout=9, check=False, preexec_fn=heeding,
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (130, WORDS)


def test_a_stop_while_modules_load_ends_at_once() -> None:
    code = "import _signal; from foamwright.cli import stopping; stopping.at_once(); "
    done = subprocess.run(
        [sys.executable, "-c", code + "_signal.raise_signal(_signal.SIGINT); print('never')"],
        capture_output=True, text=True, check=False, preexec_fn=heeding,
    )  # fmt: skip
    assert (done.returncode, done.stdout, done.stderr) == (130, "", WORDS)
