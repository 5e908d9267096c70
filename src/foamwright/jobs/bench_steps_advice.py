"""Advice for a job of the shop as it stands: what its bench told, brought before `foamwright.bench`."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.bench.advice import Advice, advise
from foamwright.bench.as_is import stretches
from foamwright.bench.belief import ChipFactor, Made
from foamwright.bench.entries import Entry, Event, State, Stroked, Taken
from foamwright.bench.plan_file import JobPlan, plan_from
from foamwright.bench.readings import FITTING, Measured, Reading, Tool
from foamwright.cuts.runs import End
from foamwright.jobs.bench_steps_planning import bay_of_sheet
from foamwright.shop.kinds import ReadingState
from foamwright.shop.plans import steps_of
from foamwright.shop.readings import readings_of
from foamwright.shop.tables import JobRow, ReadingRow, StepRow, StrokesRow
from foamwright.stages.marks import rack_stations
from foamwright.stages.solids import StageName
from foamwright.units import System


@dataclass(frozen=True, slots=True)
class Moment:
    """Something told at the bench, and when the tablet says it was."""

    at: datetime
    event: Event


def advise_at_bench(session: Session, job: JobRow, system: System) -> Advice | None:
    """Return the advice for a job, or ``None`` before anything was told or planned.

    Strokes are taken as the step's groups in order; those that were ticked and taken back do not count.
    It is given with the bay that the job was planned with.
    """
    if not job.plan:
        return None
    told = [*_readings(readings_of(session, job.id)), *_strokes(session, job)]
    if not told:
        return None
    plan = _plan_of(job.plan)
    told.sort(key=lambda one: one.at)
    entries = tuple(Entry(n, one.at.isoformat(), one.event) for n, one in enumerate(told, start=1))
    found = stretches(plan, entries, bay_of_sheet(job.bay_sheet), ChipFactor())
    return advise(plan, found, [station.x for station in rack_stations(plan.length, system)])


@lru_cache(maxsize=32)
def _plan_of(text: str) -> JobPlan:
    return plan_from(text, "plan")


def _readings(rows: Sequence[ReadingRow]) -> Iterator[Moment]:
    for row in rows:
        if row.state == ReadingState.ACCEPTED and row.stage in set(StageName):
            yield Moment(row.tablet_at, Taken(_reading(row), State.ACCEPTED))


def _reading(row: ReadingRow) -> Reading:
    what = Measured(row.what)
    tool = Tool(row.tool) if row.tool in set(Tool) else FITTING[what][0]
    return Reading(StageName(row.stage), row.station_m, what, row.value_m, tool, station=row.station)


def _strokes(session: Session, job: JobRow) -> Iterator[Moment]:
    ours = (StrokesRow.job_id == job.id, StrokesRow.plan_revision == job.plan_revision)
    rows = session.scalars(select(StrokesRow).where(*ours).order_by(StrokesRow.id)).all()
    for step in steps_of(session, job):
        made = [row for row in rows if row.step == step.number]
        if made and step.detail["end"]:
            yield from _groups(step, sum(row.count for row in made), max(row.tablet_at for row in made))


def _groups(step: StepRow, count: int, at: datetime) -> Iterator[Moment]:
    for group in step.detail["groups"]:
        taken = min(count, group["count"])
        if taken <= 0:
            return
        count -= taken
        made = Made(group["start_m"], group["end_m"], group["chip_m"])
        yield Moment(at, Stroked(StageName(step.stage), End(step.detail["end"]), made, taken))
