"""The page of commands says what the commands' own help says."""

from __future__ import annotations

import runpy
from pathlib import Path

ROOT = Path(__file__).resolve().parents[3]


def test_the_page_of_commands_is_the_help_itself() -> None:
    made = runpy.run_path(str(ROOT / "scripts" / "make_command_docs.py"))["command_docs"]()
    kept = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    assert kept == made, "run scripts/make_command_docs.py"
