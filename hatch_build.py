"""Builds what a shell wants of the command: a man page, and completion for bash and zsh, into the wheel.

They are made from the command's own parser, which needs nothing but the standard library, so they cannot say
anything that ``--help`` does not. In the wheel they lie where systems look: ``share/man/man1``,
``share/bash-completion/completions``, ``share/zsh/site-functions``.
"""

import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class ShellFiles(BuildHookInterface):
    """Adds the files to every wheel."""

    PLUGIN_NAME = "custom"

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Write the files below ``build/`` and have them put into the wheel."""
        import shtab
        from argparse_manpage.manpage import Manpage

        sys.path.insert(0, str(Path(self.root) / "src"))
        from foamwright.cli.main import build_parser

        folder = Path(self.root) / "build" / "shell"
        folder.mkdir(parents=True, exist_ok=True)
        files = {
            "share/bash-completion/completions/foamwright": shtab.complete(build_parser(), "bash"),
            "share/zsh/site-functions/_foamwright": shtab.complete(build_parser(), "zsh"),
            "share/man/man1/foamwright.1": _manual(Manpage, build_parser()),
        }
        for place, text in files.items():
            written = folder / Path(place).name
            written.write_text(text, "utf-8")
            build_data["shared_data"][str(written)] = place


def _manual(manpage: Any, parser: Any) -> str:
    """Return the man page, without the day of the build: the same version gives the same bytes."""
    import foamwright

    data = {"project_name": "foamwright", "version": foamwright.__version__, "manual_title": "foamwright"}
    _, rest = str(manpage(parser, format="pretty", _data=data)).split("\n", 1)
    return f'.TH FOAMWRIGHT "1" "" "foamwright {foamwright.__version__}" "User commands"\n{rest}\n'
