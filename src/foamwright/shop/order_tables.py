"""The tables of orders, money and materials.

Money is in whole numbers of a currency's smallest unit; a day is a text (``2026-03-02``), empty where none is
set, so that both databases order it alike.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from foamwright.shop.order_kinds import BillKind, OrderState
from foamwright.shop.table_base import Base, one_of


class ContactRow(Base):
    """How to reach a person who orders; who that is stands among the people."""

    __tablename__ = "contacts"
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), primary_key=True)
    reach: Mapped[str] = mapped_column(Text, default="")
    note: Mapped[str] = mapped_column(Text, default="")
    changed_at: Mapped[datetime]


class PriceSheet(Base):
    """Every text a currency's price list ever had, the newest last."""

    __tablename__ = "price_sheets"
    currency: Mapped[str] = mapped_column(String(3), primary_key=True)
    revision: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    sheet: Mapped[str] = mapped_column(Text)
    saved_at: Mapped[datetime]
    saved_by: Mapped[str] = mapped_column(String(120))


class OrderRow(Base):
    """What somebody has ordered; the board's sheet is stored as it was when the order took it."""

    __tablename__ = "orders"
    __table_args__ = (
        one_of("state", OrderState),
        CheckConstraint("deposit >= 0", name="deposit"),
        Index("ix_orders_state_due_on", "state", "due_on"),
    )
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    title: Mapped[str] = mapped_column(String(200))
    board_id: Mapped[int | None] = mapped_column(ForeignKey("boards.id"), index=True)
    board_revision: Mapped[int | None]
    board_sheet: Mapped[str] = mapped_column(Text, default="")
    length_m: Mapped[float | None]
    kind: Mapped[str] = mapped_column(String(80), default="")
    colour: Mapped[str] = mapped_column(Text, default="")
    glass: Mapped[str] = mapped_column(Text, default="")
    fins: Mapped[str] = mapped_column(Text, default="")
    note: Mapped[str] = mapped_column(Text, default="")
    due_on: Mapped[str] = mapped_column(String(10), default="")
    blank_id: Mapped[int | None] = mapped_column(ForeignKey("blanks.id"), index=True)
    currency: Mapped[str] = mapped_column(String(3))
    deposit: Mapped[int] = mapped_column(BigInteger, default=0)
    planned_minutes: Mapped[int] = mapped_column(default=0)
    worked_minutes: Mapped[int | None]
    cost: Mapped[dict[str, Any]]
    state: Mapped[str] = mapped_column(String(20))
    surfed: Mapped[str] = mapped_column(Text, default="")
    surfed_on: Mapped[str] = mapped_column(String(10), default="")
    search: Mapped[str] = mapped_column(Text, default="")
    revision: Mapped[int] = mapped_column(default=1)
    made_at: Mapped[datetime]
    changed_at: Mapped[datetime]
    archived_at: Mapped[datetime | None] = mapped_column(index=True)


class OrderLine(Base):
    """A line of an order's price: so many of something at a price each."""

    __tablename__ = "order_lines"
    order_id: Mapped[int] = mapped_column(ForeignKey("orders.id"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    what: Mapped[str] = mapped_column(String(200))
    count: Mapped[int]
    each: Mapped[int] = mapped_column(BigInteger)
    tax: Mapped[str] = mapped_column(String(40), default="")


class OrderJob(Base):
    """Which job belongs to which order; a job belongs to one at most."""

    __tablename__ = "order_jobs"
    job_id: Mapped[int] = mapped_column(ForeignKey("jobs.id"), primary_key=True, autoincrement=False)
    order_id: Mapped[int] = mapped_column(ForeignKey("orders.id"), index=True)


class PaymentRow(Base):
    """Money that came in for an order (or went back: below nothing)."""

    __tablename__ = "payments"
    id: Mapped[int] = mapped_column(primary_key=True)
    order_id: Mapped[int] = mapped_column(ForeignKey("orders.id"), index=True)
    amount: Mapped[int] = mapped_column(BigInteger)
    paid_on: Mapped[str] = mapped_column(String(10))
    what: Mapped[str] = mapped_column(String(200), default="")
    noted_at: Mapped[datetime]


class CounterRow(Base):
    """The last number given out in a row of numbers; it goes up in the transaction that uses it."""

    __tablename__ = "counters"
    name: Mapped[str] = mapped_column(String(20), primary_key=True)
    last: Mapped[int]


class BillRow(Base):
    """A quote or an invoice as it was given out.

    The database refuses to take one away or to change it, but for its recipient and what he wrote himself
    (`private`: the order's title and wishes), which the law on privacy may one day have forgotten.
    """

    __tablename__ = "bills"
    __table_args__ = (one_of("kind", BillKind), UniqueConstraint("kind", "number"))
    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str] = mapped_column(String(10))
    number: Mapped[int]
    name: Mapped[str] = mapped_column(String(40))
    order_id: Mapped[int] = mapped_column(ForeignKey("orders.id"), index=True)
    recipient: Mapped[str] = mapped_column(Text)
    given_on: Mapped[str] = mapped_column(String(10))
    until: Mapped[str] = mapped_column(String(10))
    currency: Mapped[str] = mapped_column(String(3))
    total: Mapped[int] = mapped_column(BigInteger)
    content: Mapped[dict[str, Any]]
    private: Mapped[dict[str, Any]]
    made_at: Mapped[datetime]


class ReservationRow(Base):
    """A blank that an agreed order has been promised; `job_id` once a job has taken it off the rack."""

    __tablename__ = "reservations"
    order_id: Mapped[int] = mapped_column(ForeignKey("orders.id"), primary_key=True, autoincrement=False)
    blank_id: Mapped[int] = mapped_column(ForeignKey("blanks.id"), index=True)
    job_id: Mapped[int | None] = mapped_column(ForeignKey("jobs.id"))
    made_at: Mapped[datetime]


class BlankLevel(Base):
    """How many of a blank the shop wants on the rack."""

    __tablename__ = "blank_levels"
    blank_id: Mapped[int] = mapped_column(ForeignKey("blanks.id"), primary_key=True, autoincrement=False)
    level: Mapped[int]


class SupplyRow(Base):
    """Cloth, resin and what else goes into boards; quantities in thousandths of their unit."""

    __tablename__ = "supplies"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(String(120), unique=True)
    unit: Mapped[str] = mapped_column(String(40))
    supplier: Mapped[str] = mapped_column(String(120), default="")
    on_hand: Mapped[int] = mapped_column(BigInteger, default=0)
    level: Mapped[int] = mapped_column(BigInteger, default=0)
    changed_at: Mapped[datetime]


class SupplyNeed(Base):
    """What an order needs of a supply, in thousandths; drawn from the shelf once, when it is glassed."""

    __tablename__ = "supply_needs"
    order_id: Mapped[int] = mapped_column(ForeignKey("orders.id"), primary_key=True, autoincrement=False)
    supply_id: Mapped[int] = mapped_column(
        ForeignKey("supplies.id"), primary_key=True, autoincrement=False, index=True
    )
    quantity: Mapped[int] = mapped_column(BigInteger)
    drawn_at: Mapped[datetime | None]
