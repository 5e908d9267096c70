"""``foamwright measure``."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

if TYPE_CHECKING:
    from foamwright.jobs.measure import MeasureJob, MeasureOrder

SCAN_UNITS = ("mm", "cm", "m", "in")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments."""
    parser.add_argument(
        "file", type=Path, nargs="?", metavar="FILE", help="scan (.stl .obj .ply .3mf) or readings (.csv)"
    )
    parser.add_argument("--guide", metavar="LENGTH", help="write the form for readings by hand and stop")
    parser.add_argument(
        "--by-hand", action="store_true", help="ask for readings one by one; back goes back one question"
    )
    parser.add_argument("--unit", choices=SCAN_UNITS, help="unit of the scan's numbers; only a 3MF says it")
    parser.add_argument("--apex", metavar="STATION", help="where the level line touches (default: centre)")
    parser.add_argument("--against", type=Path, metavar="BOARD", help="board sheet to compare with")
    parser.add_argument("--as", dest="kind", choices=("board", "blank"), default="board", help="what it is")
    parser.add_argument("--foam", metavar="FOAM", help='foam of a blank, like "eps 20 kg/m3"')
    parser.add_argument("--name", metavar="NAME", help="name of the board or blank (default: the file's)")
    parser.add_argument("--turned", action="store_true", help="nose and tail were taken for each other")
    parser.add_argument("--out", type=Path, metavar="DIR", help="folder for the sheet, the map and the JSON")


def run(args: argparse.Namespace) -> int:
    """Turn a scan, or readings by hand, into a board sheet."""
    from foamwright.cli.show import system_of
    from foamwright.errors import InputError, Problem
    from foamwright.jobs.measure import form_job, measure_job
    from foamwright.stocking.progress import to_standard_error

    if args.guide is not None:
        return _write_form(form_job(args.guide, system_of(args)), args.out, as_json=args.json)
    if args.by_hand:
        return _by_hand(args)
    if args.file is None:
        raise InputError(
            Problem("FILE", "is missing.", "Name a scan or a CSV, or say --by-hand, or --guide for a form.")
        )
    job = measure_job(args.file, _order(args), to_standard_error)
    return _show(args, job)


def _show(args: argparse.Namespace, job: MeasureJob) -> int:
    from foamwright.cli.show import print_json
    from foamwright.jobs.job_sheets import write_results

    files = job.files() if args.out else {}
    if args.out:
        write_results(args.out, files, [path for path in (args.file, args.against) if path is not None])
    if args.json:
        print_json(job.as_json())
    else:
        print("\n".join([*_lines(job), *(str(args.out / name) for name in files)]))
    return 0


def _by_hand(args: argparse.Namespace) -> int:
    """Ask for readings one by one; if the answers end too soon, nothing is written."""
    import sys

    from foamwright.errors import InputError, Problem
    from foamwright.jobs.by_hand import asked_by_hand, by_hand_job

    if args.file is not None:
        raise InputError(
            Problem("--by-hand", "asks, and reads no file.", "Leave the file or --by-hand away.")
        )
    order = _order(args)
    shown = sys.stderr if args.json else sys.stdout
    print(f"Readings by hand; a bare number is in {order.system}. back goes back one question.", file=shown)
    try:
        answers = asked_by_hand(
            lambda words: _asked(words, shown), lambda line: print(line, file=shown), order.system
        )
    except (EOFError, KeyboardInterrupt):
        raise InputError(
            Problem(
                "--by-hand",
                "The answers ended before the last question.",
                "Nothing was written; begin again.",
            )
        ) from None
    return _show(args, by_hand_job(answers, order))


def _asked(words: str, shown: TextIO) -> str:
    """One answer; the question goes where the other lines go, so that --json stays alone."""
    print(words, end="", file=shown, flush=True)
    return input()


def _write_form(form: str, folder: Path | None, *, as_json: bool) -> int:
    from foamwright.cli.show import print_json
    from foamwright.jobs.measure import form_json, write_form

    path = None if folder is None else write_form(form, folder)
    if as_json:
        print_json(form_json(form) | {"file": None if path is None else str(path)})
    elif path is None:
        print(form, end="")
    else:
        print(path)
    return 0


def _order(args: argparse.Namespace) -> MeasureOrder:
    from foamwright.cli.show import system_of
    from foamwright.jobs.measure import As, MeasureOrder
    from foamwright.units import Unit

    units = {"mm": Unit.MM, "cm": Unit.CM, "m": Unit.METRE, "in": Unit.INCH}
    return MeasureOrder(
        unit=units.get(args.unit),
        apex=args.apex,
        against=args.against,
        name=args.name,
        kind=As(args.kind),
        foam=args.foam,
        turned=args.turned,
        system=system_of(args),
    )


def _lines(job: MeasureJob) -> list[str]:
    from foamwright.cli.tables import finding_lines

    lines = [*finding_lines(job.findings), ""]
    if job.deviation is not None and job.board is not None:
        lines += [
            f"Against {job.board.name}: {job.deviation.root_mean_square * 1000:.2f} mm root mean square, "
            f"{job.deviation.worst * 1000:+.2f} mm where worst (+ is more foam).",
            "",
        ]
    return [*lines, job.sheet]
