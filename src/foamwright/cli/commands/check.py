"""``foamwright check``."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.check import Checked


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument(
        "boards", type=Path, nargs="+", metavar="BOARD", help="board sheets; - for standard input"
    )
    parser.add_argument(
        "--page", type=Path, metavar="FILE", help="write one board as a page (.html) that needs nothing else"
    )
    parser.add_argument("--open", action="store_true", help="write that page and open it in the browser")


def run(args: argparse.Namespace) -> int:
    """Show each finished board's numbers, its fairness and what to look at; 1 if a finding stops a board."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.errors import InputError, Problem, attempt
    from foamwright.jobs.check import check_job

    system = system_of(args)
    problems: list[Problem] = []
    done = [attempt(problems, partial(check_job, board, system)) for board in args.boards]
    checked = [one for one in done if one is not None]
    wanted = args.open or args.page is not None
    if wanted and len(args.boards) > 1:
        problems.append(Problem("--page and --open", "show one board.", "Name one board sheet."))
    if problems:
        raise InputError(problems)
    if wanted:
        _show_page(args, checked[0])
    if args.json:
        documents = [one.as_json() for one in checked]
        print_json(documents[0] if len(documents) == 1 else {"boards": documents})
    else:
        from foamwright.cli.tables import check_lines

        print("\n\n".join("\n".join(check_lines(one, system)) for one in checked))
    return int(any(one.answer_is_no for one in checked))


def _show_page(args: argparse.Namespace, checked: Checked) -> None:
    """Write the page where it was asked for, or among the files that the system throws away, and open it."""
    import sys
    import tempfile
    import webbrowser

    from foamwright.cli.show import system_of
    from foamwright.jobs.check import write_page

    path = args.page or Path(tempfile.mkdtemp(prefix="foamwright-")) / "board.html"
    write_page(checked, path, args.boards, system_of(args))
    # Beside the numbers, which standard output keeps for itself.
    print(path, file=sys.stderr)
    if args.open:
        webbrowser.open(path.resolve().as_uri())
