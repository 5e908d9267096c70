"""``foamwright wire``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foamwright.jobs.wire import WireJob
    from foamwright.jobs.wire_asked import WireAsked
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
    parser.add_argument("--feed", metavar="MM_MIN", help="speed through foam, mm a minute")
    parser.add_argument(
        "--ribs",
        choices=("a4", "letter", "a3"),
        help="ribs for a hand bow at full size too, tiled for this paper",
    )
    parser.add_argument("--taper", action="store_true", help="let the deck of each half fall to the rail")


def run(args: argparse.Namespace) -> int:
    """Cut a blank close to a board: its programs, their proof, its price."""
    from foamwright.cli.show import print_json, system_of
    from foamwright.jobs.wire_asked import asked_wire_job

    job = asked_wire_job(args.board, _asked(args), machine=args.machine, bay=args.bay, stock=args.stock)
    files = job.files() if args.out else {}
    if args.out and args.ribs:
        files |= job.rib_files(args.ribs, system_of(args))
    if args.out:
        from foamwright.jobs.job_sheets import write_results

        write_results(args.out, files, [args.board, args.machine, args.bay, args.stock])
    if args.json:
        print_json(job.as_json())
    else:
        print("\n".join([*_lines(job, system_of(args)), *(str(args.out / name) for name in files)]))
    return 0


def _asked(args: argparse.Namespace) -> WireAsked:
    from foamwright.jobs.wire_asked import LEFT, WireAsked
    from foamwright.making.wire_parts import Taper

    left = {name: text for name in LEFT if (text := getattr(args, name)) is not None}
    taper = Taper.FALLING if args.taper else Taper.LEVEL
    return WireAsked(args.foam, args.block, args.stringer, args.wood, left, args.feed, taper)


def _lines(job: WireJob, system: System) -> list[str]:
    from foamwright.cli.tables import fine_text, length_text, table
    from foamwright.making.wire_cautions import WIRE_CAUTIONS
    from foamwright.units import Rounding, format_with_unit

    cut, cost = job.cut, job.cost
    width = format_with_unit(cut.width, system, rounding=Rounding.UP)
    lines = [
        f"{cut.id}: {length_text(cut.length, system)} by {width}, {cut.volume * 1000:.1f} litres of "
        f"{cut.foam.family}.",
        f"Price {cost.total:.0f} {job.machine.currency}: foam {cost.foam:.0f}, labour {cost.labour:.0f} "
        f"({cost.minutes:.0f} minutes), stringer {cost.stringer:.0f}; {cut.numbers.lead_time_days:g} days.",
        f"Kerf {fine_text(job.cuts[0].kerf, system)}. The programs' own words are in millimetres.",
        "",
    ]
    rows = [
        (one.name, f"{one.path.minutes:.1f}", _path(one.path.metres, system), _miss(one.sweep.worst, system))
        for one in job.cuts
    ]
    lines += table(("cut", "minutes", "path of the wire", "swept part misses by"), rows)
    if job.compared is not None:
        from foamwright.cli.tables import pick_lines

        lines += ["", *pick_lines(job.compared, system)]
    return [*lines, "", *(caution.sentence for caution in WIRE_CAUTIONS), ""]


def _path(metres: float, system: System) -> str:
    from foamwright.units import Unit

    inch = system.value == "in"
    return f"{metres / float(Unit.FOOT.exact):.1f} ft" if inch else f"{metres:.2f} m"


def _miss(metres: float, system: System) -> str:
    from foamwright.units import INCH

    return f"{metres / INCH:.4f} in" if system.value == "in" else f"{metres * 1000:.3f} mm"
