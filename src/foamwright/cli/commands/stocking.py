"""``foamwright stocking``."""

from __future__ import annotations

import argparse
import os
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.stocking import StockingJob, StockingOrder
    from foamwright.units import System


SAMPLED = 200
"""Boards that are sampled if nothing else is said."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("--boards", type=int, metavar="N", help="expected boards to sample (default: 200)")
    parser.add_argument(
        "--from-sheets", type=Path, nargs="+", default=[], metavar="BOARD",
        help="board sheets of past jobs to expect again, instead of sampled boards",
    )  # fmt: skip
    parser.add_argument(
        "--from-riders", type=Path, nargs="+", default=[], metavar="RIDER",
        help="rider sheets, each with the usual board for medium waves, instead of sampled boards",
    )  # fmt: skip
    parser.add_argument(
        "--from-shop",
        metavar="URL",
        help="a shop's database: the boards of its jobs, instead of a sample",
    )
    parser.add_argument(
        "--candidates", type=int, default=100, metavar="M", help="candidate blanks to generate"
    )
    parser.add_argument("--make", choices=("block", "moulded"), default="block", help="how they are made")
    parser.add_argument(
        "--stock", type=Path, metavar="STOCK", help="stock sheet, its blanks are candidates too"
    )
    parser.add_argument("--bay", type=Path, metavar="BAY", help="bay sheet (default: a usual bay)")
    parser.add_argument(
        "--keep",
        default="8",
        metavar="K",
        help="how many kinds to keep, or best: as many as pay their holding",
    )
    parser.add_argument(
        "--holding", default=None, metavar="COST",
        help="what keeping one kind costs over all expected boards (default: 0; with --keep best, one blank)",
    )  # fmt: skip
    parser.add_argument("--seed", type=int, default=0, metavar="S", help="seed of the sampled boards")
    parser.add_argument("--scheduler", metavar="ADDRESS", help="Dask scheduler whose workers do the lays")
    parser.add_argument(
        "--workers", type=int, default=os.cpu_count() or 1, metavar="P", help="processes on this machine"
    )
    parser.add_argument(
        "--out", type=Path, required=True, metavar="DIR", help="folder for lays, costs and the report"
    )


def run(args: argparse.Namespace) -> int:
    """Choose which blanks to keep; what is done is kept, and the same command goes on from there."""
    from foamwright.cli.show import print_json, system_of, tell_of_letters
    from foamwright.jobs.job_sheets import write_results
    from foamwright.jobs.stocking import hands_for, stocking_job
    from foamwright.jobs.stocking_report import stocking_files, stocking_json

    order = _order(args)
    try:
        job = stocking_job(order, args.out, hands_for(args.scheduler, args.workers))
    except KeyboardInterrupt:
        from foamwright.stocking.progress import to_standard_error

        to_standard_error("What is done is kept; the same command goes on from there.")
        raise
    files = stocking_files(job, system_of(args))
    write_results(args.out, files, [*args.from_sheets, *args.from_riders, args.stock, args.bay])
    tell_of_letters(job.blank(role.place).id for role in job.roles)
    if args.json:
        print_json(stocking_json(job))
    else:
        print("\n".join([*_lines(job, system_of(args)), "", *(str(args.out / name) for name in files)]))
    return 0


def _order(args: argparse.Namespace) -> StockingOrder:
    from foamwright.jobs.stocking import StockingOrder
    from foamwright.jobs.stocking_asked import StockingAsked, asked_order
    from foamwright.jobs.stocking_demand import Sources
    from foamwright.stocking.candidates import Make

    sources = Sources(tuple(args.from_sheets), tuple(args.from_riders), args.from_shop)
    order = StockingOrder(
        SAMPLED if args.boards is None else args.boards,
        args.candidates,
        None,
        args.seed,
        sources,
        Make(args.make),
        args.stock,
        args.bay,
    )
    return asked_order(StockingAsked(args.keep, args.holding, args.workers, args.boards), order)


def _lines(job: StockingJob, system: System) -> list[str]:
    from foamwright.cli.tables import table
    from foamwright.jobs.stocking_report import HEADS, role_cells, summary

    return [*summary(job), "", *table(HEADS, [role_cells(job, role, system) for role in job.roles])]
