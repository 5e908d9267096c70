"""``foamwright check``."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument(
        "boards", type=Path, nargs="+", metavar="BOARD", help="board sheets; - for standard input"
    )


def run(args: argparse.Namespace) -> int:
    """Show each finished board's numbers, its fairness and what to look at; 1 if a finding stops a board."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.errors import InputError, Problem, attempt
    from foamwright.jobs.check import check_job

    system = system_of(args)
    problems: list[Problem] = []
    done = [attempt(problems, partial(check_job, board, system)) for board in args.boards]
    checked = [one for one in done if one is not None]
    if problems:
        raise InputError(problems)
    if args.json:
        documents = [one.as_json() for one in checked]
        print_json(documents[0] if len(documents) == 1 else {"boards": documents})
    else:
        from foamwright.cli.tables import check_lines

        print("\n\n".join("\n".join(check_lines(one, system)) for one in checked))
    return int(any(one.answer_is_no for one in checked))
