"""Orders made by chance, nested: is the gap proved, how long does it take, is first-fit ever better?"""

from __future__ import annotations

import statistics
import sys
import time
import tomllib
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from foamwright.making.nest.choosing import choose
from foamwright.making.nest.filled import holds
from foamwright.making.nest.program import program_of
from foamwright.making.nest.sheet import order_from_text
from tests.nest_orders import order_text
from tests.published.test_cutting_stock import program as published_program

DATA = Path(__file__).resolve().parents[1] / "tests" / "published" / "data"
QUICK = 6
GAP = 0.05
SECONDS = 60.0


def nested(seed: int) -> dict:
    """Nest one order; its sheet is read and its profiles are made too."""
    began, busy = time.perf_counter(), time.process_time()
    program = program_of(order_from_text(order_text(seed), f"{seed}.order.toml", Path()))
    chosen = choose(program)
    assert holds(program, chosen.plan), f"order {seed} is not served exactly"
    assert chosen.bound <= chosen.cost <= chosen.first_fit, f"order {seed}: worse than first-fit decreasing"
    return {
        "seed": seed,
        "gap": chosen.gap,
        "saved": 1.0 - chosen.cost / chosen.first_fit,
        "seconds": time.perf_counter() - began,
        "busy": time.process_time() - busy,
        "pieces": int(program.wanted.sum()),
        "blocks": len(chosen.plan.blocks),
    }


def published() -> int:
    """How many of the published cutting-stock instances come to their known optimum."""
    known = tomllib.loads((DATA / "cutting_stock.toml").read_text())
    numbers = known["gams_cutstock_data"]["value"]
    words = [int(word) for word in (DATA / "u120_00.txt").read_text().split()]
    sizes = sorted(set(words[3:]))
    widths, demand = known["cs5600_widths"]["value"], known["cs5600_demand"]["value"]
    cases = (
        (5600, widths, demand, known["cs5600_optimum"]["value"]),
        (100, numbers[:4], numbers[4:], known["gams_cutstock_optimum"]["value"]),
        (words[0], sizes, [words[3:].count(size) for size in sizes], known["u120_00_optimum"]["value"]),
    )
    found = [(choose(published_program(*case[:3])), case[3]) for case in cases]
    return sum(chosen.cost == chosen.bound == best for chosen, best in found)


def rows(count: int = 50) -> list[dict]:
    """Nest `count` orders, and the published instances."""
    nested(4)  # the kernels are compiled
    done = [nested(seed) for seed in range(count)]
    seconds = [one["seconds"] for one in done]
    return [
        row("orders with a gap proved under 5 %", sum(o["gap"] < GAP for o in done), "orders", str(count)),
        row("orders proved to be the best", sum(o["gap"] == 0.0 for o in done), "orders"),
        row("worst gap", 100.0 * max(o["gap"] for o in done), "%", "under 5"),
        row("longest of them, processor", max(o["busy"] for o in done), "s", "under 60"),
        row("longest of them, clock", max(seconds), "s", "under 60"),
        row("median of them, clock", statistics.median(seconds), "s"),
        row("never worse than first-fit decreasing", len(done), "orders", str(count)),
        row("saved against first-fit decreasing, mean", 100 * statistics.mean(o["saved"] for o in done), "%"),
        row("pieces in the largest order", max(o["pieces"] for o in done), "pieces"),
        row("published instances at their known optimum, proved", published(), "instances", "3"),
    ]


def row(name: str, value: float, unit: str, asked: str = "") -> dict:
    """One line of the table."""
    return {"name": name, "value": value, "unit": unit, "asked": asked}


if __name__ == "__main__":
    for line in rows(int(sys.argv[1]) if len(sys.argv) > 1 else 50):
        print(f"{line['name']:<62} {line['value']:>12.4g} {line['unit']:<10} {line['asked']}")
