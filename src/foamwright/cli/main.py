"""The ``foamwright`` command: runs the command named, and turns errors into words and exit codes."""

from __future__ import annotations

import os
import sys

TYPE_CHECKING = False  # as typing has it, without the time to load typing

# Little is loaded here, the rest by functions: `run` first sees to it that a stop while loading has words.
if TYPE_CHECKING:
    import argparse
    from collections.abc import Sequence
    from types import ModuleType
    from typing import TextIO

COMMANDS: dict[str, str] = {
    "demo": "plan the demo job and write its papers",
    "new": "a commented sheet to start from, which works as it stands",
    "check": "a board sheet's numbers, fairness and warnings",
    "pick": "every blank of a stock, best first, or why it fails",
    "plan": "the whole job: plan.json and the papers",
    "read": "readings, strokes, times and notes into a job's history",
    "advise": "what is left, what to do next, what is too deep",
    "rescue": "the nearest board still inside the foam",
    "learn": "what measured and timed jobs teach about chips and rates",
    "trial": "simulated shapers follow the advice",
    "brief": "starting numbers for a board from a rider",
    "float": "board and rider in the water",
    "finish": "fins, laminate, mass, materials and price of a board",
    "wire": "a close-cut blank and its hot wire program",
    "nest": "an order of blanks in the least blocks of foam, with the layout and the proof",
    "export": "a board as STEP, STL, 3MF, OBJ, DXF, SVG or CSV",
    "measure": "a scanned board or blank, or readings by hand, as a sheet",
    "serve": "the app in a browser",
    "shop": "the app's database and orders: back up, restore, quotes, calendar, purchases",
    "stocking": "which few blanks to keep for the boards that are expected",
    "warm": "compile every inner loop once, ahead of the first job",
}
"""Every command with its one line of help; each lives in ``cli/commands/NAME.py``."""


OWN = ("-h", "--help", "-V", "--version")
"""Options that stand without a command."""


def build_parser(only: str | None = None) -> argparse.ArgumentParser:
    """Return the parser; with `only` just that command is loaded, which keeps ``--help`` instant."""
    from foamwright import __version__
    from foamwright.cli.examples import examples_of
    from foamwright.cli.parsing import Parser

    parser = Parser(
        prog="foamwright",
        description="Plans and checks the shaping of a foam board core by hand.",
        epilog="Exit codes: 0 done; 1 done, and the answer is no; 2 the input is wrong; 3 a fault of ours.",
    )
    parser.add_argument("-V", "--version", action="version", version=f"foamwright {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, line in COMMANDS.items():
        command = commands.add_parser(
            name, help=line, description=line[0].upper() + line[1:] + ".", epilog=examples_of(name)
        )
        command.add_argument("--json", action="store_true", help="one JSON document on standard output")
        command.add_argument("-q", "--quiet", action="store_true", help="print nothing but what is wrong")
        command.add_argument(
            "--units",
            choices=("in", "mm"),
            help="read lengths out in inches or millimetres (default: as the board sheet)",
        )
        if only is None or name == only:
            load(name).add_arguments(command)
    return parser


def load(name: str) -> ModuleType:
    """Return a command's module."""
    import importlib

    return importlib.import_module(f"foamwright.cli.commands.{name}")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code (see INTERFACE: 0, 1, 2 or 3)."""
    from foamwright.cli import stopping

    words = list(sys.argv[1:] if arguments is None else arguments)
    try:
        return _answered(_done(words))
    except KeyboardInterrupt:
        return stopping.told()
    except Exception as why:
        # A stop that met a library while it was loading comes back as that library's own error.
        return stopping.told() if stopping.asked() else _explained(why, as_json="--json" in words)


def _done(words: list[str]) -> int:
    from contextlib import redirect_stdout

    from foamwright.cli import stopping

    named = next((w for w in words if w in COMMANDS), "")
    parser = build_parser(only=named)
    if "" in words:
        parser.error("an empty word stands where a name or a number belongs")
    if words and words[0].startswith("-") and words[0] not in OWN:
        option = words[0].partition("=")[0]
        hint = f"foamwright {named or 'COMMAND'} … {option} …"
        parser.error(f"“{option}” stands before the command. Options come after the command: {hint}")
    args = parser.parse_args(words)
    command = load(args.command)
    stopping.by_exception()
    if args.quiet and not args.json:
        with open(os.devnull, "w") as nowhere, redirect_stdout(nowhere):
            return int(command.run(args))
    return int(command.run(args))


def _explained(why: Exception, as_json: bool) -> int:
    """Print what went wrong in words and return the exit code; what has no words of its own is a fault."""
    from foamwright.cli.faults import FAULT, report_fault
    from foamwright.errors import FoamwrightError, InputError

    if as_json and isinstance(why, FoamwrightError) and why.exit_code != FAULT:
        from foamwright.cli.show import print_json

        print_json(why.as_json())
    if isinstance(why, InputError):
        for problem in why.problems:
            print(problem, file=sys.stderr)
        return why.exit_code
    if isinstance(why, FoamwrightError):
        print(why, file=sys.stderr)
        return report_fault(why) if why.exit_code == FAULT else why.exit_code
    if isinstance(why, BrokenPipeError):
        return 0
    if isinstance(why, OSError) and why.filename is None:
        # What the command writes is written by then, or told by an error of its own; only the answer is lost.
        # An error that names a file is another: a file nobody thought of, and so a fault.
        print(f"The answer could not be written out: {why.strerror}.", file=sys.stderr)
        _silence(sys.stdout)
        return UNTOLD
    return report_fault(why)


UNTOLD = 3
"""Exit code where the work was done and its answer could not be told."""


def _answered(code: int) -> int:
    """Return the code once everything that was printed is out."""
    sys.stdout.flush()
    return code


def _silence(stream: TextIO) -> None:
    """Drop what cannot be written, so that the interpreter does not try again at its end."""
    from contextlib import suppress

    with suppress(OSError, ValueError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())


def run() -> None:
    """Entry point of the console script."""
    from foamwright.cli import stopping

    stopping.at_once()
    # The matrices here are small: threads of the linear algebra library cost three times what they save.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = main()
        stopping.too_late()
    except KeyboardInterrupt:
        code = stopping.told()
    stopping.leave(code)
    sys.exit(code)
