"""The figures of the closed loop: ``.venv/bin/python benchmarks/bench_trials.py [SHAPERS]``."""

from __future__ import annotations

import sys
import time

from foamwright.bench.trials import TrialSettings
from foamwright.cli.bench_lines import trial_lines
from foamwright.jobs.trial import trial_courses, try_apprentices


def main(shapers: int) -> None:
    courses = trial_courses(None)
    try_apprentices(courses, TrialSettings(2, workers=1), None, None)
    wall, cpu = time.time(), time.process_time()
    result = try_apprentices(courses, TrialSettings(shapers), None, None)
    print("\n".join(trial_lines(result)))
    print(f"{time.time() - wall:.0f} s by the clock, {time.process_time() - cpu:.0f} s of processor time.")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
