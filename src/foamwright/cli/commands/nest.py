"""``foamwright nest``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.nest import NestJob


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("order", type=Path, metavar="ORDER", help="order sheet: blanks, counts, blocks")
    parser.add_argument(
        "--machine", type=Path, metavar="MACHINE",
        help="machine sheet: kerf, margin, limits, and its blocks if the order has none",
    )  # fmt: skip
    parser.add_argument(
        "--least",
        choices=("cost", "blocks"),
        help="what to have least of (default: as the order says)",
    )
    parser.add_argument("--out", type=Path, metavar="DIR", help="folder for layout, list and JSON")


def run(args: argparse.Namespace) -> int:
    """Nest an order of blanks in blocks of foam: the layout, the order of the cuts, the proof."""
    from foamwright.cli.show import print_json, system_of, tell_of_letters
    from foamwright.jobs.nest import nest_job
    from foamwright.making.nest.order import Least

    job = nest_job(args.order, args.machine, None if args.least is None else Least(args.least))
    files: dict[str, bytes] = {}
    if args.out:
        from foamwright.jobs.job_sheets import write_results

        files = job.files(system_of(args))
        write_results(args.out, files, [args.order, args.machine])
        tell_of_letters([job.order.name, *(piece.blank for piece in job.order.pieces)])
    if args.json:
        print_json(job.as_json())
    else:
        print("\n".join([*_lines(job), *(str(args.out / name) for name in files)]))
    return 0


def _lines(job: NestJob) -> list[str]:
    from foamwright.cli.tables import table
    from foamwright.papers.nest_words import answer_lines, way_rows

    heads = ("way", "blocks", "kind", "strips", "blanks in it", "yield")
    return [
        *answer_lines(job.layout),
        "",
        *table(heads, way_rows(job.layout)),
        "",
        *(caution.sentence for caution in job.cautions),
        "",
    ]
