"""``foamwright trial``."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from foamwright.bench.shaper import Errors


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
        "--shaper",
        choices=("usual", "steadier", "mild"),
        default="usual",
        help="the usual one; a steadier hand; everything mildly bad. What is given besides goes before",
    )
    parser.add_argument(
        "--mechanics",
        choices=("heel", "full", "before"),
        help="how the sole rides: on the fresh cut (default), a full chip everywhere, on the face as it was",
    )
    for name, words in NUMBERS.items():
        parser.add_argument(f"--{name}", type=float, metavar="X", help=words)
    parser.add_argument("--untold", action="store_true", help="the bench is not told of --face")
    parser.add_argument(
        "--known", action="store_true", help="the bay sheet says how evenly this shaper works"
    )
    parser.add_argument("--bay", type=Path, metavar="BAY", help="heights are read with this bay's own tape")


NUMBERS = {
    "common": "a shaper's chip, off for the whole job: standard deviation, a share (usual: 0.3)",
    "each": "the chip from stroke to stroke: standard deviation, a share (usual: 0.3)",
    "bias": "every shaper's chip off the same way, a share",
    "start": "where strokes start: standard deviation, inches (usual: 0.5)",
    "gauge": "mark that the gauge is read to, inches (usual: 1/64)",
    "zero": "the gauge's zero, off for the whole job: standard deviation, inches",
    "bow": "the stick's bow: standard deviation, inches",
    "off": "what every gap under the stick is read too wide: standard deviation, inches",
    "bend": "far end of the straight edge, bent for the whole job: standard deviation, inches",
    "face": "the face that runs start from, off: standard deviation, inches",
    "missed": "share of strokes counted but not made",
    "proud": "share of foam-downs that leave the foam standing",
}
"""Numbers of the trial: name, help. None given: as the shaper of `--shaper` has it."""

INCHES = ("start", "gauge", "zero", "bow", "off", "bend", "face")
MOST = {"common": 0.9, "each": 0.9, "bias": 2.0, "missed": 0.5, "proud": 1.0}


def run(args: argparse.Namespace) -> int:
    """Try simulated shapers and show how they came out."""
    from foamwright.bench.trials import Flow, TrialSettings
    from foamwright.cli.show import print_json
    from foamwright.jobs.trial import try_apprentices

    _require_sane(args)
    settings = TrialSettings(args.shapers, args.seed, args.workers, Flow(args.flow), _errors_of(args))
    result = try_apprentices(args.job, settings, _progress_of(args))
    if args.json:
        print_json(result)
    else:
        from foamwright.cli.trial_lines import trial_lines

        print("\n".join(trial_lines(result)))
    return 0


def _errors_of(args: argparse.Namespace) -> Errors:
    """Return the shaper named, with what was given besides."""
    from foamwright.bench.shaper import PRESETS, Mechanics
    from foamwright.units import INCH

    found: dict[str, Any] = {}
    if args.bay is not None:
        from foamwright.bay.sheet import read_bay

        tape = read_bay(args.bay).tape
        found = {"step": INCH / tape.fraction, "gauge": tape.standard_error}
    for name in NUMBERS:
        if (value := getattr(args, name)) is not None:
            found[name] = value * (INCH if name in INCHES else 1.0)
    if args.gauge is not None:
        # A gauge is good to half of its finest mark.
        found |= {"step": found["gauge"], "gauge": found["gauge"] / 2.0}
    if args.mechanics is not None:
        found["mechanics"] = Mechanics(args.mechanics)
    preset = PRESETS[args.shaper]
    return replace(preset, told=not args.untold, known=args.known or preset.known, **found)


def _require_sane(args: argparse.Namespace) -> None:
    from foamwright.errors import InputError, Problem

    problems = []
    limits = [("shapers", 1.0, 1e7), ("seed", 0.0, 2.0**53), ("workers", 1.0, 64.0)]
    limits += [(n, -0.9 if n == "bias" else 0.0, MOST.get(n, 2.0)) for n in NUMBERS]
    for name, low, high in limits:
        value = getattr(args, name)
        if value is None:
            continue
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
