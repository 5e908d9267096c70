"""``foamwright demo``."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument(
        "--out",
        type=Path,
        default=Path("demo-papers"),
        metavar="DIR",
        help="folder for the papers (demo-papers)",
    )
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help="paper of the printed pages")


def run(args: argparse.Namespace) -> int:
    """Plan both demo boards and write their papers; with ``--json`` the first board's plan."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.cli.tables import plan_lines
    from foamwright.jobs.demo import demo_plans

    system = system_of(args)
    for number, (plan, written) in enumerate(demo_plans(args.out, args.paper, system)):
        if args.json:
            if number == 0:
                print_json(plan.as_json())
        else:
            print("\n".join(plan_lines(plan, written, system)) + "\n")
    return 0
