"""Run-offs as lines of a table: what `cuts_runoffs` measures, with its promises asserted."""

from __future__ import annotations

import re
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks import cuts_runoffs
from foamwright.bay.bay import Bay


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of a benchmark's table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


def number(text: str, before: str) -> float:
    """The number that follows some words."""
    found = re.search(re.escape(before) + r"\s*([0-9.]+)", text)
    assert found is not None, (before, text)
    return float(found[1])


def family(name: str, tools, count: int) -> list[dict]:
    """Random targets of a family: never below, never high without saying why; never high with a whole bay."""
    told = cuts_runoffs.measure_family(getattr(cuts_runoffs, name), tools, count)
    assert number(told, "below target") == 0, told
    assert number(told, "high without saying") == 0, told
    whole = isinstance(tools, Bay)
    assert not whole or number(told, "within tolerance") == count, told
    named = f"{count} {name} targets, {'planes as `plan` takes them' if whole else tools.name}"
    return [
        row(f"{named}: below the target", number(told, "below target"), "", "0"),
        row(f"{named}: within tolerance", number(told, "within tolerance"), "", str(count) if whole else ""),
        row(f"{named}: median time of a run", number(told, "time median"), "ms"),
    ]


def rows(count: int = 1000) -> list[dict]:
    """Everything."""
    lines = [
        line
        for name in ("bulging", "hollow")
        for tools in (cuts_runoffs.JACK, cuts_runoffs.BLOCK, Bay())
        for line in family(name, tools, count)
    ]
    four, one = cuts_runoffs.time_four_runs(), cuts_runoffs.time_one_stroke()
    return [
        *lines,
        row("four runs of a board, best of 20", number(four, "best"), "ms"),
        row("one simulated stroke", number(one, "one stroke:"), "us"),
    ]


if __name__ == "__main__":
    for line in rows():
        print(f"{line['name']:<66} {line['value']:>12.4g} {line['unit']:<9} {line['asked']}")
