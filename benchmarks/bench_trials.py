"""The figures of the closed loop, on boards and seeds that nothing was tuned on.

``.venv/bin/python benchmarks/bench_trials.py [SHAPERS [CASE ...]]``; cases: see `CASES`.
"""

from __future__ import annotations

import sys
import time
from dataclasses import replace

from foamwright.bench.shaper import Errors, Mechanics
from foamwright.bench.trials import Flow, TrialSettings
from foamwright.cli.trial_lines import trial_lines
from foamwright.jobs.trial import try_apprentices
from foamwright.units import INCH

SEED = 20261130
"""Nothing was tuned with boards or shapers of this seed."""

USUAL = Errors()
MILD = Errors(common=0.2, each=0.2, start=INCH / 4, face=4e-4, bow=1.5e-4, zero=1.5e-4)

CASES = {
    "usual": (Flow.STEPS, USUAL),
    "steady": (Flow.STEPS, Errors(each=0.15, start=INCH / 8)),
    "mild": (Flow.STEPS, MILD),
    "full": (Flow.STEPS, replace(USUAL, mechanics=Mechanics.FULL)),
    "before": (Flow.STEPS, replace(USUAL, mechanics=Mechanics.BEFORE)),
    "biased": (Flow.STEPS, replace(USUAL, bias=0.6, common=0.0)),
    "zero": (Flow.STEPS, replace(USUAL, zero=4e-4)),
    "missed": (Flow.STEPS, replace(USUAL, missed=0.05)),
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
