"""``foamwright rescue``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("job", type=Path, metavar="JOB", help="folder of a planned job")
    parser.add_argument(
        "--board", type=Path, metavar="BOARD", help="board sheet (default: the job's board.toml)"
    )
    parser.add_argument(
        "--bay", type=Path, metavar="BAY", help="bay sheet (default: the job's, or a usual bay)"
    )
    parser.add_argument(
        "--rider",
        type=Path,
        metavar="RIDER",
        help="rider sheet, for what it costs in the water (default: the job's rider.toml)",
    )
    parser.add_argument(
        "--out",
        type=Path,
        metavar="DIR",
        help="folder for the new sheets, plan and papers (default: JOB/rescued)",
    )
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help="paper of the printed pages")


def run(args: argparse.Namespace) -> int:
    """Find the nearest board in the foam; 1 if there is none."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.rescuing import RescueSheets, open_rescue, rescue_job

    system = system_of(args)
    sheets = RescueSheets(args.board, args.rider)
    job = open_rescue(args.job, args.bay, sheets, system)
    rescued = rescue_job(job, args.job, sheets, args.out, args.paper)
    if args.json:
        print_json(rescued.as_json())
    else:
        from foamwright.cli.bench_lines import rescue_lines

        print("\n".join(rescue_lines(rescued, system)))
    return 0
