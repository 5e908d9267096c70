"""``foamwright warm``: compile every inner loop ahead of the first job."""

from __future__ import annotations

import argparse
from pathlib import Path

STEPS: tuple[tuple[str, str], ...] = (
    (
        "blanks, strokes and papers",
        "plan {board} --stock {stock} --bay {bay} --rider {rider} --out {work}/job",
    ),
    ("readings and the next step", "advise {work}/job"),
    ("simulated shapers", "trial --shapers 1 --workers 1"),
    ("a sole that takes a full chip everywhere", "trial --shapers 1 --workers 1 --mechanics full"),
    ("a sole that rides on the face before it", "trial --shapers 1 --workers 1 --mechanics before"),
    ("the board in the water", "float {board} --rider {rider}"),
    ("a board from a rider", "brief {rider}"),
    ("a solid to export", "export {board} --to {work}/board.stl"),
    ("a scan to measure", "measure {work}/board.stl --unit mm --out {work}/scan"),
    ("blanks cut from blocks", "nest {order} --out {work}/nest"),
    ("which blanks to keep", "stocking --boards 4 --candidates 4 --keep 1 --out {work}/study"),
)
"""What is run, with its words: together the commands reach all but two rare loops (a test looks)."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the command's arguments: it has none of its own."""


def run(args: argparse.Namespace) -> int:
    """Run every kind of job once on the demo's sheets, out of sight, and say what was compiled."""
    import tempfile

    from foamwright.cli.show import print_json
    from foamwright.shape.kernels.compiler import cache_folder, prune_caches

    with tempfile.TemporaryDirectory(prefix="foamwright-warm-") as work:
        places = _sheets(Path(work))
        for number, (words, line) in enumerate(STEPS, start=1):
            if not args.json:
                print(f"{number} of {len(STEPS)}: {words}", flush=True)
            _run_quietly([word.format(**places) for word in line.split()])
    folder, gone = cache_folder(), prune_caches()
    if args.json:
        print_json({"folder": None if folder is None else str(folder), "older_removed": gone})
    elif folder is None:
        print("Compiled, but nothing could be kept: there is no folder to write to, or too little room.")
    else:
        print(f"Compiled and kept in {folder}.")
        if gone:
            print(f"Loops of {gone} older version{'s' if gone > 1 else ''} were removed.")
    return 0


def _sheets(work: Path) -> dict[str, str]:
    """Return where the sheets lie: the demo's own, and the starter order written out."""
    from foamwright.demo import demo_path
    from foamwright.starters import starter_text

    order = work / "order.toml"
    order.write_text(starter_text("order"), "utf-8")
    return {
        "work": str(work),
        "order": str(order),
        "board": str(demo_path("groyne.board.toml")),
        "stock": str(demo_path("harbour.stock.toml")),
        "bay": str(demo_path("harbour.bay.toml")),
        "rider": str(demo_path("demo.rider.toml")),
    }


def _run_quietly(words: list[str]) -> None:
    """Run one command in this process; what it answers is not wanted, a fault of it is."""
    import io
    from contextlib import redirect_stdout

    from foamwright.cli.main import build_parser, load

    args = build_parser(only=words[0]).parse_args(words)
    with redirect_stdout(io.StringIO()):
        load(words[0]).run(args)
