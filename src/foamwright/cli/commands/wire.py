"""``foamwright wire``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.wire import WireJob, WireOrder
    from foamwright.units import System


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument("board", type=Path, metavar="BOARD", help="board sheet")
    parser.add_argument(
        "--machine", type=Path, metavar="MACHINE", help="machine sheet (default: a usual one)"
    )
    parser.add_argument("--bay", type=Path, metavar="BAY", help="bay sheet, for the price of labour")
    parser.add_argument("--stock", type=Path, metavar="STOCK", help="stock sheet to compare the blank with")
    parser.add_argument("--out", type=Path, metavar="DIR", help="folder for programs, pictures and sheets")
    parser.add_argument("--foam", metavar="FOAM", help='family and density, like "eps 20 kg/m3"')
    parser.add_argument("--block", metavar="NAME", help="block of the machine sheet to cut from")
    parser.add_argument("--stringer", metavar="WIDTH", help='width of the stringer, like "1/8 in", or none')
    parser.add_argument("--wood", metavar="WOOD", help="wood of the stringer")
    for name, what in (
        ("bottom", "left on the bottom"),
        ("deck", "left on the deck"),
        ("tips", "left beyond each tip"),
        ("sides", "left outside the outline"),
    ):
        parser.add_argument(f"--{name}", metavar="LENGTH", help=f"foam {what}, with its unit")
    parser.add_argument("--feed", type=float, metavar="MM_MIN", help="speed through foam, mm a minute")
    parser.add_argument("--taper", action="store_true", help="let the deck of each half fall to the rail")


def run(args: argparse.Namespace) -> int:
    """Cut a blank close to a board: its programs, their proof, its price."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.wire import wire_job

    job = wire_job(args.board, _order(args), machine=args.machine, bay=args.bay, stock=args.stock)
    files = job.files() if args.out else {}
    if args.out:
        from foamwright.jobs.job_sheets import write_results

        write_results(args.out, files, [args.board, args.machine, args.bay, args.stock])
    if args.json:
        print_json(job.as_json())
    else:
        print("\n".join([*_lines(job, system_of(args)), *(str(args.out / name) for name in files)]))
    return 0


def _order(args: argparse.Namespace) -> WireOrder:
    from foamwright.blank.numbers import Stringer
    from foamwright.jobs.wire import STRINGER, WireOrder
    from foamwright.making.closecut import CutAllowances
    from foamwright.making.wire_cut import Wanted
    from foamwright.making.wire_parts import Taper
    from foamwright.units import parse_length

    usual = CutAllowances()
    left = {
        name: getattr(usual, name)
        if (text := getattr(args, name)) is None
        else parse_length(text, None, f"--{name}")
        for name in ("bottom", "deck", "tips", "sides")
    }
    none = args.stringer == "none"
    width = (
        STRINGER.width
        if args.stringer is None
        else 0.0
        if none
        else parse_length(args.stringer, None, "--stringer")
    )
    stringer = Stringer("none", 0.0) if none else Stringer(args.wood or STRINGER.wood, width)
    feed = None if args.feed is None else args.feed / 60_000.0
    taper = Taper.FALLING if args.taper else Taper.LEVEL
    return WireOrder(args.foam, stringer, CutAllowances(**left), Wanted(feed, args.block, taper))


def _lines(job: WireJob, system: System) -> list[str]:
    from foamwright.cli.tables import length_text, table
    from foamwright.making.wire_cautions import WIRE_CAUTIONS
    from foamwright.units import Rounding, format_with_unit

    cut, cost = job.cut, job.cost
    width = format_with_unit(cut.width, system, rounding=Rounding.UP)
    lines = [
        f"{cut.id}: {length_text(cut.length, system)} by {width}, {cut.volume * 1000:.1f} litres of "
        f"{cut.foam.family}.",
        f"Price {cost.total:.0f} {job.machine.currency}: foam {cost.foam:.0f}, labour {cost.labour:.0f} "
        f"({cost.minutes:.0f} minutes), stringer {cost.stringer:.0f}; {cut.numbers.lead_time_days:g} days.",
        f"Kerf {job.cuts[0].kerf * 1000:.2f} mm.",
        "",
    ]
    rows = [
        (one.name, f"{one.path.minutes:.1f}", f"{one.path.metres:.2f}", f"{one.sweep.worst * 1000:.3f}")
        for one in job.cuts
    ]
    lines += table(("cut", "minutes", "metres of path", "swept part misses by, mm"), rows)
    if job.compared is not None:
        from foamwright.cli.tables import pick_lines

        lines += ["", *pick_lines(job.compared, system)]
    return [*lines, "", *(caution.sentence for caution in WIRE_CAUTIONS), ""]
