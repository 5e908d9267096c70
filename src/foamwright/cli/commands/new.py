"""``foamwright new``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    from foamwright.cli.commands.brief import KINDS as KINDS_OF_BOARD
    from foamwright.starters import KINDS

    # Paddle boards are refused in a sentence by the brief.
    boards = [kind for kind in KINDS_OF_BOARD if kind != "paddle"]
    parser.add_argument("sheet", choices=KINDS, metavar="SHEET", help=f"the sheet: {', '.join(KINDS)}")
    parser.add_argument(
        "--like", choices=boards, metavar="KIND", help=f"the kind of board: {', '.join(boards)}"
    )
    parser.add_argument("--out", type=Path, metavar="FILE", help="write the sheet here, not to the screen")


def run(args: argparse.Namespace) -> int:
    """Write a commented sheet that works as it stands."""
    from foamwright.cli.show import print_json
    from foamwright.jobs.new_sheet import new_sheet, write_new_sheet

    text = new_sheet(args.sheet, args.like)
    if args.out is not None:
        write_new_sheet(args.out, text)
    if args.json:
        print_json({"sheet": args.sheet, "file": None if args.out is None else str(args.out), "text": text})
    elif args.out is None:
        print(text, end="")
    else:
        print(
            f"{args.out} is written: a sheet of the kind “{args.sheet}” that works as it stands. "
            "Put your numbers in."
        )
    return 0
