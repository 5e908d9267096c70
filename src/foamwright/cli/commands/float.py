"""``foamwright float``."""

from __future__ import annotations

import argparse
import math
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.water import FloatJob
    from foamwright.units import System
    from foamwright.water.afloat import Afloat

HELP = "board and rider in the water: how deep, what trim, where to lie"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("board", type=Path, metavar="BOARD", help="board sheet")
    parser.add_argument("--rider", type=Path, required=True, metavar="RIDER", help="rider sheet")
    parser.add_argument(
        "--board-mass", metavar="MASS", help='finished mass, like "3 kg" (default: as finish)'
    )
    parser.add_argument("--nose-clear", metavar="LENGTH", help="lie so that the nose rides this high")
    parser.add_argument("--trim", metavar="DEGREES", help="lie so that the nose points up so much")
    parser.add_argument("--lie-at", metavar="STATION", help='lie here, like "48 in from tail"')
    parser.add_argument(
        "--build", choices=("male", "female", "between"), default="between", help="whose body tables to take"
    )


def run(args: argparse.Namespace) -> int:
    """Float a board under a rider; 1 if they sink, it stands on end, or a wish is missed."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.float_asked import FloatAsked, asked_float_job
    from foamwright.water.body_tables import Build

    system = system_of(args)
    asked = FloatAsked(args.board_mass, args.nose_clear, args.trim, args.lie_at, Build(args.build))
    job = asked_float_job(args.board, args.rider, asked, system)
    if args.json:
        print_json(job.as_json())
    else:
        print("\n".join(_lines(job, system)))
    return int(job.answer_is_no)


def _lines(job: FloatJob, system: System) -> list[str]:
    from foamwright.cli.tables import finding_lines, signed_fine, table

    lines = [
        f"{job.craft.board.name} under {job.rider.name}: {job.litres_per_kg:.2f} litres per kg, "
        f"water {job.density:.1f} kg/m3, board {job.craft.mass:.2f} kg",
        "",
    ]
    if job.lain is not None:
        rests = [job.lain.afloat, *job.upright]
        heads = ("", "at", "nose up", "under water", "nose above", "tail above", "breastbone above")
        lines += [*table(heads, [_row(rest, system) for rest in rests]), ""]
        lines.append("at: breastbone (prone), seat (sitting), knees (kneeling), from the tail")
    if job.rights is not None:
        arms = zip(job.rights.angles, job.rights.arms, strict=True)
        shown = ", ".join(f"{math.degrees(angle):.0f}°: {signed_fine(arm, system)}" for angle, arm in arms)
        lines += [f"righting arm when rolled, lying still (+ rights itself): {shown}", ""]
    return [*lines, *finding_lines(job.findings)]


def _row(rest: Afloat, system: System) -> tuple[str, ...]:
    from foamwright.units import format_with_unit

    heights = (rest.nose_above, rest.tail_above, rest.breastbone_above)
    return (
        str(rest.rider.posture),
        format_with_unit(rest.rider.place, system),
        f"{math.degrees(rest.pitch):.1f}°",
        f"{100 * rest.share_under:.0f} %",
        *(format_with_unit(height, system) for height in heights),
    )
