"""Write docs/commands.md from the commands' own ``--help``, so that it is never out of date.

Run it after changing an argument: ``.venv/bin/python scripts/make_command_docs.py``. A test compares.
"""

from __future__ import annotations

import os
from pathlib import Path

from foamwright.cli.main import COMMANDS, build_parser

TARGET = Path(__file__).resolve().parents[1] / "docs" / "commands.md"

HEAD = """# Commands

Written by `scripts/make_command_docs.py` from each command's `--help`.

Every command takes `--json` (one JSON document on standard output and nothing else there) and
`--units in|mm`. Exit codes: 0 done; 1 done, and the answer is no (no blank fits, a reading is out of
tolerance); 2 the input is wrong, every problem told at once, nothing written; 3 a fault of ours.
"""


def command_docs() -> str:
    """Return the page."""
    os.environ["COLUMNS"] = "100"
    commands = build_parser()._subparsers._group_actions[0].choices
    parts = [HEAD]
    for name in COMMANDS:
        parts.append(f"## foamwright {name}\n\n```\n{commands[name].format_help().rstrip()}\n```\n")
    return "\n".join(parts)


if __name__ == "__main__":
    TARGET.write_text(command_docs(), encoding="utf-8")
