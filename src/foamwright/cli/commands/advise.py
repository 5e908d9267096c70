"""``foamwright advise``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("job", type=Path, metavar="JOB", help="folder of a planned job")
    parser.add_argument(
        "--bay", type=Path, metavar="BAY", help="bay sheet (default: the job's, or a usual bay)"
    )
    parser.add_argument("--plot", type=Path, metavar="FILE", help="write a picture (SVG) of what is left")


def run(args: argparse.Namespace) -> int:
    """Say what is left and what to do next; 1 if anything is too deep."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.advising import advise_job, plot_job
    from foamwright.jobs.bench_job import open_job

    job = open_job(args.job, args.bay, system_of(args))
    advice = advise_job(job)
    if args.plot is not None:
        plot_job(job, args.plot)
    if args.json:
        print_json(advice.as_json())
    else:
        from foamwright.cli.bench_lines import advice_lines

        print("\n".join(advice_lines(advice, job)))
    return 1 if advice.too_deep else 0
