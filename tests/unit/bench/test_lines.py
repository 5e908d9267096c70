"""Files of lines: what is written stays, what was cut short is found, two writers take turns."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from foamwright.bench.lines import add_line, append_all, read_lines
from foamwright.errors import InputError


def test_lines_come_back_in_order(tmp_path: Path) -> None:
    path = tmp_path / "history.jsonl"
    for k in range(5):
        add_line(path, {"n": k})
    assert read_lines(path) == [{"n": k} for k in range(5)]


def test_a_line_cut_short_is_left_out_and_kept_beside(tmp_path: Path) -> None:
    path = tmp_path / "history.jsonl"
    add_line(path, {"n": 1})
    with path.open("ab") as stream:
        stream.write(b'{"n": 2, "val')
    assert read_lines(path) == [{"n": 1}]
    add_line(path, {"n": 3})
    assert read_lines(path) == [{"n": 1}, {"n": 3}]
    assert path.with_name("history.jsonl.cut").read_bytes() == b'{"n": 2, "val\n'


def test_a_line_edited_by_hand_is_told_with_its_number(tmp_path: Path) -> None:
    path = tmp_path / "history.jsonl"
    path.write_text('{"n": 1}\nnonsense\n{"n": 3}\n')
    with pytest.raises(InputError, match=r"history\.jsonl, line 2.*damaged"):
        read_lines(path)


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    path = tmp_path / "history.jsonl"
    path.mkdir()
    with pytest.raises(InputError, match="Cannot write"):
        append_all(path, [{"n": 1}])


WRITER = """
import sys
from pathlib import Path
from foamwright.bench.lines import add_line
path, name = Path(sys.argv[1]), sys.argv[2]
for k in range(int(sys.argv[3])):
    add_line(path, {"by": name, "k": k, "fill": "x" * 200})
    print(k, flush=True)
"""


def _writer(path: Path, name: str, count: int) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), name, str(count)],
        stdout=subprocess.PIPE,
        env={**os.environ, "FOAMWRIGHT_INTERPRETED": "1"},
    )


def test_two_writers_take_turns_and_lose_nothing(tmp_path: Path) -> None:
    path = tmp_path / "history.jsonl"
    writers = [_writer(path, name, 40) for name in ("a", "b")]
    assert [w.wait(60) for w in writers] == [0, 0]
    for writer in writers:
        assert writer.stdout is not None
        writer.stdout.close()
    lines = read_lines(path)
    for name in ("a", "b"):
        assert [line["k"] for line in lines if line["by"] == name] == list(range(40))


FORKED = 200


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork to kill many writers quickly")
def test_killed_at_random_points_nothing_told_is_lost(tmp_path: Path) -> None:
    """Kill a writer 200 times; every line whose writing returned must be there, whole and in order."""
    path = tmp_path / "history.jsonl"
    told = tmp_path / "told"
    random = np.random.default_rng(3)
    confirmed = 0
    for _ in range(FORKED):
        child = os.fork()
        if child == 0:
            _write_until_killed(path, told)
        time.sleep(float(random.uniform(0.0005, 0.012)))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        numbers = [int(line["n"]) for line in read_lines(path)] if path.exists() else []  # type: ignore[call-overload]
        assert numbers == list(range(len(numbers)))
        confirmed = int(told.read_bytes() or b"0") if told.exists() else 0
        assert len(numbers) >= confirmed
    assert confirmed > FORKED / 2


def _write_until_killed(path: Path, told: Path) -> None:
    """Append numbers until killed; note after each how many are safe (in one write of fixed size)."""
    try:
        handle = os.open(told, os.O_RDWR | os.O_CREAT)
        while True:
            number = len(read_lines(path)) if path.exists() else 0
            add_line(path, {"n": number, "fill": "y" * 300})
            os.pwrite(handle, b"%012d" % (number + 1), 0)
    finally:
        os._exit(0)


def test_a_line_is_one_json_document(tmp_path: Path) -> None:
    path = tmp_path / "history.jsonl"
    add_line(path, {"station": "12″ from tail", "value_m": 0.1})
    assert json.loads(path.read_text(encoding="utf-8")) == {"station": "12″ from tail", "value_m": 0.1}
