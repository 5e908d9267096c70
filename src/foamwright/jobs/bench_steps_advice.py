"""Advice for a job of the shop as it stands: what its bench told, brought before `foamwright.bench`."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from sqlalchemy.orm import Session

from foamwright.bench.advice import Advice, advise
from foamwright.bench.next_step import bench_of
from foamwright.bench.plan_file import JobPlan, plan_from
from foamwright.jobs.bench_steps_planning import bay_of_sheet
from foamwright.jobs.bench_steps_told import entries_told
from foamwright.jobs.shop_readings import SAME_STATION
from foamwright.shop.plans import steps_of
from foamwright.shop.readings import readings_of
from foamwright.shop.tables import JobRow, StepRow
from foamwright.stages.marks import rack_stations
from foamwright.units import System


def advise_at_bench(session: Session, job: JobRow, system: System) -> Advice | None:
    """Return the advice for a job, or ``None`` before anything was told or planned.

    It is given with the bay that the job was planned with.
    """
    if not job.plan:
        return None
    entries = entries_told(session, job, readings_of(session, job.id))
    if not entries:
        return None
    plan = plan_kept(job.plan)
    bench = bench_of(plan, entries, bay_of_sheet(job.bay_sheet))
    return advise(bench, _stations(steps_of(session, job), plan.length, system))


def _stations(steps: Sequence[StepRow], length: float, system: System) -> list[float]:
    """Return the stations that are marked on the job's blank: those that its steps ask at, as it was planned.

    A reader in another unit still stands before these marks. `system` decides where no step asks anything.
    """
    asked = sorted({float(ask["station_m"]) for step in steps for ask in step.detail.get("asks", ())})
    apart = [x for x, before in zip(asked, [-1.0, *asked], strict=False) if x - before > SAME_STATION]
    return apart or [station.x for station in rack_stations(length, system)]


@lru_cache(maxsize=64)
def plan_kept(text: str) -> JobPlan:
    """Return the plan in a job's document, read once.

    Raises
    ------
    InputError
        It is no plan.
    """
    return plan_from(text, "plan")
