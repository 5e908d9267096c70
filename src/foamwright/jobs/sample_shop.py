"""The sample shop's jobs as a class has them in mid-morning: planned, half done, one cut too deep."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from math import ceil, floor

from foamwright.blank.sheet import stock_from_text
from foamwright.blank.sheet_writing import stock_sheet
from foamwright.demo import demo_path
from foamwright.jobs.bench_steps_asked import Asked, asked_from
from foamwright.jobs.bench_steps_planning import plan_of_sheets
from foamwright.shop.database import Work
from foamwright.shop.jobs import give_blank
from foamwright.shop.kinds import Measured, StepState
from foamwright.shop.plans import StepWish, put_plan, set_step
from foamwright.shop.readings import ReadingWish, accept_all, store_readings
from foamwright.shop.rows import require_row
from foamwright.shop.samples import SUPPLIER, add_sample
from foamwright.shop.stock import all_stock
from foamwright.shop.tables import JobRow
from foamwright.units import System, Unit

TOO_DEEP_M = 0.004
"""How far one job is cut past its line: five strokes of 1/32 in; common practice, no source."""


MARK_M = 0.0254 / 16.0
"""A mark of the tape."""


@dataclass(frozen=True)
class Begun:
    """How far a job of the sample has come: whose, in which blank, steps done, whether cut too deep."""

    job: int
    blank: str
    board: str
    steps: int
    is_deep: bool


BEGUN = (Begun(0, "Q-6-8-2.75", "groyne", 17, True), Begun(2, "Q-6-10-2.75", "groyne", 4, False))

Made = tuple[tuple[Begun, str, tuple[StepWish, ...]], ...]


def sample_plans(system: System) -> Made:
    """Return the plans of the jobs that are begun, made before anything is written."""
    made = []
    for one in BEGUN:
        board = demo_path(f"{one.board}.board.toml").read_text("utf-8")
        made.append((one, *plan_of_sheets(board, _blank_sheet(one.blank), "", system)))
    return tuple(made)


def put_sample_in(work: Work, plans: Made) -> None:
    """Put the sample shop in, with its jobs as far as they have come; once only.

    Parameters
    ----------
    work
        The piece of work.
    plans
        As `sample_plans` made them.
    """
    jobs = add_sample(work)
    # A blank of the same name that the shop counted itself is none of the sample's, and is left on its rack.
    racked = {row.code: row.id for row in all_stock(work.session) if row.supplier == SUPPLIER}
    for one, plan, steps in plans if jobs else ():
        number = jobs[one.job]
        if one.blank not in racked:
            continue
        give_blank(work, number, racked[one.blank])
        put_plan(work, number, require_row(work.session, JobRow, number).revision, plan, steps)
        _work_on(work, number, one, steps)


def _work_on(work: Work, number: int, one: Begun, steps: tuple[StepWish, ...]) -> None:
    readings: list[ReadingWish] = []
    for n, step in enumerate(steps[: one.steps], start=1):
        asks = [asked_from(ask) for ask in step.detail["asks"]]
        for ask in asks:
            is_last = one.is_deep and n == one.steps and ask is asks[-1]
            readings.append(_reading(work, number, len(readings), step.stage, ask, is_last))
        set_step(work, number, n, StepState.DONE)
    store_readings(work, number, readings, accept_all)


def _reading(work: Work, number: int, n: int, stage: str, ask: Asked, is_deep: bool) -> ReadingWish:
    # As it is read off the tape: a mark that leaves no less foam than was expected.
    marks = (ask.limit_m - TOO_DEEP_M if is_deep else ask.expect_m) / MARK_M
    value = MARK_M * (floor(marks + 0.02) if ask.what == Measured.ROCKER else ceil(marks - 0.02))
    moment = work.now - timedelta(minutes=3)
    return ReadingWish(
        client_id=f"sample-{number}-{n:04}",
        sequence=n,
        stage=stage,
        station=ask.station,
        station_m=ask.station_m,
        what=Measured(ask.what),
        value_m=value,
        written="",
        tool=ask.tool,
        tablet_at=moment,
    )


def _blank_sheet(code: str) -> str:
    blanks = stock_from_text(demo_path("harbour.stock.toml").read_text("utf-8"), "stock.toml")
    return stock_sheet([one for one in blanks if one.id == code], Unit.INCH)
