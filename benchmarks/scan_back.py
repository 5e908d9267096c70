"""Boards that went out as meshes come back from scans of them, in any pose, noisy and with holes.

The two demo boards and random sheets are exported as `foamwright export` does it, each vertex is moved by
0.5 mm noise in each direction, six holes are torn, everything is turned and moved at random and written as
STL, PLY or OBJ. `foamwright measure` reads the file; its sheet's numbers are compared with the board's own.

Run: ``python benchmarks/scan_back.py [boards] [--cases]`` from the root of the repository; ``--cases`` tells
every case as a line of JSON.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.board.board import Board, board_of
from foamwright.board.sheet import read_board
from foamwright.exchange.mesh_files import Surface, obj_bytes, stl_bytes, surface_of
from foamwright.exchange.solids import board_body
from foamwright.jobs.measure import MeasureJob, MeasureOrder, measure_job
from foamwright.units import System, Unit
from tests.scans import TORN, ply_bytes, scanned
from tests.trade import random_board

DEMO = Path(__file__).resolve().parents[1] / "src" / "foamwright" / "demo"
DEMO_BOARDS, POSES = ("groyne", "breakwater"), 4
"""Boards of the demo, and in how many poses each."""

STEPS = (40, 30)
FINE = (84, 64)
"""Steps of the export: its usual ones, and those that make more than 500,000 triangles."""

NUMBERS = ("length", "widths", "wide point", "thicknesses", "rocker between the tips", "rocker at the tips")
LIMITS = {**dict.fromkeys(NUMBERS, 1.0), "rocker at the tips": 1.5}
"""Millimetres that were asked for."""


def boards(count: int) -> Iterator[tuple[str, Board]]:
    """Demo boards in several poses, then random ones."""
    demo = [name for name in DEMO_BOARDS for _ in range(POSES)][:count]
    for name in demo:
        yield name, board_of(read_board(DEMO / f"{name}.board.toml"))
    for seed in range(count - len(demo)):
        yield f"random {seed}", board_of(random_board(seed))


def measured_back(board: Board, seed: int, folder: Path, steps: tuple[int, int] = STEPS) -> dict:
    """One case: how far every kind of number is off (millimetres), how long it took, the tail's form."""
    surface = scanned(surface_of(board_body(board), *steps), seed, TORN)
    ending, content = (("stl", stl), ("ply", ply_bytes), ("obj", obj))[seed % 3]
    path = folder / f"scan.{ending}"
    path.write_bytes(content(surface))
    system = (System.INCH, System.MM)[seed % 2]
    began = time.perf_counter()
    job = measure_job(
        path, MeasureOrder(Unit.MM, apex=f"{board.low_at * 1000.0:.3f} mm from tail", system=system)
    )
    took = time.perf_counter() - began
    return {**off_by(job, board), "seconds": took, "triangles": len(surface.faces), **tails(job, board)}


def stl(surface: Surface) -> bytes:
    """The surface as STL."""
    return stl_bytes([surface])


def obj(surface: Surface) -> bytes:
    """The surface as OBJ."""
    return obj_bytes([surface])


def off_by(job: MeasureJob, board: Board) -> dict[str, float]:
    """Worst differences between a measured sheet's numbers and the board's own at the same stations, mm."""
    numbers = job.numbers
    inner = numbers.outline[1:-1]
    rocker, thick = numbers.rocker, numbers.thickness
    tips, between = (rocker[0], rocker[-1]), rocker[1:-1]
    wide = 2.0 * float(board.half_width(board.outline.wide_at))
    return {
        "length": 1e3 * abs(numbers.length - board.length),
        "widths": worst(inner, 2.0 * board.half_width(stations(inner, job, board))),
        "wide point": 1e3 * abs(numbers.wide - wide),
        "thicknesses": worst(thick, board.thickness(stations(thick, job, board))),
        "rocker between the tips": worst(between, board.rocker(stations(between, job, board))),
        "rocker at the tips": worst(tips, board.rocker(stations(tips, job, board))),
    }


def stations(marks, job: MeasureJob, board: Board) -> np.ndarray:
    """Where marks stand on the board: those named from the nose are counted from its own nose."""
    x = np.array([mark.x for mark in marks])
    fore = np.array([mark.place.endswith("nose") for mark in marks])
    return np.clip(x + fore * (board.length - job.numbers.length), 0.0, board.length)


def worst(marks, right) -> float:
    """Largest difference in millimetres."""
    return 1e3 * float(np.max(np.abs(np.array([mark.value for mark in marks]) - right)))


def tails(job: MeasureJob, board: Board) -> dict:
    """The form of the tail, told and true, and how far the width of its block is off (mm)."""
    found, true = job.numbers, board.numbers
    ends = [numbers.outline[0].value if numbers.outline else 0.0 for numbers in (found, true)]
    return {
        "tail": found.tail.kind.value,
        "true tail": true.tail.kind.value,
        "tail width": 1e3 * abs(ends[0] - ends[1]),
    }


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def rows(count: int = 56) -> list[dict]:
    """Return what came back of so many boards, and how long 500,000 triangles take."""
    with tempfile.TemporaryDirectory() as folder:
        cases = [measured_back(board, i, Path(folder)) for i, (_, board) in enumerate(boards(count))]
        (_, demo), *_ = boards(1)
        fine = measured_back(demo, 3, Path(folder), FINE)
    within = sum(all(case[name] <= LIMITS[name] for name in NUMBERS) for case in cases)
    return [
        row("boards measured back with every number within its limit", within, f"of {count}", str(count)),
        *(line for name in NUMBERS for line in figures(name, [case[name] for case in cases])),
        row("tails of the right form", sum(c["tail"] == c["true tail"] for c in cases), f"of {count}"),
        row("time of a board, median", float(np.median([case["seconds"] for case in cases])), "s"),
        row(f"time of {fine['triangles']:,} triangles in a file", fine["seconds"], "s", "< 20"),
    ]


def figures(name: str, values: list[float]) -> list[dict]:
    """Median and worst of a kind of number."""
    asked = f"< {LIMITS[name]:g}"
    return [
        row(f"{name}: off by, median", float(np.median(values)), "mm"),
        row(f"{name}: off by, worst", max(values), "mm", asked),
    ]


def main() -> None:
    """Tell every case, or the table."""
    count = next((int(word) for word in sys.argv[1:] if word.isdigit()), 56)
    if "--cases" in sys.argv:
        with tempfile.TemporaryDirectory() as folder:
            for i, (name, board) in enumerate(boards(count)):
                try:
                    told = measured_back(board, i, Path(folder))
                except Exception as why:
                    told = {"failed": str(why)}
                print(json.dumps({"case": i, "board": name, **told}), flush=True)
        return
    for line in rows(count):
        print(f"{line['name']:<66} {line['value']:>12.4g} {line['unit']:<9} {line['asked']}")


if __name__ == "__main__":
    main()
