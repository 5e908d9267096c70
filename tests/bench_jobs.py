"""A planned job for the bench's tests, made once: its document, and folders that hold it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from foamwright.bay.bay import Bay
from foamwright.bench.plan_file import JobPlan, plan_from
from foamwright.bench.store import FolderStore
from foamwright.documents import json_bytes
from foamwright.jobs.bench_job import BenchJob
from foamwright.units import System
from tests.plans import demo_plan


@cache
def plan_bytes() -> bytes:
    """Return the demo's plan.json."""
    return json_bytes(demo_plan().as_json())


@cache
def job_plan() -> JobPlan:
    """Return the demo's plan as the bench reads it."""
    return plan_from(plan_bytes(), "plan.json")


def job_folder(folder: Path) -> Path:
    """Put the demo's plan into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "plan.json").write_bytes(plan_bytes())
    return folder


def bench_job(folder: Path) -> BenchJob:
    """Return the demo's job in a folder, with a clock that stands still."""
    store = FolderStore(job_folder(folder), clock=lambda: "2026-01-01T00:00:00+00:00")
    return BenchJob(store, job_plan(), Bay(), System.INCH)
