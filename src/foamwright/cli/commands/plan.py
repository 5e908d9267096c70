"""``foamwright plan``."""

from __future__ import annotations

import argparse
from pathlib import Path


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
    parser.add_argument(
        "--pack",
        choices=("wall", "full"),
        default="wall",
        help="three sheets that hang (wall), or the folder's job sheet with every step too (full)",
    )
    parser.add_argument(
        "--paper",
        choices=("a4", "letter", "a3"),
        default="a4",
        help="paper of the printed pages (a3: of the templates; the sheets come on a4)",
    )
    parser.add_argument(
        "--roll",
        choices=("a1", "a0", "610", "914", "long"),
        help="templates on one page from a roll of this width, or one long page, instead of tiles",
    )
    parser.add_argument(
        "--date",
        metavar="DAY",
        help="day of the plan and its papers, like 2026-05-31 (default: SOURCE_DATE_EPOCH, else none)",
    )
    parser.add_argument(
        "--out",
        type=Path,
        required=True,
        metavar="DIR",
        help="folder for plan.json, the sheets and the papers",
    )


def run(args: argparse.Namespace) -> int:
    """Plan the job and write its papers; 1 if no blank fits."""
    from dataclasses import replace

    from foamwright.cli.show import print_json, system_of, tell_of_letters
    from foamwright.errors import InputError, Problem, attempt
    from foamwright.jobs.after_foam import read_after
    from foamwright.jobs.job_sheets import GivenSheets
    from foamwright.jobs.options import date_option
    from foamwright.jobs.picking import read_job
    from foamwright.jobs.planning import Along, plan_job, write_papers

    system = system_of(args)
    problems: list[Problem] = []
    for name, path in (("board", args.board), ("stock", args.stock), ("bay", args.bay)):
        if path is not None and str(path) == "-":
            why = f"A job keeps a copy of its {name} sheet, so it needs a file."
            problems.append(Problem("standard input", why, "Save it as a file and name that."))
    if problems:
        raise InputError(problems)
    job = attempt(problems, lambda: read_job(args.board, args.stock, args.bay))
    after = attempt(problems, lambda: read_after(args.rider, args.materials))
    date = attempt(problems, lambda: date_option(args.date))
    if job is None or problems:
        raise InputError(problems)
    along = Along(after, args.pack, args.roll, GivenSheets(args.board, args.bay, args.rider))
    plan = replace(plan_job(job, args.blank, system), date=date)
    written = write_papers(plan, args.out, args.paper, system, along)
    tell_of_letters([plan.board.name, plan.blank.id])
    if args.json:
        print_json(plan.as_json())
    else:
        from foamwright.cli.tables import plan_lines

        print("\n".join(plan_lines(plan, written, system)))
    return 0
