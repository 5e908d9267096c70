"""Advice for a job of the shop as it stands: what its bench told, brought before `foamwright.bench`."""

from __future__ import annotations

from functools import lru_cache

from sqlalchemy.orm import Session

from foamwright.bench.advice import Advice, advise
from foamwright.bench.as_is import stretches
from foamwright.bench.belief import ChipFactor
from foamwright.bench.plan_file import JobPlan, plan_from
from foamwright.jobs.bench_steps_planning import bay_of_sheet
from foamwright.jobs.bench_steps_told import entries_told
from foamwright.shop.readings import readings_of
from foamwright.shop.tables import JobRow
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
    found = stretches(plan, entries, bay_of_sheet(job.bay_sheet), ChipFactor())
    return advise(plan, found, [station.x for station in rack_stations(plan.length, system)])


@lru_cache(maxsize=64)
def plan_kept(text: str) -> JobPlan:
    """Return the plan in a job's document, read once.

    Raises
    ------
    InputError
        It is no plan.
    """
    return plan_from(text, "plan")
