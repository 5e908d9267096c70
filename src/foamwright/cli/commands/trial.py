"""``foamwright trial``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("--shapers", type=int, default=400, metavar="N", help="how many (default: 400)")
    parser.add_argument("--seed", type=int, default=1, metavar="K", help="which shapers (default: 1)")
    parser.add_argument("--workers", type=int, default=2, metavar="N", help="threads (default: 2)")
    parser.add_argument(
        "--flow", choices=("steps", "papers"), default="steps", help="the bench's steps, or the papers alone"
    )
    parser.add_argument("--job", type=Path, metavar="JOB", help="try a planned job, not drawn boards")
    parser.add_argument(
        "--mechanics",
        choices=("heel", "full", "before"),
        default="heel",
        help="how the sole rides: on the fresh cut, a full chip everywhere, on the face before the stroke",
    )
    for name, usual, words in NUMBERS:
        parser.add_argument(f"--{name}", type=float, default=usual, metavar="X", help=words)
    parser.add_argument("--untold", action="store_true", help="the bench is not told of --face")


NUMBERS = (
    ("common", 0.3, "a shaper's chip, off for the whole job: standard deviation, a share (default: 0.3)"),
    ("each", 0.3, "the chip from stroke to stroke: standard deviation, a share (default: 0.3)"),
    ("bias", 0.0, "every shaper's chip off the same way, a share"),
    ("start", 0.5, "where strokes start: standard deviation, inches (default: 0.5)"),
    ("gauge", 1 / 64, "mark that the gauge is read to, inches (default: 1/64)"),
    ("zero", 0.0, "the gauge's zero, off for the whole job: standard deviation, inches"),
    ("bow", 0.0, "the stick's bow: standard deviation, inches"),
    ("face", 0.0, "the face that runs start from, off: standard deviation, inches"),
    ("missed", 0.0, "share of strokes counted but not made"),
)
"""Numbers of the trial: name, default, help."""

INCHES = ("start", "gauge", "zero", "bow", "face")
MOST = {"common": 0.9, "each": 0.9, "bias": 2.0, "missed": 0.5}


def run(args: argparse.Namespace) -> int:
    """Try simulated shapers and show how they came out."""
    from foamwright.bench.shaper import Errors, Mechanics
    from foamwright.bench.trials import Flow, TrialSettings
    from foamwright.cli.show import print_json
    from foamwright.jobs.trial import try_apprentices
    from foamwright.units import INCH

    _require_sane(args)
    numbers = {n: getattr(args, n) * (INCH if n in INCHES else 1.0) for n, _, _ in NUMBERS}
    errors = Errors(
        common=numbers["common"],
        each=numbers["each"],
        bias=numbers["bias"],
        start=numbers["start"],
        step=numbers["gauge"],
        gauge=numbers["gauge"] / 2.0,
        zero=numbers["zero"],
        bow=numbers["bow"],
        face=numbers["face"],
        told=not args.untold,
        missed=numbers["missed"],
        mechanics=Mechanics(args.mechanics),
    )
    settings = TrialSettings(args.shapers, args.seed, args.workers, Flow(args.flow), errors)
    result = try_apprentices(args.job, settings, _progress_of(args))
    if args.json:
        print_json(result)
    else:
        from foamwright.cli.trial_lines import trial_lines

        print("\n".join(trial_lines(result)))
    return 0


def _require_sane(args: argparse.Namespace) -> None:
    from foamwright.errors import InputError, Problem

    problems = []
    limits = [("shapers", 1.0, 1e7), ("seed", 0.0, 2.0**53), ("workers", 1.0, 64.0)]
    limits += [(n, -0.9 if n == "bias" else 0.0, MOST.get(n, 2.0)) for n, _, _ in NUMBERS]
    for name, low, high in limits:
        value = getattr(args, name)
        if not low <= value <= high or (name == "gauge" and value <= 0.0):
            problems.append(Problem(f"--{name}", f"{value:g} cannot be.", f"Say {low:g} to {high:g}."))
    if problems:
        raise InputError(problems)


def _progress_of(args: argparse.Namespace) -> Callable[[int], None] | None:
    """Return what shows progress on a terminal's standard error, or nothing."""
    if not sys.stderr.isatty():
        return None

    def show(done: int) -> None:
        end = "\n" if done == args.shapers else "\r"
        print(f"{done} of {args.shapers} shapers", end=end, file=sys.stderr, flush=True)

    return show
