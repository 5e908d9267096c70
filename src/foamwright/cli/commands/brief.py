"""``foamwright brief``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.brief import BriefJob

HELP = "starting numbers for a board from a rider"

KINDS = (
    "noserider",
    "long board",
    "mid-length",
    "fish",
    "twin keel",
    "small-wave",
    "performance",
    "step-up",
    "gun",
    "child",
    "foil",
    "paddle",
)
WAVES = ("small", "medium", "large", "huge")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("rider", type=Path, metavar="RIDER", help="rider sheet")
    parser.add_argument("--kind", choices=KINDS, help="kind of board (default: what suits)")
    parser.add_argument("--waves", choices=WAVES, default="medium", help="how big the waves are")
    parser.add_argument(
        "--fix",
        action="append",
        default=[],
        metavar="NAME=VALUE",
        help='keep a number, like "wide=20 1/2" or "volume=32.5"; again for more',
    )
    parser.add_argument("--like", type=Path, metavar="BOARD", help="start from this board sheet")
    parser.add_argument("--out", type=Path, metavar="SHEET", help="write the board sheet here")


def run(args: argparse.Namespace) -> int:
    """Turn a rider into a board sheet; 1 after a warning, or where the board is refused."""
    from foamwright.brief.kinds import Kind, Waves
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.brief import BriefOrder, brief_job

    kind = None if args.kind is None else Kind(args.kind)
    order = BriefOrder(kind, Waves(args.waves), tuple(args.fix), args.like)
    job = brief_job(args.rider, order, system_of(args))
    if args.out is not None:
        job.write(args.out)
    if args.json:
        print_json(job.as_json())
    else:
        print("\n".join(_lines(job, args.out)))
    return int(job.answer_is_no)


def _lines(job: BriefJob, out: Path | None) -> list[str]:
    """Return the sheet with every choice as a comment, so that what is printed is a sheet as it stands."""
    from foamwright.cli.tables import finding_lines

    brief = job.brief
    found = finding_lines(brief.findings)
    if brief.made is None:
        return [*found, "No board is drawn, and nothing written."]
    head = f"# {1000 * brief.made.volume:.2f} litres (wanted {1000 * brief.made.target:.2f})"
    why = [f"# {c.name}: {c.why} ({c.basis})" for c in brief.choices]
    written = [f"# written to {out}"] if out is not None else []
    return [*(f"# {line}" for line in found), head, *why, *written, "", job.sheet.rstrip()]
