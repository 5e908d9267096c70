"""``foamwright plan``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.aside import Helper


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("board", type=Path, metavar="BOARD", help="board sheet")
    parser.add_argument("--stock", type=Path, required=True, metavar="STOCK", help="stock sheet")
    parser.add_argument("--blank", metavar="ID", help="take this blank, not the best one")
    parser.add_argument("--bay", type=Path, metavar="BAY", help="bay sheet (default: a usual bay)")
    parser.add_argument("--rider", type=Path, metavar="RIDER", help="rider sheet, for the page of the water")
    parser.add_argument(
        "--materials", type=Path, metavar="MATERIALS", help="materials sheet (default: usual materials)"
    )
    parser.add_argument("--paper", choices=("a4", "letter"), default="a4", help="paper of the printed pages")
    parser.add_argument(
        "--out",
        type=Path,
        required=True,
        metavar="DIR",
        help="folder for plan.json, the sheets and the papers",
    )


def run(args: argparse.Namespace) -> int:
    """Plan the job and write its papers; 1 if no blank fits."""
    import gc

    from foamwright.aside import second_process
    from foamwright.jobs.plan_libraries import LIBRARIES

    # Nothing here is garbage before it is done; looking for some takes a twentieth of the whole.
    collecting = gc.isenabled()
    gc.disable()
    try:
        # It loads its libraries while the first process loads its own.
        with second_process(LIBRARIES) as helper:
            return _planned(args, helper)
    finally:
        if collecting:
            gc.enable()


def _planned(args: argparse.Namespace, helper: Helper | None) -> int:
    from foamwright.cli.show import print_json, system_of, tell_of_letters
    from foamwright.errors import InputError, Problem, attempt
    from foamwright.jobs.after_foam import read_after
    from foamwright.jobs.job_sheets import GivenSheets
    from foamwright.jobs.picking import read_job
    from foamwright.jobs.planning import Along, choose_blank, papers_begun, plan_chosen, write_papers

    system = system_of(args)
    problems: list[Problem] = []
    job = attempt(problems, lambda: read_job(args.board, args.stock, args.bay, helper))
    after = attempt(problems, lambda: read_after(args.rider, args.materials))
    if job is None or problems:
        raise InputError(problems)
    chosen = choose_blank(job, args.blank, system)
    along = Along(after, GivenSheets(args.board, args.bay, args.rider))
    coming = papers_begun(chosen, along, args.paper, system, helper)
    plan = plan_chosen(chosen)
    written = write_papers(plan, args.out, args.paper, system, along, coming)
    tell_of_letters([plan.board.name, plan.blank.id])
    if args.json:
        print_json(plan.as_json())
    else:
        from foamwright.cli.tables import plan_lines

        print("\n".join(plan_lines(plan, written, system)))
    return 0
