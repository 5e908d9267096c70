"""``foamwright check``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("board", type=Path, metavar="BOARD", help="board sheet")


def run(args: argparse.Namespace) -> int:
    """Show the finished board's numbers, its fairness and what to look at; 1 if a finding stops the work."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.check import check_job

    system = system_of(args)
    checked = check_job(args.board, system)
    if args.json:
        print_json(checked.as_json())
    else:
        from foamwright.cli.tables import check_lines

        print("\n".join(check_lines(checked, system)))
    return int(checked.answer_is_no)
