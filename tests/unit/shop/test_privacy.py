"""A person's data: all of it shown, deleted only when nothing waits, and the board's numbers stay."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing

import pytest
from bench_support import add_planned_job
from order_support import OWNER, REACH, open_trade, take
from sqlalchemy import text

from foamwright.shop.bills import give_bill, note_payment
from foamwright.shop.courses import CourseWish, add_course, add_pupil, move_course, set_report, sign_brief
from foamwright.shop.kinds import Event, Shelf
from foamwright.shop.order_kinds import BillKind, OrderState
from foamwright.shop.order_round import set_state
from foamwright.shop.orders import require_order
from foamwright.shop.privacy import data_of, forget_person
from foamwright.shop.tables import JobRow, Person
from foamwright.shop.told import ConflictError, ShopError


@pytest.fixture
def trade(database):
    open_trade(database)
    return database


def ordered(database):
    """An order of Ada's that was paid, billed and worked at, and a course she was in."""
    order = take(database, title="Ada Reef's Groyne", note="likes it stiff", colour="her mother's green")
    with database.writing(OWNER) as work:
        give_bill(work, order.id, BillKind.INVOICE)
        note_payment(work, order.id, 22500)
        row = require_order(work.session, order.id)
        set_state(work, order.id, row.revision, OrderState.ON_THE_RACK)
        course = add_course(work, CourseWish("First board"))
    job = add_planned_job(database, "Ada Reef, second")
    with database.writing(OWNER) as work:
        pupil = add_pupil(work, course.id, order.person_id, job)
        sign_brief(work, job, "ada reef", "read")
        set_report(work, pupil.id, {"well": "Ada asked first."})
        work.session.get(JobRow, job).rider_id = order.person_id
    return order, course


def forget(database, person, name="Ada Reef"):
    with database.writing(OWNER) as work:
        forget_person(work, person, name)


def finish(database, order, course):
    with database.writing(OWNER) as work:
        row = require_order(work.session, order.id)
        set_state(work, order.id, row.revision, OrderState.HANDED_OVER)
        move_course(work, course.id, Shelf.ARCHIVE)


def test_everything_is_shown(trade):
    order, _ = ordered(trade)
    with trade.reading() as session:
        told = json.loads(data_of(session, order.person_id).as_json())
    assert told["contact"]["reach"] == REACH
    assert told["orders"][0]["payments"][0]["amount"] == 22500
    assert told["bills"][0]["recipient"].startswith("Ada Reef")
    assert (told["courses"][0]["signed_as"], told["courses"][0]["report"]["well"]) == (
        "ada reef",
        "Ada asked first.",
    )
    assert "person-saved" in {one["what"] for one in told["history"]}


def test_a_person_who_still_waits_is_not_deleted(trade):
    order, course = ordered(trade)
    with pytest.raises(ConflictError, match=r"still waits for 1 of ours: 1 \(Ada Reef's Groyne\)") as wrong:
        forget(trade, order.person_id)
    assert "is in a course that is not over: First board" in str(wrong.value)
    finish(trade, order, course)
    with pytest.raises(ShopError, match="“Bob” is not the name"):
        forget(trade, order.person_id, "Bob")
    with trade.reading() as session:
        assert session.get(Person, order.person_id).name == "Ada Reef"


def test_deleting_keeps_the_numbers_and_leaves_no_name_anywhere(trade, database_url):
    order, course = ordered(trade)
    finish(trade, order, course)
    forget(trade, order.person_id)
    with trade.reading() as session:
        row = require_order(session, order.id)
        assert (row.person_id, row.board_sheet, row.length_m) == (None, order.board_sheet, order.length_m)
        bills = session.execute(text("SELECT number, total, recipient FROM bills")).all()
        assert bills == [(1, 75000, "")]
        assert session.execute(text("SELECT count(*) FROM steps")).scalar() > 10
    assert names_left(trade) == []


def names_left(database):
    """Tables in which any text still holds the person's name or contact."""
    from foamwright.shop.portable import tables_in_order

    found = []
    with database.engine.connect() as connection:
        for table in tables_in_order():
            for row in connection.execute(table.select()):
                held = json.dumps([str(value) for value in row], ensure_ascii=False).casefold()
                found += [
                    table.name
                    for word in ("ada reef", "reef.example", "her mother", "ada asked")
                    if word in held
                ]
    return sorted(set(found))


def test_the_search_for_names_finds_them_before(trade):
    ordered(trade)
    assert {"people", "contacts", "bills", "orders", "jobs", "history", "pupils"} <= set(names_left(trade))


def test_an_export_that_holds_orders_comes_back_whole(trade, tmp_path, open_shop, clock):
    from foamwright.shop.exporting import export_file
    from foamwright.shop.restoring import restore

    ordered(trade)
    export_file(trade, tmp_path / "all.zip")
    restore(tmp_path / "all.zip", f"sqlite:///{tmp_path / 'back.sqlite'}", tmp_path, clock=clock)
    open_shop(f"sqlite:///{tmp_path / 'back.sqlite'}").close()
    with closing(sqlite3.connect(tmp_path / "back.sqlite")) as back:
        assert back.execute("SELECT name, total FROM bills").fetchall() == [("I-00001", 75000)]
        assert back.execute("SELECT last FROM counters").fetchall() == [(1,)]
        assert back.execute("SELECT count(*) FROM pupils").fetchall() == [(1,)]


@pytest.mark.parametrize("name", ["Ömer Reef", '"Bob" Reef', "李", "O'Neil-Reef"])
def test_history_is_searched_whole_whatever_letters_a_name_has(trade, name):
    order = take(trade, title=f"{name.upper()}'s board")
    with trade.writing(OWNER) as work:
        work.session.get(Person, order.person_id).name = name
        work.tell(Event.NOTE, text=f"{name} asked for more rocker")
    with trade.reading() as session:
        told = [one["detail"] for one in data_of(session, order.person_id).history]
    assert {"text": f"{name} asked for more rocker"} in told
