"""The figures of the closed loop, on boards and seeds that nothing was tuned on.

``.venv/bin/python benchmarks/bench_trials.py [SHAPERS [CASE ...]]``; cases: see `CASES`.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace

from foamwright.bench.shaper import PRESETS, Mechanics
from foamwright.bench.trials import Flow, TrialSettings
from foamwright.cli.trial_lines import trial_lines
from foamwright.jobs.trial import try_apprentices

SEED = 20261202
"""Nothing was tuned with boards or shapers of this seed."""

USUAL = PRESETS["usual"]

CASES = {
    "usual": (Flow.STEPS, USUAL),
    "steadier": (Flow.STEPS, PRESETS["steadier"]),
    "mild": (Flow.STEPS, PRESETS["mild"]),
    "full": (Flow.STEPS, replace(USUAL, mechanics=Mechanics.FULL)),
    "before": (Flow.STEPS, replace(USUAL, mechanics=Mechanics.BEFORE)),
    "biased": (Flow.STEPS, replace(USUAL, bias=0.6, common=0.0)),
    "zero": (Flow.STEPS, replace(USUAL, zero=4e-4)),
    "bent": (Flow.STEPS, replace(USUAL, bend=8e-4)),
    "missed": (Flow.STEPS, replace(USUAL, missed=0.05)),
    "proud": (Flow.STEPS, replace(USUAL, proud=0.2)),
    "papers": (Flow.PAPERS, USUAL),
}
"""What is tried, by name."""


def main(shapers: int, names: list[str]) -> None:
    """Print the tally of each case."""
    for name in names or list(CASES):
        flow, errors = CASES[name]
        wall = time.time()
        result = try_apprentices(None, TrialSettings(shapers, SEED, flow=flow, errors=errors), None)
        print(f"== {name} ({time.time() - wall:.0f} s)", *trial_lines(result), "", sep="\n", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 400, sys.argv[2:])
