"""A fixed part of the fuzz (`make fuzz` runs 20,000): damaged files end in words, exit code 0, 1 or 2."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.fuzz_files import seeds

ROOT = Path(__file__).parents[3]

CASES = 114
"""Six of each of nineteen kinds: as many as 45 s of one processor take."""

SECONDS = 120
"""Of the processor: what hangs is found, and a slow or busy machine fails no test."""


def test_damaged_files_end_in_words() -> None:
    command = [sys.executable, str(ROOT / "scripts" / "fuzz.py"), str(CASES), "--seconds", str(SECONDS)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=900, check=False)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-2000:]
    assert f"{CASES} damaged files, 0 gone wrong" in done.stdout


def test_what_is_damaged_was_sound_before(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file that is refused undamaged would hide what its reader does with damage."""
    from foamwright.cli.main import main

    refused = []
    for name, content, command in seeds(tmp_path):
        file = tmp_path / name
        file.parent.mkdir(exist_ok=True)
        file.write_bytes(content)
        words = [{"FILE": str(file), "FOLDER": str(file.parent)}.get(word, word) for word in command]
        capsys.readouterr()
        if main(words) != 0:
            refused.append((name, capsys.readouterr().err[-300:]))
    assert refused == []
