"""The orders page: the round, an order taken, moved on, charged, paid, given out as quote or invoice."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Path, Response

from foamwright.errors import InputError
from foamwright.jobs.bill_lists import bills_csv
from foamwright.jobs.bill_papers import bill_pdf
from foamwright.jobs.order_costs import change_order_with_cost, take_order_with_cost
from foamwright.shop.bills import (
    bill_of,
    bills_of,
    give_bill,
    note_payment,
    order_sums,
    payments_of,
    require_bill,
)
from foamwright.shop.calendar_file import calendar_file
from foamwright.shop.contacts import contact_of, find_or_add_person
from foamwright.shop.database import Work
from foamwright.shop.days import today
from foamwright.shop.money import parse_amount
from foamwright.shop.order_kinds import OPEN_STATES, BillKind, OrderState
from foamwright.shop.order_round import (
    OrderQuery,
    count_late,
    counts_of,
    find_orders,
    open_order_job,
    orders_due,
    round_of,
    set_state,
)
from foamwright.shop.order_tables import OrderRow
from foamwright.shop.orders import jobs_of, lines_of, require_order, same_again, set_surfed, set_worked
from foamwright.shop.stock import all_stock
from foamwright.shop.supplies import format_quantity, needs_of
from foamwright.shop.tables import Person
from foamwright.web.forms import Form, Sent, read_form
from foamwright.web.intake import choice_of
from foamwright.web.pages.here import Here, MoneyedHere, TeacherHere
from foamwright.web.pages.order_form import FIELDS, known_boards, lines_text, price_lists, wish_of
from foamwright.web.pages.order_form import OrderFigures as Figures
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/orders", include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]


@router.get("")
def orders(here: TeacherHere) -> Response:
    """Show the round, or the orders that are looked for."""
    asked, day = here.request.query_params, today(here.database.clock())
    words, state = asked.get("words", "")[:200], asked.get("state", "")
    query = OrderQuery(
        words, OrderState(state) if state in list(OrderState) else None, bool(asked.get("late"))
    )
    with here.reading() as session:
        is_list = bool(words or query.state or query.late)
        found = find_orders(session, query, day) if is_list else []
        rounds = {} if is_list else round_of(session, day)
        counts, late = counts_of(session), count_late(session, day)
    waiting = sum(counts[one] for one in OPEN_STATES)
    return here.show(
        "orders",
        query=query,
        is_list=is_list,
        found=found,
        rounds=rounds,
        counts=counts,
        late=late,
        waiting=waiting,
    )


@router.get("/due.ics")
def calendar(here: TeacherHere) -> Response:
    """Give the days at which orders are due as a calendar file."""
    with here.reading() as session:
        content = calendar_file(orders_due(session), here.database.clock())
    return _file(content, "due.ics", "text/calendar")


@router.get("/bills.csv")
def bills(here: MoneyedHere) -> Response:
    """Give every quote and invoice as a list."""
    with here.reading() as session:
        return _file(bills_csv(session, here.visitor.sees_contacts), "bills.csv", "text/csv")


@router.get("/bills/{number}.pdf")
def bill(here: MoneyedHere, number: Number) -> Response:
    """Give a quote or an invoice."""
    with here.reading() as session:
        row = require_bill(session, number)
    words = here.reader.words
    given = bill_of(row)
    if not here.visitor.sees_contacts:
        given = replace(given, recipient=given.recipient.partition("\n")[0])
    pdf = bill_pdf(given, words.say, words.language, here.reader.point)
    return _file(pdf, f"{row.name}.pdf", "application/pdf")


@router.get("/new")
def new(here: MoneyedHere) -> Response:
    """Show the form of a new order."""
    return _new(here, NOTHING_TYPED)


@router.post("/new")
def take(here: MoneyedHere, form: Sent) -> Response:
    """Take an order."""

    def do(work: Work) -> str:
        person = find_or_add_person(work, form.text("customer"), form.text("reach"))
        order = take_order_with_cost(work, wish_of(work, form, person.id))
        return f"/orders/{order.id}?said=order-taken"

    return here.submit(form, do, lambda typed, _: _new(here, typed))


@router.get("/{number}")
def order(here: TeacherHere, number: Number) -> Response:
    """Show one order."""
    return _page(here, number, NOTHING_TYPED)


@router.post("/{number}")
def change(here: MoneyedHere, number: Number, form: Sent) -> Response:
    """Change an order."""

    def do(work: Work) -> str:
        person = require_order(work.session, number).person_id or 0
        change_order_with_cost(work, number, form.number("revision"), wish_of(work, form, person))
        return f"/orders/{number}?said=order-saved"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.post("/{number}/state")
def move(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Move an order on, or back."""

    def do(work: Work) -> str:
        set_state(work, number, form.number("revision"), choice_of(form, "state", OrderState))
        return f"/orders/{number}?said=order-moved"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.post("/{number}/job")
def job(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Open a job for an order."""
    return _simple(here, number, form, lambda work: open_order_job(work, number), "job-opened")


@router.post("/{number}/bill")
def give(here: MoneyedHere, number: Number, form: Sent) -> Response:
    """Give out a quote or an invoice, and hand over its PDF."""

    def do(work: Work) -> str:
        row = give_bill(work, number, choice_of(form, "kind", BillKind))
        return f"/orders/bills/{row.id}.pdf"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


@router.post("/{number}/payment")
def pay(here: MoneyedHere, number: Number, form: Sent) -> Response:
    """Write down a payment."""

    def note(work: Work) -> None:
        currency = require_order(work.session, number).currency
        amount = parse_amount(form.text("amount"), currency)
        note_payment(work, number, amount, form.text("paid_on"), form.text("paid_what"))

    return _simple(here, number, form, note, "payment-noted")


@router.post("/{number}/worked")
def worked(here: MoneyedHere, number: Number, form: Sent) -> Response:
    """Write down the minutes worked."""
    return _simple(
        here,
        number,
        form,
        lambda work: set_worked(work, number, form.number_or_none("worked")),
        "order-saved",
    )


@router.post("/{number}/surfed")
def surfed(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Write down how the board surfed."""
    return _simple(
        here, number, form, lambda work: set_surfed(work, number, form.text("surfed")), "order-saved"
    )


@router.post("/{number}/again")
def again(here: MoneyedHere, number: Number, form: Sent) -> Response:
    """Take the same order again."""

    def do(work: Work) -> str:
        return f"/orders/{same_again(work, number).id}?said=order-taken"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


def _simple(here: Here, number: int, form: Form, act: Any, said: str) -> Response:
    def do(work: Work) -> str:
        act(work)
        return f"/orders/{number}?said={said}"

    return here.submit(form, do, lambda typed, _: _page(here, number, typed))


def _file(content: bytes, name: str, kind: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type=kind, headers=headers)


def _new(here: Here, typed: Typed) -> Response:
    with here.reading() as session:
        boards, prices, blanks = known_boards(session), price_lists(session), all_stock(session)
    asked = here.request.query_params.get("board", "")
    board = asked if asked.isdecimal() else ""
    return here.show(
        "order_new", typed, fields=FIELDS, board=board, boards=boards, prices=prices, blanks=blanks
    )


def _page(here: Here, number: int, typed: Typed) -> Response:
    day = today(here.database.clock())
    with here.reading() as session:
        row = require_order(session, number)
        person = None if row.person_id is None else session.get(Person, row.person_id)
        values: dict[str, Any] = {
            "order": row,
            "who": person,
            "contact": contact_of(session, row.person_id) if here.visitor.sees_contacts else None,
            "jobs": jobs_of(session, number),
            "needs": [(one.name, format_quantity(need.quantity, here.reader.point), one.unit, need.drawn_at)
                      for one, need in needs_of(session, number)],
            "is_late": bool(row.due_on) and row.due_on < day and row.state in OPEN_STATES,
            "states": list(OrderState),
            "next_state": _after(row),
        }  # fmt: skip
        if here.visitor.sees_money:
            values |= _money(here, session, row)
    return here.show("order", typed, fields=FIELDS, **values)


def _after(row: OrderRow) -> OrderState:
    states = list(OrderState)
    return states[min(OrderState(row.state).place + 1, len(states) - 1)]


def _money(here: Here, session: Any, row: OrderRow) -> dict[str, Any]:
    lines = lines_of(session, row.id)
    try:
        sums = order_sums(session, row)
    except InputError:
        sums = None
    return {
        "figures": Figures(here.reader, row, sums, lines, payments_of(session, row.id)),
        "bills": bills_of(session, row.id),
        "lines": lines_text(lines, row.currency),
        "boards": known_boards(session),
        "prices": price_lists(session),
        "blanks": all_stock(session),
    }
