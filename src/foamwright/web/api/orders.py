"""Orders, prices, bills, supplies: the same as the pages, for programs."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Query, Response
from pydantic import Field
from sqlalchemy.orm import Session

from foamwright.jobs.order_costs import take_order_with_cost
from foamwright.shop.bills import bills_of, give_bill, order_sums
from foamwright.shop.contacts import ContactWish, contact_of, set_contact
from foamwright.shop.days import today
from foamwright.shop.grants import give_grants
from foamwright.shop.money import Line as PriceLine
from foamwright.shop.order_kinds import BillKind, Grant, OrderState
from foamwright.shop.order_round import OrderQuery, find_orders, set_state
from foamwright.shop.order_tables import BillRow, OrderRow
from foamwright.shop.orders import OrderWish, lines_of, prices_of, require_order
from foamwright.shop.price_list import PriceList
from foamwright.shop.price_sheets import price_sheets, save_prices
from foamwright.shop.privacy import data_of, forget_person
from foamwright.shop.supplies import SupplyWish, all_supplies, purchase_list, set_supply
from foamwright.web.api.here import Api
from foamwright.web.api.kinds import CHANGES, Id, IdField, Line, Revision, Sent, Sheet, Text, Told, answers
from foamwright.web.visitors import Desk, Moneyed, Teacher, Visitor

router = APIRouter(tags=["orders"])

Currency = Annotated[str, Field(pattern=r"^[A-Z]{3}$", examples=["EUR"])]
Amount = Annotated[int, Field(ge=-(10**13), le=10**13, description="In the currency's smallest unit.")]
Thousandths = Annotated[int, Field(ge=0, le=10**9, description="Thousandths of its unit.")]
Day = Annotated[str, Field(max_length=10, description="2026-03-21, or empty.")]


class LineOut(Told):
    """A line of an order's price."""

    what: str
    count: int
    each: int
    tax: str


class LineIn(Sent):
    """A line of an order's price, as sent."""

    what: Line
    count: Annotated[int, Field(ge=1, le=1000)] = 1
    each: Amount
    tax: Annotated[Line, Field(max_length=40)] = ""


class OrderIn(Sent):
    """An order as sent; without lines it is charged by the price list."""

    person_id: IdField
    title: Line
    board_id: IdField | None = None
    length_m: Annotated[float | None, Field(ge=0.5, le=6.0)] = None
    kind: Annotated[Line, Field(max_length=80)] = ""
    colour: Text = ""
    glass: Text = ""
    fins: Text = ""
    note: Text = ""
    due_on: Day = ""
    blank_id: IdField | None = None
    currency: Currency = "EUR"
    deposit: Amount | None = None
    lines: Annotated[list[LineIn], Field(max_length=30)] | None = None
    extras: Annotated[tuple[Line, ...], Field(max_length=30)] = ()

    def wish(self) -> OrderWish:
        """Return what the shop is asked for."""
        rows = self.lines
        lines = None if rows is None else [PriceLine(r.what, r.count, r.each, r.tax) for r in rows]
        return OrderWish(**{**self.model_dump(exclude={"lines"}), "lines": lines})


class MoneyOut(Told):
    """What an order is charged, and what it costs the shop: in the smallest unit."""

    currency: str
    deposit: int
    total: int
    lines: list[LineOut]
    cost: dict[str, int]
    planned_minutes: int
    worked_minutes: int | None


class OrderOut(Told):
    """An order; money and contact only for those who may see them."""

    id: int
    person_id: int | None
    title: str
    board_id: int | None
    kind: str
    colour: str
    glass: str
    fins: str
    note: str
    due_on: str
    blank_id: int | None
    state: OrderState
    surfed: str
    revision: int
    made_at: datetime
    changed_at: datetime
    archived_at: datetime | None
    is_late: bool = False
    money: MoneyOut | None = None
    reach: str | None = None


class Orders(Told):
    """Orders, the first due first."""

    orders: list[OrderOut]


class OrderStateIn(Sent):
    """Where an order is to stand."""

    revision: Revision
    state: OrderState


class BillIn(Sent):
    """What is to be given out."""

    kind: BillKind


class BillOut(Told):
    """A quote or an invoice that was given out."""

    id: int
    kind: BillKind
    number: int
    name: str
    order_id: int
    given_on: str
    until: str
    currency: str
    total: int


class PricesIn(Sent):
    """A price list as sent."""

    revision: Revision
    sheet: Sheet


class PricesOut(Told):
    """A price list."""

    currency: str
    revision: int
    sheet: str


class PriceLists(Told):
    """The newest price list of each currency."""

    prices: list[PricesOut]


class SupplyIn(Sent):
    """A supply as sent."""

    name: Annotated[Line, Field(max_length=120)]
    unit: Annotated[Line, Field(max_length=40)]
    supplier: Annotated[Line, Field(max_length=120)] = ""
    on_hand: Thousandths
    level: Thousandths = 0


class SupplyOut(Told):
    """A supply; quantities in thousandths of its unit."""

    id: int
    name: str
    unit: str
    supplier: str
    on_hand: int
    level: int


class ToOrderOut(Told):
    """What is short, in thousandths of its unit."""

    supplier: str
    name: str
    unit: str
    quantity: int
    on_hand: int
    promised: int
    level: int


class Supplies(Told):
    """What lies on the shelf, and what is to be bought."""

    supplies: list[SupplyOut]
    to_order: list[ToOrderOut]


class ContactIn(Sent):
    """How to reach a person, and notes."""

    reach: Annotated[str, Field(max_length=600)] = ""
    note: Text = ""


class ForgetIn(Sent):
    """The name of the person to be deleted, to be sure."""

    name: Annotated[Line, Field(max_length=120)]


class GrantsIn(Sent):
    """What teachers may see besides the work."""

    grants: Annotated[list[Grant], Field(max_length=2)]


@router.get("/orders", responses=answers())
def list_orders(
    api: Api,
    visitor: Teacher,
    words: Annotated[str, Query(max_length=200)] = "",
    state: OrderState | None = None,
    late: bool = False,
    limit: Annotated[int, Query(ge=1, le=200)] = 60,
    offset: Annotated[int, Query(ge=0, le=1_000_000)] = 0,
) -> Orders:
    """Orders in which every word stands; without a state, all that somebody waits for."""
    query = OrderQuery(words, state, late, limit, offset)
    with api.database.reading() as session:
        found = find_orders(session, query, today(api.database.clock()))
        # Each price list is read once, however many orders are charged by it.
        known: dict[str, PriceList] = {}
        for one in found if visitor.sees_money else ():
            if one.order.currency not in known:
                known[one.order.currency] = prices_of(session, one.order)
        rows = [_out(session, visitor, w.order, w.is_late, known.get(w.order.currency)) for w in found]
    return Orders(orders=rows)


@router.post("/orders", status_code=201, responses=answers(*CHANGES))
def create_order(api: Api, visitor: Moneyed, sent: OrderIn) -> OrderOut:
    """Take an order."""
    with api.database.writing(visitor.actor) as work:
        return _out(work.session, visitor, take_order_with_cost(work, sent.wish()))


@router.get("/orders/{id}", responses=answers(404))
def read_order(api: Api, visitor: Teacher, id: Id) -> OrderOut:
    """One order."""
    with api.database.reading() as session:
        return _out(session, visitor, require_order(session, id))


@router.put("/orders/{id}/state", responses=answers(*CHANGES))
def update_order_state(api: Api, visitor: Teacher, id: Id, sent: OrderStateIn) -> OrderOut:
    """Move an order on or back, with what that does to rack and shelf."""
    with api.database.writing(visitor.actor) as work:
        return _out(work.session, visitor, set_state(work, id, sent.revision, sent.state))


@router.get("/orders/{id}/bills", responses=answers(404))
def list_bills(api: Api, visitor: Moneyed, id: Id) -> list[BillOut]:
    """What was given out for an order."""
    with api.database.reading() as session:
        require_order(session, id)
        return [BillOut.model_validate(row) for row in bills_of(session, id)]


@router.post("/orders/{id}/bills", status_code=201, responses=answers(*CHANGES))
def create_bill(api: Api, visitor: Moneyed, id: Id, sent: BillIn) -> BillOut:
    """Give out a quote or an invoice under the next number; its PDF is at /orders/bills/ID.pdf."""
    with api.database.writing(visitor.actor) as work:
        row: BillRow = give_bill(work, id, sent.kind)
        return BillOut.model_validate(row)


@router.get("/prices", responses=answers())
def list_prices(api: Api, visitor: Moneyed) -> PriceLists:
    """The newest price list of each currency."""
    with api.database.reading() as session:
        return PriceLists.model_validate({"prices": list(price_sheets(session))})


@router.put("/prices", responses=answers(507, stale=409))
def update_prices(api: Api, visitor: Moneyed, sent: PricesIn) -> PricesOut:
    """Save a price list under its own currency; a stale change is answered with the difference."""
    with api.database.writing(visitor.actor) as work:
        return PricesOut.model_validate(save_prices(work, sent.revision, sent.sheet))


@router.get("/supplies", responses=answers())
def list_supplies(api: Api, visitor: Teacher) -> Supplies:
    """What lies on the shelf, and what is to be bought."""
    with api.database.reading() as session:
        return Supplies.model_validate(
            {"supplies": list(all_supplies(session)), "to_order": purchase_list(session)}
        )


@router.put("/supplies", responses=answers(507))
def update_supply(api: Api, visitor: Teacher, sent: SupplyIn) -> SupplyOut:
    """Count a supply, by its name."""
    with api.database.writing(visitor.actor) as work:
        return SupplyOut.model_validate(set_supply(work, SupplyWish(**sent.model_dump())))


@router.put("/people/{id}/contact", status_code=204, responses=answers(*CHANGES))
def update_contact(api: Api, visitor: Desk, id: Id, sent: ContactIn) -> Response:
    """Write down how to reach a person."""
    with api.database.writing(visitor.actor) as work:
        set_contact(work, id, ContactWish(sent.reach, sent.note))
    return Response(status_code=204)


@router.get("/people/{id}/data", responses=answers(404))
def read_person_data(api: Api, visitor: Desk, id: Id) -> Response:
    """All that is stored of a person, as one JSON document."""
    with api.database.reading() as session:
        return Response(data_of(session, id).as_json(), media_type="application/json")


@router.post("/people/{id}/forget", status_code=204, responses=answers(*CHANGES))
def delete_person(api: Api, visitor: Desk, id: Id, sent: ForgetIn) -> Response:
    """Delete a person; boards, numbers and sums stay, without a name."""
    with api.database.writing(visitor.actor) as work:
        forget_person(work, id, sent.name)
    return Response(status_code=204)


@router.put("/grants", status_code=204, responses=answers(507))
def update_grants(api: Api, visitor: Desk, sent: GrantsIn) -> Response:
    """Say what teachers may see besides the work."""
    with api.database.writing(visitor.actor) as work:
        give_grants(work, sent.grants)
    return Response(status_code=204)


def _out(
    session: Session, visitor: Visitor, row: OrderRow, is_late: bool = False, known: PriceList | None = None
) -> OrderOut:
    """Return an order as a visitor may see it."""
    found = OrderOut.model_validate(row).model_copy(update={"is_late": is_late})
    if visitor.sees_contacts:
        found = found.model_copy(update={"reach": contact_of(session, row.person_id).reach})
    if not visitor.sees_money:
        return found
    money = MoneyOut(
        currency=row.currency,
        deposit=row.deposit,
        total=order_sums(session, row, known).total,
        lines=[LineOut.model_validate(line) for line in lines_of(session, row.id)],
        cost=row.cost,
        planned_minutes=row.planned_minutes,
        worked_minutes=row.worked_minutes,
    )
    return found.model_copy(update={"money": money})
