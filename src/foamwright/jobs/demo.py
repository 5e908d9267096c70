"""The demo: two invented boards planned from an invented workshop's stock."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from foamwright.demo import demo_path
from foamwright.jobs.after_foam import read_after
from foamwright.jobs.job_sheets import GivenSheets
from foamwright.jobs.picking import read_job
from foamwright.jobs.planning import Along, plan_job, write_papers
from foamwright.planning.plan import Plan
from foamwright.units import System

BOARDS = ("groyne", "breakwater")
"""The demo's boards: a short one, and a long one with 3 in of nose rocker."""


def demo_plans(folder: Path, paper: str, system: System) -> Iterator[tuple[Plan, tuple[Path, ...]]]:
    """Plan each demo board, write its papers into a folder of its own, and yield both."""
    rider, bay = demo_path("demo.rider.toml"), demo_path("harbour.bay.toml")
    after = read_after(rider, None)
    for name in BOARDS:
        board = demo_path(f"{name}.board.toml")
        plan = plan_job(read_job(board, demo_path("harbour.stock.toml"), bay), None, system)
        along = Along(after, "full", sheets=GivenSheets(board, bay, rider))
        yield plan, write_papers(plan, folder / name, paper, system, along)
