"""Whole commands as processes, warm: what a person waits for at the prompt.

Run: ``python benchmarks/whole_commands.py`` from the root of the repository, on a quiet machine.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
DEMO = ROOT / "src" / "foamwright" / "demo"
EXAMPLES = ROOT / "examples"
TIMES = 7


def seconds(words: list[str], makes: str = "") -> list[float]:
    """How long a command takes, `TIMES` times after one that warms it; it must succeed and write `makes`."""
    taken = []
    for _ in range(TIMES + 1):
        with tempfile.TemporaryDirectory() as folder:
            out = ["--out", f"{folder}/job"] if makes else []
            begin = time.perf_counter()
            subprocess.run(
                [sys.executable, "-m", "foamwright", *words, *out], check=True, stdout=subprocess.DEVNULL
            )
            taken.append(time.perf_counter() - begin)
            assert not makes or Path(folder, "job", makes).is_file()
    return taken[1:]


def plan(board: Path, stock: Path, *more: str) -> list[float]:
    """Of `foamwright plan`, with all its papers."""
    return seconds(["plan", str(board), "--stock", str(stock), *more], "job-sheet.pdf")


def rows() -> list[dict]:
    """Everything."""
    sheets = DEMO / "groyne.board.toml", DEMO / "harbour.stock.toml"
    bay, rider = ["--bay", str(DEMO / "harbour.bay.toml")], ["--rider", str(DEMO / "demo.rider.toml")]
    demo, usual, ridden = plan(*sheets, *bay), plan(*sheets), plan(*sheets, *bay, *rider)
    example = plan(EXAMPLES / "groyne-6-4.board.toml", EXAMPLES / "two-yards.stock.toml")
    told = seconds(["--help"])
    return [
        row("plan, demo board, its bay, 47 blanks: median of 7", statistics.median(demo), "s", "under 3"),
        row("the same: longest of 7", max(demo), "s"),
        row("the same in a usual bay: median of 7", statistics.median(usual), "s"),
        row("the same for a rider, with the water: median of 7", statistics.median(ridden), "s"),
        row("plan, example board, two yards' stock: median of 7", statistics.median(example), "s", "under 3"),
        row("--help: median of 7", 1000.0 * statistics.median(told), "ms", "under 300"),
    ]


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


if __name__ == "__main__":
    for line in rows():
        print(f"{line['name']:<66} {line['value']:>12.4g} {line['unit']:<9} {line['asked']}")
