"""``foamwright pick``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("board", type=Path, metavar="BOARD", help="board sheet")
    parser.add_argument("--stock", type=Path, required=True, metavar="STOCK", help="stock sheet")
    parser.add_argument("--bay", type=Path, metavar="BAY", help="bay sheet (default: a usual bay)")
    parser.add_argument(
        "--by",
        choices=("cost", "minutes", "foam"),
        help="rank by price and work together, work alone, or litres planed off "
        "(default: cost, or minutes where a price is not known)",
    )


def run(args: argparse.Namespace) -> int:
    """Show every blank, best first; 1 if the board lies in none."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.picking import pick_job, read_job
    from foamwright.lay.survey import Order

    order = None if args.by is None else Order(args.by)
    survey = pick_job(read_job(args.board, args.stock, args.bay), order)
    if args.json:
        from foamwright.lay.report import pick_json

        print_json(pick_json(survey, system_of(args)))
    else:
        from foamwright.cli.tables import pick_lines

        print("\n".join(pick_lines(survey, system_of(args))))
    return 0 if survey.best is not None else 1
