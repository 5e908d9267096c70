"""``foamwright learn``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("jobs", type=Path, nargs="+", metavar="JOB", help="folders of measured or timed jobs")
    parser.add_argument(
        "--bay", type=Path, metavar="BAY", help="bay sheet to start from (default: the jobs' own)"
    )
    parser.add_argument("--out", type=Path, metavar="FILE", help="write the bay sheet with what was learned")


def run(args: argparse.Namespace) -> int:
    """Show what jobs taught about chips and rates, and write it if asked."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.learning import learn_from, learned_sheet, write_learned
    from foamwright.jobs.reading import unit_of

    unit = unit_of(system_of(args))
    bay, learned = learn_from(args.jobs, args.bay)
    if args.out is not None:
        write_learned(bay, learned, args.out, unit, args.bay)
    if args.json:
        print_json(learned.as_json())
    else:
        print(learned_sheet(bay, learned, unit))
    return 0
