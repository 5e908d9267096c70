"""Recording readings that come from tablets: judged at once, stored once, never swallowed."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

import numpy as np
from sqlalchemy.orm import Session

from foamwright.bench.question_words import BEYOND, GROWN_SINCE, OFF_THE_BOARD, TOO_THICK
from foamwright.errors import Problem
from foamwright.findings import said
from foamwright.shop.database import Actor, Database
from foamwright.shop.kinds import Measured, ReadingState
from foamwright.shop.plans import stages_planned
from foamwright.shop.readings import Judge, Outcome, ReadingWish, Verdict, store_readings
from foamwright.shop.rows import require_row
from foamwright.shop.tables import JobRow, ReadingRow
from foamwright.shop.told import told
from foamwright.stages.solids import StageName
from foamwright.units import INCH, System, format_with_unit

MOST = {Measured.ROCKER: 0.4, Measured.THICKNESS: 0.35, Measured.WIDTH: 1.0}
"""Metres; wider than any blank that a sheet can describe."""

NEVER = 1.5
"""Metres; no width, thickness or rocker is read beyond: that is no slip of the tape, and nothing to keep."""

PAST_THE_TIP = 0.1
"""Metres by which a station may lie off the board: a tape hooked over the tip, a tip cut away."""

SAME_STATION = 0.006
"""Metres; about 1/4 in: nearer stations are one."""

GROWTH = INCH / 8
"""Metres; two marks of a tape read to 1/16: less is the tape, more is a slip."""


def record_readings(
    database: Database, actor: Actor, job_id: int, sent: Sequence[ReadingWish], judge: Judge
) -> Outcome:
    """Record a batch of readings and return what became of each.

    Refused are a stage that the job lacks, a value that nothing has, and a station far off the board.

    Raises
    ------
    UnknownError
        There is no such job.
    BusyError, FullError
        Nothing of the batch was stored; the tablet keeps it.
    """
    with database.writing(actor) as work:
        job = require_row(work.session, JobRow, job_id)
        stages = stages_to_read(work.session, job)
        wrong = [(one, _impossible(one, job, stages)) for one in sent]
        outcome = store_readings(work, job_id, [one for one, problem in wrong if problem is None], judge)
    refused = tuple((one.client_id, problem) for one, problem in wrong if problem is not None)
    return replace(outcome, refused=refused)


def stages_to_read(session: Session, job: JobRow) -> tuple[str, ...]:
    """Return the stages that a job is read at, in the order of the work; all of them while it has no plan.

    Stages of earlier plans count: a tablet that was away tells of the plan that it had.
    """
    planned = stages_planned(session, job)
    return tuple(
        one.value for one in StageName if one is not StageName.BLANK and (one in planned or not planned)
    )


def _no_stage(reading: ReadingWish, stages: Sequence[str]) -> Problem:
    return told("stage", "unknown-stage", written=reading.stage, choices=", ".join(stages))


def _impossible(reading: ReadingWish, job: JobRow, stages: Sequence[str]) -> Problem | None:
    """What makes a reading none at all; one that only looks wrong is stored and questioned."""
    if reading.stage not in stages:
        return _no_stage(reading, stages)
    if not 0.0 <= reading.value_m <= NEVER:
        return told("value_m", "reading-beyond", value=f"{reading.value_m:g}", most=f"{NEVER:g}")
    blank = _blank_of(job.plan) if job.plan else None
    length = float("inf") if blank is None else blank[0][-1]
    if -PAST_THE_TIP <= reading.station_m <= length + PAST_THE_TIP:
        return None
    if blank is None:
        return told("station_m", "station-below", station=f"{reading.station_m:g}")
    return told("station_m", "station-beyond", station=f"{reading.station_m:g}", length=f"{length:.3f}")


def judge_of_plan(job: JobRow, before: Sequence[ReadingRow], reading: ReadingWish) -> Verdict:
    """Question a reading that cannot be: foam that has grown, beyond any board, or outside the blank.

    In that order a tablet asks, too, without the shop (`meaning` in bench.js).
    """
    reasons = (
        "" if on_the_board(job.plan, reading) else said(*OFF_THE_BOARD),
        _grown(before, reading),
        _beyond(reading),
        _outside_the_blank(job.plan, reading),
    )
    reason = next(filter(None, reasons), "")
    return Verdict(ReadingState.QUESTIONED, reason) if reason else Verdict()


def on_the_board(plan: str | None, reading: ReadingWish) -> bool:
    """Tell whether a reading's station lies on the board of a plan; without a plan any may."""
    blank = _blank_of(plan) if plan else None
    return blank is None or -SAME_STATION <= reading.station_m <= blank[0][-1] + SAME_STATION


def _beyond(reading: ReadingWish) -> str:
    most = MOST[reading.what]
    if 0.0 <= reading.value_m <= most:
        return ""
    return said(*BEYOND[reading.what], value=_said(reading.value_m, reading))


def _outside_the_blank(plan: str | None, reading: ReadingWish) -> str:
    blank = _blank_of(plan) if plan and reading.what is Measured.THICKNESS else None
    if blank is None:
        return ""
    had = float(np.interp(reading.station_m, blank[0], blank[1]))
    if reading.value_m <= had + GROWTH:
        return ""
    return said(*TOO_THICK, had=_said(had, reading))


def _grown(before: Sequence[ReadingRow], reading: ReadingWish) -> str:
    if reading.what is Measured.ROCKER:
        # A tilted straight edge shows more rocker; that alone is no slip.
        return ""
    there = [
        row.value_m
        for row in before
        if row.what == reading.what
        and row.state == ReadingState.ACCEPTED
        and abs(row.station_m - reading.station_m) < SAME_STATION
    ]
    if not there or reading.value_m <= min(there) + GROWTH:
        return ""
    return said(*GROWN_SINCE, before=_said(min(there), reading))


def _said(metres: float, reading: ReadingWish) -> str:
    """A length in the unit that was typed, as the tablet says it."""
    return format_with_unit(metres, System.INCH if reading.written.rstrip().endswith("in") else System.MM)


@lru_cache(maxsize=64)
def _blank_of(plan: str) -> tuple[list[float], list[float]] | None:
    """The blank's thickness along the board, from the first stage of a plan."""
    document = json.loads(plan)
    stages: Sequence[Mapping[str, Any]] = document.get("stages", []) if isinstance(document, dict) else []
    first = next((stage for stage in stages if stage.get("name") == "blank"), None)
    if first is None or not first.get("x_m"):
        return None
    pairs = zip(first["deck_m"], first["bottom_m"], strict=True)
    return list(first["x_m"]), [deck - bottom for deck, bottom in pairs]
