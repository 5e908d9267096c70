"""Fill the README's session with what the commands print now; a test holds it there."""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import shutil
import tempfile
from pathlib import Path

from foamwright.cli.main import main

ROOT = Path(__file__).resolve().parents[1]


def printed(command: str) -> str:
    """Return what a command prints, run beside a copy of the examples."""
    out = io.StringIO()
    with tempfile.TemporaryDirectory() as folder, contextlib.redirect_stdout(out):
        shutil.copytree(ROOT / "examples", Path(folder) / "examples")
        here = Path.cwd()
        os.chdir(folder)
        try:
            main(shlex.split(command)[1:])
        finally:
            os.chdir(here)
    return out.getvalue().strip("\n")


def filled(text: str) -> str:
    """Return the README with its session's outputs."""
    before, rest = text.split("<!-- session", 1)
    part, after = rest.split("<!-- end of session -->", 1)
    part = re.sub(
        r"```\n\$ (.*?)\n.*?```",
        lambda m: f"```\n$ {m.group(1)}\n{printed(m.group(1))}\n```",
        part,
        flags=re.DOTALL,
    )
    return f"{before}<!-- session{part}<!-- end of session -->{after}"


if __name__ == "__main__":
    readme = ROOT / "README.md"
    readme.write_text(filled(readme.read_text(encoding="utf-8")), encoding="utf-8")
