"""The tally of simulated shapers as plain lines for a terminal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foamwright.cli.tables import table

COUNTED = ("strokes", "rubs", "foam_downs", "stops", "looks", "minutes")

SHARES = {
    "runs_too_deep_share": "run-offs with any place more than 1/32 in too deep",
    "runs_deeper_than_1_16_share": "more than 1/16 in too deep",
    "runs_within_1_16_share": "within 1/16 in everywhere",
    "called_done_and_not_share": "called done and not within 1/32 in",
    "left_to_sand_share": "ended with something left to sand",
}


def trial_lines(result: Mapping[str, Any]) -> list[str]:
    """Return how simulated shapers came out."""
    jobs = result["shapers"]
    lines = [
        f"{jobs} shapers, {result['runs']} run-offs.",
        f"Jobs wholly within 1/32 in: {result['in_tolerance']}, within 3/64 in: {result['within_3_64']}.",
        f"Jobs with any place more than 1/32 in too deep: {result['over_shaped']}.",
        f"Jobs whose steps came to no end: {result['dead_ends']}.",
        "",
        *table(
            ("a job", "median", "9 of 10 under"),
            [
                (name.replace("_", " "), f"{result[name]['median']:.0f}", f"{result[name]['p90']:.0f}")
                for name in COUNTED
            ],
        ),
        "",
        *table(
            ("share of the run-offs", "%"),
            [(words, f"{100 * result[key]:.2f}") for key, words in SHARES.items()],
        ),
    ]
    covered = result["in_90_percent_band"]
    if covered is not None:
        lines.append(f"The truth lay inside the stated 90 % band at {100 * covered:.1f} % of the places.")
    return lines
