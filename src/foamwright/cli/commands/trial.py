"""``foamwright trial``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.bench.shaper import Way


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("--shapers", type=int, default=1000, metavar="N", help="how many (default: 1000)")
    parser.add_argument("--seed", type=int, default=1, metavar="K", help="which shapers (default: 1)")
    parser.add_argument("--workers", type=int, default=2, metavar="N", help="threads (default: 2)")
    parser.add_argument(
        "--resume", type=Path, metavar="FILE", help="keep outcomes here, and go on where it stopped"
    )
    parser.add_argument("--job", type=Path, metavar="JOB", help="try a planned job, not the demo's board")
    parser.add_argument(
        "--skipped", type=float, default=0.0, metavar="SHARE", help="strokes that are skipped"
    )
    parser.add_argument("--mistaken", type=float, default=0.0, metavar="SHARE", help="readings out by 1/8 in")
    parser.add_argument(
        "--bias", type=float, default=0.0, metavar="INCHES", help="standard deviation of each tape's bias"
    )


def run(args: argparse.Namespace) -> int:
    """Try simulated shapers and show how they came out."""
    from foamwright.bench.shaper import Hands
    from foamwright.bench.trials import TrialSettings
    from foamwright.cli.show import print_json
    from foamwright.jobs.trial import trial_courses, try_apprentices
    from foamwright.units import INCH

    _require_sane(args)
    hands = Hands(skipped=args.skipped, mistaken=args.mistaken, bias=args.bias * INCH)
    settings = TrialSettings(args.shapers, args.seed, args.workers, hands)
    result = try_apprentices(trial_courses(args.job), settings, args.resume, _progress_of(args))
    if args.json:
        print_json(result.as_json())
    else:
        from foamwright.cli.bench_lines import trial_lines

        print("\n".join(trial_lines(result)))
    return 0


def _require_sane(args: argparse.Namespace) -> None:
    from foamwright.errors import InputError, Problem

    problems = []
    for name, low, high in (
        ("shapers", 1, 10_000_000),
        ("seed", 0, 2**63 - 1),
        ("workers", 1, 64),
        ("skipped", 0.0, 0.5),
        ("mistaken", 0.0, 0.5),
        ("bias", 0.0, 0.5),
    ):
        value = getattr(args, name)
        if not low <= value <= high:
            problems.append(Problem(f"--{name}", f"{value:g} cannot be.", f"Say {low:g} to {high:g}."))
    if problems:
        raise InputError(problems)


def _progress_of(args: argparse.Namespace):  # type: ignore[no-untyped-def]
    """Return what shows progress on a terminal's standard error, or nothing."""
    if not sys.stderr.isatty():
        return None

    def show(way: Way, done: int) -> None:
        end = "\n" if done == args.shapers else "\r"
        print(f"{way.value}: {done} of {args.shapers} shapers", end=end, file=sys.stderr, flush=True)

    return show
