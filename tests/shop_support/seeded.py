"""A shop with a stock, a board, a rider and a job in it, for tests in a browser."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from foamwright.blank.sheet import stock_from_text
from foamwright.shop.boards import add_board
from foamwright.shop.database import Actor
from foamwright.shop.jobs import JobWish, give_blank, open_job
from foamwright.shop.kinds import Measured, ReadingState, Role
from foamwright.shop.notes import add_note
from foamwright.shop.opening import open_database
from foamwright.shop.people import PersonWish, add_person
from foamwright.shop.readings import ReadingWish, Verdict, store_readings
from foamwright.shop.stock import CountRule, take_in
from foamwright.units import Unit

EXAMPLES = Path(__file__).parents[2] / "examples"


def seed(folder: Path) -> None:
    """Fill the database in a data folder."""
    stock = stock_from_text((EXAMPLES / "two-yards.stock.toml").read_text("utf-8"), "stock")
    shop = open_database(f"sqlite:///{folder / 'shop.sqlite'}")
    with shop.writing(Actor("seed")) as work:
        take_in(work, stock, "Yard by the harbour", Unit.INCH, CountRule.SET)
        board = add_board(work, (EXAMPLES / "groyne-6-4.board.toml").read_text("utf-8"))
        rider = add_person(work, PersonWish("Mara", 72.5, 1.78, "beginner", "sea, 18 C"))
        job = open_job(work, JobWish("First board", rider.id, board.id, "Wants it by the spring."))
        give_blank(work, job.id, 1)
        add_note(work, job.id, Role.TEACHER, "Turn the plane at the nose.")
        readings = [_reading(n, value) for n, value in enumerate((0.060, 0.058, 0.071))]
        store_readings(work, job.id, readings, _doubts_the_last)
    shop.close()


def _reading(n: int, value_m: float) -> ReadingWish:
    moment = datetime(2026, 3, 2, 9, n, tzinfo=UTC)
    return ReadingWish(
        f"tablet-{n:016}", n, "rocker", "centre", 0.965, Measured.THICKNESS, value_m, "", "caliper", moment
    )


def _doubts_the_last(_job: object, before: object, _one: object) -> Verdict:
    assert isinstance(before, list)
    return Verdict(ReadingState.QUESTIONED, "Foam does not grow.") if len(before) == 2 else Verdict()
