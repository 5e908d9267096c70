"""The README's session is true: its commands run, and print what the README shows."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from foamwright.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def session() -> list[tuple[str, str]]:
    """Return the commands of the README's session, each with the output shown under it."""
    part = README.split("<!-- session", 1)[1].split("<!-- end of session -->", 1)[0]
    blocks = re.findall(r"```\n\$ (.*?)\n(.*?)```", part, flags=re.DOTALL)
    return [(command, shown.strip("\n")) for command, shown in blocks]


@pytest.mark.parametrize(("command", "shown"), session())
def test_the_session_prints_what_the_readme_shows(
    command: str,
    shown: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    shutil.copytree(ROOT / "examples", tmp_path / "examples")
    monkeypatch.chdir(tmp_path)
    words = shlex.split(command)
    assert words[0] == "foamwright"
    assert main(words[1:]) == 0
    assert capsys.readouterr().out.strip("\n") == shown


def test_every_file_the_readme_names_is_there() -> None:
    for target in re.findall(r"\]\((?!http)([^)#]+)\)", README):
        assert (ROOT / target).exists(), target
