"""Plans that several tests look at, made once."""

from __future__ import annotations

from functools import cache

from foamwright.demo import demo_path
from foamwright.jobs.picking import Job, read_job
from foamwright.jobs.planning import plan_job
from foamwright.planning.plan import Plan
from foamwright.units import System


@cache
def demo_job(name: str = "groyne") -> Job:
    """Return a demo job: a board, the demo's stock and its bay."""
    return read_job(
        demo_path(f"{name}.board.toml"), demo_path("harbour.stock.toml"), demo_path("harbour.bay.toml")
    )


@cache
def demo_plan(name: str = "groyne") -> Plan:
    """Return a demo job's plan."""
    return plan_job(demo_job(name), None, System.INCH)
