"""What a job's bench told the shop, as entries of the history that `foamwright.bench` works with.

They stand in the order in which the shop got them: a tablet sends in order, and its clock may be wrong.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.bench.belief import Made
from foamwright.bench.entries import Entry, Event, State, Stroked, Taken
from foamwright.bench.readings import FITTING, Measured, Reading, Tool
from foamwright.cuts.run import End
from foamwright.shop.kinds import ReadingState
from foamwright.shop.plans import steps_of
from foamwright.shop.tables import JobRow, ReadingRow, StepRow, StrokesRow
from foamwright.stages.solids import StageName

STAGES = frozenset(stage.value for stage in StageName)
TOOLS = frozenset(tool.value for tool in Tool)
STATES = {ReadingState.ACCEPTED: State.ACCEPTED, ReadingState.QUESTIONED: State.QUESTIONED}
"""What is set aside by a teacher does not count at all."""


@dataclass(frozen=True, slots=True)
class Moment:
    """Something told at the bench, and when the shop got it."""

    at: datetime
    event: Event


def entries_told(session: Session, job: JobRow, readings: Sequence[ReadingRow]) -> tuple[Entry, ...]:
    """Return a job's history: its readings and the strokes of its present plan.

    Strokes are taken as the step's groups in order; those that were ticked and taken back do not count.

    Parameters
    ----------
    session, job
        The job.
    readings
        Those of its readings that are meant, in the order in which they came.
    """
    told = [*_readings(readings), *_strokes(session, job)]
    told.sort(key=lambda one: one.at)
    return tuple(Entry(n, one.at.isoformat(), one.event) for n, one in enumerate(told, start=1))


def tool_of(name: str, what: Measured) -> Tool:
    """Return a tool by its name; the usual one for what is measured if a tablet names none that we know."""
    return Tool(name) if name in TOOLS else FITTING[what][0]


def _readings(rows: Sequence[ReadingRow]) -> Iterator[Moment]:
    for row in rows:
        state = STATES.get(ReadingState(row.state))
        if state is not None and row.stage in STAGES:
            yield Moment(row.stored_at, Taken(_reading(row), state, row.reason))


def _reading(row: ReadingRow) -> Reading:
    what = Measured(row.what)
    tool = tool_of(row.tool, what)
    return Reading(StageName(row.stage), row.station_m, what, row.value_m, tool, station=row.station)


def _strokes(session: Session, job: JobRow) -> Iterator[Moment]:
    ours = (StrokesRow.job_id == job.id, StrokesRow.plan_revision == job.plan_revision)
    rows = session.scalars(select(StrokesRow).where(*ours).order_by(StrokesRow.id)).all()
    if not rows:
        return
    for step in steps_of(session, job):
        made = [row for row in rows if row.step == step.number]
        if made and step.detail["end"]:
            yield from _groups(step, sum(row.count for row in made), max(row.stored_at for row in made))


def _groups(step: StepRow, count: int, at: datetime) -> Iterator[Moment]:
    for group in step.detail["groups"]:
        taken = min(count, group["count"])
        if taken <= 0:
            return
        count -= taken
        made = Made(group["start_m"], group["end_m"], group["chip_m"])
        yield Moment(at, Stroked(StageName(step.stage), End(step.detail["end"]), made, taken))
