"""Run-offs of random plans: replayed by a plane of the tests' own, and how near the line they end.

Run: ``python benchmarks/cuts_walks.py [plans]`` from the root of the repository.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.bay.bay import Bay
from foamwright.blank.blank import blank_of
from foamwright.board.board import board_of
from foamwright.cuts.counting import MARKS, lifted
from foamwright.cuts.planing import planed
from foamwright.cuts.stage_runs import plan_runs, plan_thickness
from foamwright.errors import InputError
from foamwright.planning.build import survey_of
from foamwright.stages.solids import chain_of
from foamwright.units import INCH, System
from tests.planing_reference import replay
from tests.trade import random_blank, random_board

MARKED, BAY = MARKS[System.INCH], Bay()
LAST = INCH


def chains(count: int):
    """Give chains of random boards that fit their random blanks."""
    seed = found = 0
    while found < count:
        seed += 1
        try:
            board, blank = board_of(random_board(seed)), blank_of(random_blank(seed))
        except InputError:
            continue
        choice = survey_of(board, (blank,), BAY).choices[0]
        if choice.fits:
            found += 1
            yield chain_of(board, blank, choice.placed, BAY.allowances.finish)


def lifted_needed(run, most: int = 40) -> int:
    """Strokes from mark to mark until all but the last inch is within tolerance, every one read after it."""
    heights, inside = run.predicted, run.x <= run.length - LAST
    for made in range(most):
        left = heights - run.target
        if left[inside].max() <= run.tolerance + 1e-9:
            return made
        for chip in run.plane.chips:
            # The longest stretch that has room for the chip.
            strokes = lifted(left, run.step, chip, MARKED)
            high = [s for s in strokes if _reaches(run, s, left)]
            if high:
                heights = planed(run.x, heights, run.plane, [high[-1]])
                break
        else:
            return most
    return most


def _reaches(run, stroke, left) -> bool:
    inside = (run.x >= run.length - stroke.begin) & (run.x <= run.length - stroke.end)
    return left[inside].max() > run.tolerance


def rows(count: int = 1000) -> list[dict]:
    """Everything."""
    below, ends, tips, needs, strokes, seconds = 0.0, [], [], [], 0, []
    for chain in chains(count):
        passes = plan_thickness(chain, BAY, MARKED)
        began = time.perf_counter()
        runs = plan_runs(chain, BAY, MARKED, passes)
        seconds.append(time.perf_counter() - began)
        for number, run in enumerate(runs):
            plain = run.as_json()
            for mechanics in ("full", "between", "heel"):
                below = min(below, float((replay(plain, mechanics, number) - run.target).min()))
            ends.append(float(run.left[run.x <= run.length - LAST].max()))
            tips.append(float(run.left[-1]))
            needs.append(lifted_needed(run))
            strokes += len(run.strokes)
    limit = BAY.allowances.run_off + 1e-9
    whole = np.maximum(ends, tips)
    return [
        row("deepest below the target, three mechanics", 1e3 * -below, "mm", "0"),
        row("run-offs within 1/32 in by the walk, all but the last inch", _share(ends, limit), "", "0.8"),
        row("run-offs within 1/32 in by the walk, to the very tip", _share(whole, limit), "", "0.8"),
        row("left at the very tip, 90 % of run-offs", 1e3 * np.percentile(tips, 90), "mm"),
        row("run-offs done with at most 6 lifted strokes", _share(needs, 6), "", "1"),
        row("strokes a board", strokes / count, ""),
        row("four walks of a board, median", 1e3 * float(np.median(seconds)), "ms", "10"),
    ]


def _share(values, limit) -> float:
    return float(np.mean(np.asarray(values) <= limit))


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


if __name__ == "__main__":
    for line in rows(int(sys.argv[1]) if len(sys.argv) > 1 else 1000):
        print(f"{line['name']:<62} {line['value']:>12.4g} {line['unit']:<8} {line['asked']}")
