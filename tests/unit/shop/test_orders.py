"""Orders go round: taken, charged, promised a blank, opened as jobs, glassed, handed over, put away."""

from __future__ import annotations

import pytest
from order_support import OWNER, open_trade, take

from foamwright.shop.bills import note_payment, order_sums, payments_of
from foamwright.shop.calendar_file import calendar_file
from foamwright.shop.jobs import JobWish, give_blank, open_job, set_stage
from foamwright.shop.kinds import JobState
from foamwright.shop.money import Line
from foamwright.shop.order_kinds import OrderState
from foamwright.shop.order_round import (
    OrderQuery,
    count_late,
    counts_of,
    find_orders,
    orders_due,
    put_old_away,
    round_of,
    set_put_away_days,
    set_state,
)
from foamwright.shop.orders import OrderWish, change_order, jobs_of, lines_of, same_again, take_order
from foamwright.shop.reservations import promised
from foamwright.shop.stock import find_blank
from foamwright.shop.supplies import SupplyWish, needs_of, purchase_list, set_blank_level, set_supply
from foamwright.shop.tables import StockBlank
from foamwright.shop.told import ConflictError, ShopError


@pytest.fixture
def trade(database):
    open_trade(database)
    return database


def move(database, order, state):
    with database.writing(OWNER) as work:
        return set_state(work, order.id, order.revision, state)


def rare(database):
    """The number of a blank of which there is one."""
    with database.reading() as session:
        blank = find_blank(session, "M-6-9")
        assert blank.on_hand == 1
        return blank.id


def on_hand(database, number):
    with database.reading() as session:
        return session.get(StockBlank, number).on_hand


def test_an_order_is_charged_by_kind_length_and_extras_and_knows_its_cost(trade):
    order = take(trade)
    with trade.reading() as session:
        assert lines_of(session, order.id) == (
            Line("short board", 1, 69000, "full"),
            Line("tint", 1, 6000, "full"),
        )
        assert order_sums(session, order).total == 75000
        needs = {supply.name: need.quantity for supply, need in needs_of(session, order.id)}
    # A third of 750.00, as the list says; the cost is the shop's own, from its hours and its materials.
    assert (order.deposit, order.state) == (22500, "asked")
    assert set(order.cost) == {"blank", "materials", "labour"}
    assert order.cost["labour"] == 4000 * order.planned_minutes // 60
    assert {"epoxy", "glass 4 oz", "leash plug"} <= set(needs)


def test_every_problem_of_an_order_is_told_at_once_and_nothing_is_stored(trade, clock):
    wish = {"title": " ", "due_on": "2026-02-01", "deposit": 75001, "colour": "x" * 3000}
    with pytest.raises(ShopError, match=r"has gone by; today is") as wrong:
        take(trade, who="Nobody Yet", **wish)
    told = " | ".join(map(str, wrong.value.problems))
    for part in (
        "title: Nothing stands here",
        "due_on: 2026-02-01 has gone by",
        "colour: This is longer than 2000",
    ):
        assert part in told
    assert "deposit: A deposit of 750.01 EUR is more than the price, which is 750.00 EUR" in told
    with trade.reading() as session:
        assert find_orders(session, OrderQuery(), "2026-03-02") == []


def test_a_board_for_which_there_is_no_price_is_told(trade):
    with pytest.raises(ShopError, match=r"no price for a long board of 1\.93 m"):
        take(trade, kind="long board")
    with pytest.raises(ShopError, match=r"hangs on its length, and none is known"):
        take(trade, board_id=None)


def test_a_blank_is_not_promised_twice(trade):
    first, second = (take(trade, who, blank_id=rare(trade)) for who in ("Ada Reef", "Jon Cove"))
    move(trade, first, OrderState.AGREED)
    with pytest.raises(
        ConflictError, match=r"Every blank M-6-9 on the rack is promised: to order 1 \(Groyne\)"
    ):
        move(trade, second, OrderState.AGREED)
    with pytest.raises(ConflictError, match=r"promised"), trade.writing(OWNER) as work:
        give_blank(work, open_job(work, JobWish("A job of nobody's")).id, rare(trade))
    with trade.writing(OWNER) as work:
        set_state(work, first.id, first.revision + 1, OrderState.QUOTED)
        set_state(work, second.id, second.revision, OrderState.AGREED)
        assert promised(work.session) == dict.fromkeys([find_blank(work.session, "M-6-9").id], 1)


def test_the_rack_and_the_shelf_follow_an_order_round(trade):
    blank = rare(trade)
    with trade.writing(OWNER) as work:
        set_supply(work, SupplyWish("polyester", "kg mixed", "Resin works", on_hand=5000, level=2000))
        set_blank_level(work, blank, 2)
    order = take(trade, blank_id=blank)
    order = move(trade, order, OrderState.AGREED)
    with trade.reading() as session:
        short = {one.name: one.quantity for one in purchase_list(session)}
        need = {supply.name: need.quantity for supply, need in needs_of(session, order.id)}["polyester"]
    # One to keep two of on top of the one that is promised: two more; resin: what there is suffices.
    assert short["M-6-9"] == 2000
    assert "polyester" not in short
    order = move(trade, order, OrderState.ON_THE_RACK)
    with trade.reading() as session:
        (job,) = jobs_of(session, order.id)
        assert (job.blank_id, job.board_id, promised(session)) == (blank, 1, {})
    assert on_hand(trade, blank) == 0
    order = move(trade, order, OrderState.GLASSED)
    with trade.reading() as session:
        assert {s.name: s.on_hand for s, _ in needs_of(session, order.id)}["polyester"] == 5000 - need
    order = move(trade, order, OrderState.ON_THE_RACK)
    with trade.reading() as session:
        assert {s.name: s.on_hand for s, _ in needs_of(session, order.id)}["polyester"] == 5000
    move(trade, order, OrderState.PUT_AWAY)
    # Nothing was cut yet, so the blank lies on the rack again, promised to nobody.
    assert on_hand(trade, blank) == 1
    with trade.reading() as session:
        assert promised(session) == {}
        assert jobs_of(session, order.id)[0].archived_at is not None


def test_a_blank_that_was_cut_stays_used(trade):
    order = take(trade, blank_id=rare(trade))
    order = move(trade, order, OrderState.ON_THE_RACK)
    with trade.writing(OWNER) as work:
        set_stage(work, jobs_of(work.session, order.id)[0].id, "outline", JobState.STARTED)
    move(trade, order, OrderState.PUT_AWAY)
    assert on_hand(trade, order.blank_id) == 0


def test_late_ones_stand_first_and_are_counted(trade, clock):
    soon, late, never = (take(trade, due_on=day) for day in ("2026-04-01", "2026-03-10", ""))
    clock.pass_by(days=20)
    with trade.reading() as session:
        found = find_orders(session, OrderQuery(), "2026-03-22")
        assert [(w.order.id, w.is_late, w.who) for w in found] == [
            (late.id, True, "Ada Reef"), (soon.id, False, "Ada Reef"), (never.id, False, "Ada Reef"),
        ]  # fmt: skip
        assert count_late(session, "2026-03-22") == 1
        assert counts_of(session)[OrderState.ASKED] == 3
        assert [w.order.id for w in round_of(session, "2026-03-22", each=2)[OrderState.ASKED]] == [
            late.id,
            soon.id,
        ]
        assert [w.order.id for w in orders_due(session)] == [late.id, soon.id]


def test_the_calendar_is_folded_and_says_whole_days(trade, clock):
    take(trade, title="Über; alles, " + "lang " * 30, due_on="2026-12-31")
    with trade.reading() as session:
        lines = calendar_file(orders_due(session), clock()).split(b"\r\n")
    assert all(len(line) <= 75 for line in lines)
    assert b"DTSTART;VALUE=DATE:20261231" in lines
    assert b"DTEND;VALUE=DATE:20270101" in lines
    whole = b"\r\n".join(lines).replace(b"\r\n ", b"").decode()
    assert "SUMMARY:Über\\; alles\\, lang lang" in whole


def test_old_orders_are_put_away_after_the_time_that_is_set(trade, clock):
    done, waits = take(trade), take(trade)
    move(trade, done, OrderState.HANDED_OVER)
    clock.pass_by(days=100)
    with trade.writing(OWNER) as work:
        assert put_old_away(work) == ()
        set_put_away_days(work, 90)
        assert put_old_away(work) == (done.id,)
        assert put_old_away(work) == ()
    with trade.reading() as session:
        assert [w.order.id for w in find_orders(session, OrderQuery(), "2026-06-10")] == [waits.id]


def test_an_order_changed_by_two_is_told(trade):
    order = take(trade)
    wish = OrderWish(order.person_id, "Groyne, wider", 1, kind="short board")
    with trade.writing(OWNER) as work:
        assert change_order(work, order.id, 1, wish).revision == 2
    with pytest.raises(ConflictError, match=r"at revision 2, yours began at 1"), trade.writing(OWNER) as work:
        change_order(work, order.id, 1, wish)


def test_same_again_asks_for_the_same(trade):
    order = take(trade, colour="sea green")
    with trade.writing(OWNER) as work:
        again = same_again(work, order.id)
        assert (again.colour, again.board_id, again.state) == ("sea green", 1, "asked")
        assert lines_of(work.session, again.id) == lines_of(work.session, order.id)


def test_payments_are_written_down(trade):
    order = take(trade)
    with trade.writing(OWNER) as work:
        note_payment(work, order.id, 22500, what="deposit")
        with pytest.raises(ShopError, match="Nothing stands here"):
            note_payment(work, order.id, 0)
    with trade.reading() as session:
        assert [(p.amount, p.paid_on) for p in payments_of(session, order.id)] == [(22500, "2026-03-02")]


def test_lines_of_ones_own(trade):
    order = take(trade, lines=[Line("Repair", 2, 4500, "full"), Line("Discount", 1, -1000, "full")])
    with trade.reading() as session:
        assert order_sums(session, order).total == 8000
    with pytest.raises(ShopError, match=r"is less than nothing"):
        take(trade, lines=[Line("Discount", 1, -1000)])
    with pytest.raises(ShopError, match=r"line 2: Nothing stands here"):
        take(trade, lines=[Line("Repair", 1, 1), Line(" ", 1, 1)])


def test_what_is_not_there_is_told(trade):
    with pytest.raises(ShopError, match="There is no board number 99"):
        take(trade, board_id=99)
    with pytest.raises(ShopError, match="There is no person number 99"), trade.writing(OWNER) as work:
        take_order(work, OrderWish(99, "x"))
