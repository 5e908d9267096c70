"""Run-offs: 1,000 random targets, their proof by replay, and the time for the four runs of a board.

Run: ``python benchmarks/cuts_runoffs.py [targets]`` from the root of the repository.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from benchmarks.cuts_cases import INCH, Shape, bulging, hollow, run_target
from foamwright.bay.bay import Bay
from foamwright.cuts.planner import plan_run
from foamwright.cuts.replay import replay
from foamwright.cuts.runs import Strokes
from foamwright.cuts.simulation import Workpiece
from foamwright.cuts.stage_runs import plan_with_bay

JACK, BLOCK = Bay().planes[:2]
BOARD = (
    Shape(34.0, 1.1, 2.4, 6.0),
    Shape(28.0, 0.6, 2.2, 8.0),
    Shape(30.0, 0.7, 2.5, -4.0),
    Shape(26.0, 0.5, 2.0, 9.0),
)


def measure_family(family, tools, count):
    """Return what `count` random targets of a family show, as one line: by one plane, or by a bay's."""
    name, plan_of = (
        ("the bay's planes", lambda target: plan_with_bay(target, tools))
        if isinstance(tools, Bay)
        else (tools.name, lambda target: plan_run(target, tools))
    )
    random = np.random.default_rng(2026)
    below, reached, silent, strokes, groups, seconds = 0, 0, 0, [], [], []
    for number in range(count):
        target = family(random)
        start = time.perf_counter()
        plan = plan_of(target)
        seconds.append(time.perf_counter() - start)
        heights = replay(plan.as_json()) if number % 10 == 0 else plan.predicted
        below += bool((heights < target.target - 1e-12).any())
        reached += plan.reached
        silent += not plan.reached and not any(r.skew_deg is None for r in plan.hollows)
        strokes.append(plan.stroke_count - plan.fewest)
        groups.append(len(plan.strokes))
    return (
        f"{family.__name__:8s} {name:16s} targets {count}, below target {below}, "
        f"within tolerance {reached}, high without saying {silent}, strokes over the fewest possible "
        f"{np.mean(strokes):.1f} (most {max(strokes)}), groups {np.mean(groups):.1f}, "
        f"time median {1e3 * np.median(seconds):.1f} ms, most {1e3 * max(seconds[1:]):.1f} ms"
    )


def time_four_runs():
    """Return the best and the worst of 20 timings of a board's four runs, in milliseconds."""
    targets = [run_target(shape) for shape in BOARD]
    seconds = []
    for _ in range(21):
        start = time.perf_counter()
        for target in targets:
            plan_run(target, JACK)
        seconds.append(time.perf_counter() - start)
    return (
        f"four runs of a board, warm: best {1e3 * min(seconds):.0f} ms, worst {1e3 * max(seconds[1:]):.0f} ms"
    )


def time_one_stroke():
    """Return the mean time of one stroke on a 30 in run of 240 steps, in microseconds."""
    target = run_target(BOARD[0])
    work = Workpiece(target.x, JACK)
    strokes = [Strokes(start * INCH, 1, INCH / 32) for start in np.linspace(3.0, 30.0, 40)]
    work.after(target.before, strokes)
    start = time.perf_counter()
    for _ in range(50):
        work.after(target.before, strokes)
    return f"one stroke: {1e6 * (time.perf_counter() - start) / 2000:.1f} us ({target.x.size} points)"


def main():
    """Print the measurements."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for family in (bulging, hollow):
        for tools in (JACK, BLOCK, Bay()):
            print(measure_family(family, tools, count))
    print(time_four_runs())
    print(time_one_stroke())


if __name__ == "__main__":
    main()
