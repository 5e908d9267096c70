"""Quotes and invoices: given out once under a number of their row, never changed afterwards.

A number is taken in the very transaction that stores what bears it, and only one writer is at work at a time:
so numbers never repeat, and one is never left out, whatever is killed when.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.shop.contacts import contact_of
from foamwright.shop.database import Work
from foamwright.shop.days import day_of, days_after, today
from foamwright.shop.kinds import Event
from foamwright.shop.money import Line, Rules, Tax, TaxLine, Totals, totals
from foamwright.shop.order_kinds import BillKind, OrderState
from foamwright.shop.order_tables import BillRow, CounterRow, OrderRow, PaymentRow
from foamwright.shop.orders import lines_of, prices_of, require_order, touch
from foamwright.shop.price_list import PriceList
from foamwright.shop.rows import require_row
from foamwright.shop.tables import Person
from foamwright.shop.texts import note_of
from foamwright.shop.told import ConflictError, ShopError, UnknownError, told


@dataclass(frozen=True, slots=True)
class Bill:
    """What a quote or an invoice says.

    Attributes
    ----------
    deposit, paid
        Asked for in advance; come in when it was given out.
    wishes
        Colour, glass and fins, as they were then.
    """

    kind: BillKind
    name: str
    given_on: str
    until: str
    due_on: str
    title: str
    recipient: str
    seller: str
    terms: str
    currency: str
    prices_are: str
    lines: tuple[Line, ...]
    sums: Totals
    deposit: int
    paid: int
    wishes: tuple[tuple[str, str], ...]


def order_sums(session: Session, order: OrderRow, known: PriceList | None = None) -> Totals:
    """Return the sums of an order by the price list as it stands now; `known` where it was read already."""
    prices = known or prices_of(session, order)
    return totals(lines_of(session, order.id), prices.taxes, prices.rules)


def give_bill(work: Work, number: int, kind: BillKind) -> BillRow:
    """Give out a quote or an invoice for an order under the next number of its row.

    Raises
    ------
    UnknownError
        There is no such order.
    ConflictError
        Nothing is charged, or nobody is there to send it to.
    """
    order = require_order(work.session, number)
    lines = lines_of(work.session, number)
    if not lines:
        raise ConflictError(told("lines", "bill-empty", title=order.title))
    if order.person_id is None:
        raise ConflictError(told("customer", "nobody-to-order", title=order.title))
    prices = prices_of(work.session, order)
    taken = _next_number(work, kind)
    row = BillRow(kind=kind.value, number=taken, order_id=order.id, currency=order.currency)
    prefix = prices.prefixes[0 if kind is BillKind.QUOTE else 1]
    row.name, row.made_at, row.given_on = f"{prefix}{taken:05d}", work.now, today(work.now)
    row.until = days_after(row.given_on, prices.quote_days if kind is BillKind.QUOTE else prices.pay_days)
    row.recipient = _recipient(work.session, order.person_id)
    sums = totals(lines, prices.taxes, prices.rules)
    row.total, row.content = sums.total, _content(work.session, order, prices, lines, sums)
    wishes = [(name, getattr(order, name)) for name in ("colour", "glass", "fins") if getattr(order, name)]
    row.private = {"title": order.title, "wishes": wishes}
    work.session.add(row)
    if kind is BillKind.QUOTE and order.state == OrderState.ASKED:
        order.state = OrderState.QUOTED.value
    touch(work, order)
    work.session.flush()
    work.tell(Event.BILL_GIVEN, order_id=order.id, bill=row.name)
    return row


def bill_of(row: BillRow) -> Bill:
    """Return what a bill says, from its row alone: price lists may have changed since."""
    content, private = row.content, row.private
    taxes = tuple(
        TaxLine(Tax(one["name"], Decimal(one["rate"]), one["words"]), one["base"], one["amount"])
        for one in content["taxes"]
    )
    lines = tuple(Line(one["what"], one["count"], one["each"], one["tax"]) for one in content["lines"])
    return Bill(
        kind=BillKind(row.kind), name=row.name, given_on=row.given_on, until=row.until,
        due_on=content["due_on"], title=private.get("title", ""), recipient=row.recipient,
        seller=content["seller"],
        terms=content["terms"], currency=row.currency, prices_are=content["prices_are"], lines=lines,
        sums=Totals(content["net"], taxes, content["rounded"], row.total), deposit=content["deposit"],
        paid=content["paid"], wishes=tuple((name, words) for name, words in private.get("wishes", ())),
    )  # fmt: skip


def bills_of(session: Session, order_id: int) -> Sequence[BillRow]:
    """Return what was given out for an order, oldest first."""
    return session.scalars(select(BillRow).where(BillRow.order_id == order_id).order_by(BillRow.id)).all()


def all_bills(session: Session, kind: BillKind | None = None) -> Sequence[BillRow]:
    """Return everything that was given out, by number."""
    found = select(BillRow).order_by(BillRow.kind, BillRow.number)
    return session.scalars(found if kind is None else found.where(BillRow.kind == kind.value)).all()


def require_bill(session: Session, number: int) -> BillRow:
    """Return a bill by its row's number.

    Raises
    ------
    UnknownError
        There is none.
    """
    return require_row(session, BillRow, number)


def bill_called(session: Session, name: str) -> BillRow:
    """Return the bill of a number as it is printed, ``Q-00012``.

    Raises
    ------
    UnknownError
        There is none.
    """
    row = session.scalars(select(BillRow).where(BillRow.name == name).order_by(BillRow.id)).first()
    if row is None:
        raise UnknownError(told("number", "unknown-bill", id=name[:40]))
    return row


def note_payment(work: Work, number: int, amount: int, day: str = "", what: str = "") -> PaymentRow:
    """Write down money that came in for an order, or went back.

    Raises
    ------
    ShopError
        It is nothing, or the day cannot be.
    """
    order = require_order(work.session, number)
    if amount == 0:
        raise ShopError(told("amount", "empty"))
    paid_on = day_of("paid_on", day) or today(work.now)
    row = PaymentRow(order_id=order.id, amount=amount, paid_on=paid_on, noted_at=work.now)
    row.what = note_of("what", what, 200)
    work.session.add(row)
    touch(work, order)
    work.session.flush()
    work.tell(Event.ORDER_CHANGED, order_id=order.id)
    return row


def payments_of(session: Session, order_id: int) -> Sequence[PaymentRow]:
    """Return what came in for an order, oldest first."""
    return session.scalars(
        select(PaymentRow).where(PaymentRow.order_id == order_id).order_by(PaymentRow.id)
    ).all()


def _next_number(work: Work, kind: BillKind) -> int:
    counter = work.session.get(CounterRow, kind.value)
    if counter is None:
        counter = CounterRow(name=kind.value, last=0)
        work.session.add(counter)
        work.session.flush()
    counter.last += 1
    return counter.last


def _recipient(session: Session, person_id: int) -> str:
    person = require_row(session, Person, person_id)
    reach = contact_of(session, person_id).reach
    return f"{person.name}\n{reach}".strip()


def _content(
    session: Session, order: OrderRow, prices: PriceList, lines: Sequence[Line], sums: Totals
) -> dict[str, Any]:
    rules: Rules = prices.rules
    return {
        "due_on": order.due_on,
        "seller": prices.seller,
        "terms": prices.terms,
        "prices_are": rules.prices.value,
        "lines": [{"what": one.what, "count": one.count, "each": one.each, "tax": one.tax} for one in lines],
        "taxes": [
            {
                "name": one.tax.name,
                "rate": str(one.tax.rate),
                "words": one.tax.words,
                "base": one.base,
                "amount": one.amount,
            }
            for one in sums.taxes
        ],
        "net": sums.net,
        "rounded": sums.rounded,
        "deposit": order.deposit,
        "paid": sum(one.amount for one in payments_of(session, order.id)),
    }
