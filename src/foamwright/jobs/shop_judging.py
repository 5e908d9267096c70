"""What the shop thinks of a reading: `foamwright.bench` judges it, by the job's plan, bay and strokes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from sqlalchemy import select
from sqlalchemy.orm import Session, object_session

from foamwright.bay.bay import Bay
from foamwright.bench.as_is import Memory, left_of, stretches, wanted_value
from foamwright.bench.belief import ChipFactor, Made
from foamwright.bench.entries import Entry, Event, State, Stroked, Taken
from foamwright.bench.plan_file import JobPlan
from foamwright.bench.questions import LIMIT, Case, judged
from foamwright.bench.readings import Measured, Reading, Tool
from foamwright.errors import InputError
from foamwright.jobs.bench_steps_advice import plan_kept
from foamwright.jobs.bench_steps_planning import bay_of_sheet
from foamwright.jobs.bench_steps_told import STAGES, entries_told, tool_of
from foamwright.jobs.shop_readings import judge_of_plan, on_the_board
from foamwright.shop.database import Database
from foamwright.shop.kinds import ReadingState
from foamwright.shop.readings import ReadingWish, Verdict
from foamwright.shop.tables import JobRow, ReadingRow
from foamwright.stages.solids import StageName
from foamwright.units import System

UNTOLD = "More is gone than the strokes told took, and no more than is planned."
"""Why a reading is taken that strokes which were told do not explain."""


def judge_at_bench(job: JobRow, before: Sequence[ReadingRow], reading: ReadingWish) -> Verdict:
    """Judge a reading as the command line does; one of a job without a plan, by what cannot be at all.

    Parameters
    ----------
    job
        The job, as the present piece of work has it.
    before
        Its readings so far.
    reading
        What a tablet tells now.
    """
    plan, session = _plan_of(job), object_session(job)
    if plan is None or session is None or reading.stage not in STAGES:
        return judge_of_plan(job, before, reading)
    impossible = judge_of_plan(job, (), reading)
    if impossible.state is ReadingState.QUESTIONED and not on_the_board(job.plan, reading):
        return impossible
    entries, bay = _history(session, job, before), bay_of_sheet(job.bay_sheet)
    known = _Known(plan, bay, entries, _memory(job.id, job.plan or "", job.bay_sheet))
    verdict = _judged(known, reading)
    if verdict.state is ReadingState.QUESTIONED:
        # The tablet has asked the person by these rules already: both say one reason. What slip it was is
        # guessed only past them.
        return _either(judge_of_plan(job, before, reading), verdict)
    # A reading that bench has nothing to hold against may still be one that cannot be at all.
    return _either(impossible, verdict)


@dataclass(frozen=True, eq=False)
class _Known:
    """What a reading is judged by."""

    plan: JobPlan
    bay: Bay
    entries: tuple[Entry, ...]
    memory: Memory


def _either(impossible: Verdict, verdict: Verdict) -> Verdict:
    return impossible if impossible.state is ReadingState.QUESTIONED else verdict


def warm_up(database: Database) -> None:
    """Judge a reading of the newest plan and think no more of it, so that the first true one need not wait.

    The compiled loops are loaded then, which takes a second, and not while the database is held for writing.
    """
    with database.reading() as session:
        planned = select(JobRow).where(JobRow.plan.is_not(None)).order_by(JobRow.changed_at.desc()).limit(1)
        job = session.scalars(planned).first()
    plan = None if job is None else _plan_of(job)
    if plan is None or not plan.runs:
        return
    run = plan.runs[0]
    faces, tip = plan.stages[run.stage], run.station(0.0)
    planned_there = plan.at(faces.deck - faces.bottom, tip)
    reading = Reading(run.stage, tip, Measured.THICKNESS, planned_there, Tool.CALIPERS)
    events: tuple[Event, ...] = (
        Taken(reading),
        *(
            Stroked(run.stage, run.end, Made(one.start_from_tip, None, one.chip), 1)
            for one in run.run.strokes[:1]
        ),
    )
    entries = tuple(Entry(n, "", event) for n, event in enumerate(events, start=1))
    found = stretches(plan, entries, Bay(), ChipFactor(), run.stage)
    judged(Case(plan, reading, Bay(), found), entries, System.INCH)


def _judged(known: _Known, sent: ReadingWish) -> Verdict:
    reading, bay = _reading(sent), known.bay
    part = _part_of(known.plan, reading.stage)
    found = stretches(part, known.entries, bay, ChipFactor(), reading.stage, known.memory)
    system = System.MM if sent.written.rstrip().endswith("mm") else System.INCH
    case = Case(known.plan, reading, bay, found)
    taken = judged(case, known.entries, system)
    if taken.state is State.QUESTIONED and _is_untold_work(case, known.entries, system):
        return Verdict(ReadingState.ACCEPTED, UNTOLD)
    state = ReadingState.QUESTIONED if taken.state is State.QUESTIONED else ReadingState.ACCEPTED
    return Verdict(state, taken.reason)


def _is_untold_work(case: Case, entries: Sequence[Entry], system: System) -> bool:
    """Whether planned strokes that no tablet told explain why less is left than was expected.

    Nobody need tick strokes at the bench, and passes and sanding are not told stroke by stroke at all: what
    has come off without a word is no slip as long as the stage is not past its end.
    """
    stretch, missed = case.about(case.reading), case.missed(case.reading.value)
    if stretch is None or missed is None or missed >= 0.0:
        return False
    if stretch.run is not None and stretch.strokes >= len(stretch.run.run.strokes):
        return False
    left = left_of(stretch, case.reading, case.plan)
    if left is None or left < -LIMIT * case.reading.error(case.bay.tape):
        return False
    expected = wanted_value(case.plan, case.reading, stretch.at(case.reading.x)[0])
    as_expected = replace(case, reading=replace(case.reading, value=expected))
    # Questioned for its tool or its place, it is questioned whatever it says.
    return judged(as_expected, entries, system).state is State.ACCEPTED


def _history(session: Session, job: JobRow, before: Sequence[ReadingRow]) -> tuple[Entry, ...]:
    # The rows of this batch are part of `before` already; nothing need be written to look for strokes.
    with session.no_autoflush:
        return entries_told(session, job, before)


def _plan_of(job: JobRow) -> JobPlan | None:
    if not job.plan:
        return None
    try:
        return plan_kept(job.plan)
    except InputError:
        # A plan of another form: the readings are stored all the same.
        return None


def _reading(sent: ReadingWish) -> Reading:
    what = Measured(sent.what.value)
    tool = tool_of(sent.tool, what)
    return Reading(StageName(sent.stage), sent.station_m, what, sent.value_m, tool, station=sent.station)


@lru_cache(maxsize=256)
def _part_of(plan: JobPlan, stage: StageName) -> JobPlan:
    """The part of a plan that a reading of one stage is judged by: half the work while a tablet waits.

    That is the stage, the one before it that it is cut from, and earlier stages with run-offs: what is known
    of a plane's chip is handed on from run to run.
    """
    before = plan.order[: plan.order.index(stage)]
    runs = {run.stage for run in plan.runs}
    kept = [one for one in before if one in runs or one in (before[0], before[-1])] if before else []
    return replace(plan, stages={one: plan.stages[one] for one in (*kept, stage)})


@lru_cache(maxsize=256)
def _memory(_job: int, _plan: str, _bay: str) -> Memory:
    """What was worked out for a job before, so that one more reading costs one more step."""
    return Memory()
