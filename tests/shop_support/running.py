"""The app as a program of its own, started and stopped by a test."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

LAUNCH = Path(__file__).parent / "launch.py"


class Running:
    """`foamwright serve`, running; leaving the block stops it."""

    def __init__(self, folder: Path, *words: str) -> None:
        env = {**os.environ, "FOAMWRIGHT_DATA": str(folder)}
        command = [sys.executable, str(LAUNCH), "serve", "--no-browser", "--json", *words]
        self.program = subprocess.Popen(
            command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=env
        )
        self.where = self._addresses()

    def _addresses(self) -> dict[str, str]:
        text = ""
        while line := self.program.stdout.readline():
            text += line
            if line.rstrip() == "}":
                return json.loads(text)
        raise AssertionError(self.program.communicate()[1])

    @property
    def host(self) -> str:
        return self.where["host"]

    @property
    def port(self) -> int:
        return int(self.host.rpartition(":")[2])

    def descriptors(self) -> int:
        """Return how many descriptors it has open (Linux)."""
        return len(list(Path(f"/proc/{self.program.pid}/fd").iterdir()))

    def stop(self, sign: signal.Signals = signal.SIGTERM) -> tuple[int, str]:
        """Return how it ended, and what it said then."""
        if self.program.poll() is None:
            self.program.send_signal(sign)
        said = self.program.communicate(timeout=20)[1]
        return self.program.returncode, said

    def __enter__(self) -> Running:
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()
