"""A sample shop: the demo's stock, boards, riders and their jobs; put in, and put away again, in one act."""

from __future__ import annotations

import json

from sqlalchemy.orm import Session

from foamwright.blank.sheet import stock_from_text
from foamwright.demo import demo_path
from foamwright.shop.about import set_value, value_of
from foamwright.shop.boards import add_board, move_board
from foamwright.shop.database import Work
from foamwright.shop.jobs import JobWish, move_job, open_job
from foamwright.shop.kinds import Shelf
from foamwright.shop.people import PersonWish, add_person, move_person
from foamwright.shop.stock import CountRule, all_stock, move_blank, take_in
from foamwright.units import Unit

NOTED = "sample-shop"
"""Where the shop notes what of it is the sample."""

SUPPLIER = "Sample"
RIDERS = (
    ("Ana", 68.0, 1.70, "intermediate"),
    ("Bo", 82.0, 1.84, "advanced"),
    ("Cleo", 59.0, 1.63, "beginner"),
)
"""Invented riders: kilograms, metres."""


def has_sample(session: Session) -> bool:
    """Return whether the sample shop is in."""
    return value_of(session, NOTED) is not None


def add_sample(work: Work) -> tuple[int, ...]:
    """Put the sample shop in: stock, two boards, three riders, a class of three jobs. Once only.

    Returns
    -------
    tuple
        The jobs' numbers; empty if it is in already.
    """
    if has_sample(work.session):
        return ()
    known = {row.code for row in all_stock(work.session)}
    blanks = stock_from_text(demo_path("harbour.stock.toml").read_text("utf-8"), "stock.toml")
    for row in all_stock(work.session, Shelf.ARCHIVE):
        if row.supplier == SUPPLIER and row.code not in known:
            move_blank(work, row.id, Shelf.IN_USE)
    mine = [one for one in blanks if one.id not in known]
    take_in(work, mine, SUPPLIER, Unit.INCH, CountRule.SET)
    boards = [
        add_board(work, demo_path(f"{name}.board.toml").read_text("utf-8")).id
        for name in ("groyne", "breakwater")
    ]
    people = [add_person(work, PersonWish(*one, "sea, 15 C")).id for one in RIDERS]
    jobs = [
        open_job(work, JobWish(f"{one[0]}", person, boards[n % 2], "")).id
        for n, (one, person) in enumerate(zip(RIDERS, people, strict=True))
    ]
    codes = [one.id for one in mine]
    noted = {"boards": boards, "people": people, "jobs": jobs, "blanks": codes}
    set_value(work.session, NOTED, json.dumps(noted))
    return tuple(jobs)


def put_sample_away(work: Work) -> None:
    """Put the sample shop into the archive: nothing of a person's own is touched, and nothing is lost."""
    kept = value_of(work.session, NOTED)
    if kept is None:
        return
    noted = json.loads(kept)
    for number in noted["jobs"]:
        move_job(work, number, Shelf.ARCHIVE)
    for number in noted["boards"]:
        move_board(work, number, Shelf.ARCHIVE)
    for number in noted["people"]:
        move_person(work, number, Shelf.ARCHIVE)
    for row in all_stock(work.session):
        if row.code in noted["blanks"]:
            move_blank(work, row.id, Shelf.ARCHIVE)
    set_value(work.session, NOTED, None)
