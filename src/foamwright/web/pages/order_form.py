"""The form of an order: what is typed becomes a wish, and its figures become words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.errors import InputError, Problem, attempt
from foamwright.shop.database import Work
from foamwright.shop.money import Line, Totals, format_amount, format_rate, parse_amount
from foamwright.shop.naming import blank_named, board_named
from foamwright.shop.order_tables import OrderRow, PaymentRow
from foamwright.shop.orders import OrderWish
from foamwright.shop.price_list import PriceList, prices_from_text
from foamwright.shop.price_sheets import price_sheets
from foamwright.shop.tables import BoardRow
from foamwright.shop.told import ShopError, told
from foamwright.units import parse_length
from foamwright.web.forms import Form
from foamwright.web.rendering import Reader

FIELDS = (
    "customer", "reach", "title", "board", "length", "kind", "colour", "glass", "fins", "due_on", "blank",
    "deposit", "currency", "note", "lines", "extras", "amount", "worked", "paid_on", "surfed",
)  # fmt: skip
_PARTS: tuple[str, ...] = ("blank", "materials", "labour")

MOST_OFFERED = 60
"""Boards that a field offers while one types: a longer list helps nobody, and any board can be named."""


def known_boards(session: Session) -> Sequence[str]:
    """Return the boards changed last, as a field offers them: name and number."""
    ours = select(BoardRow.id, BoardRow.name).where(BoardRow.archived_at.is_(None))
    newest = session.execute(
        ours.order_by(BoardRow.changed_at.desc(), BoardRow.id.desc()).limit(MOST_OFFERED)
    )
    return [f"{name} (#{number})" for number, name in newest]


def price_lists(session: Session) -> Sequence[PriceList]:
    """Return every price list that can be read."""
    found = []
    for row in price_sheets(session):
        try:
            found.append(prices_from_text(row.sheet))
        except InputError:
            continue
    return found


def wish_of(work: Work, form: Form, person_id: int) -> OrderWish:
    """Return what a form asks for.

    Raises
    ------
    ShopError
        With every problem of its fields.
    """
    problems: list[Problem] = []
    currency = form.text("currency") or "EUR"
    board = attempt(problems, lambda: board_named(work.session, form.text("board")))
    blank = attempt(problems, lambda: blank_named(work.session, form.text("blank")))
    length = attempt(problems, lambda: _length(form.text("length")))
    deposit = attempt(problems, lambda: _deposit(form.text("deposit"), currency))
    lines = attempt(problems, lambda: _lines(form.text("lines"), currency))
    if problems:
        raise ShopError(problems)
    return OrderWish(
        person_id=person_id,
        title=form.text("title"),
        board_id=None if board is None else board.id,
        length_m=length,
        kind=form.text("kind"),
        colour=form.text("colour"),
        glass=form.text("glass"),
        fins=form.text("fins"),
        note=form.text("note"),
        due_on=form.text("due_on"),
        blank_id=None if blank is None else blank.id,
        currency=currency,
        deposit=deposit,
        lines=lines,
        extras=tuple(name.removeprefix("extra-") for name in form.fields if name.startswith("extra-")),
    )


def _length(written: str) -> float | None:
    return parse_length(written, None, "length") if written.strip() else None


def _deposit(written: str, currency: str) -> int | None:
    return parse_amount(written, currency, "deposit") if written.strip() else None


def _lines(written: str, currency: str) -> list[Line] | None:
    rows = [row for row in written.splitlines() if row.strip()]
    if not rows:
        return None
    problems: list[Problem] = []
    lines = [attempt(problems, lambda row=row: _line(row, currency)) for row in rows]  # type: ignore[misc]
    if problems:
        raise ShopError(problems)
    return [line for line in lines if line is not None]


def _line(row: str, currency: str) -> Line:
    count, what, price, tax = ([part.strip() for part in row.split(";")] + [""] * 4)[:4]
    if not count.isdecimal() or int(count) > 10_000:
        raise ShopError(told("lines", "no-whole-number", written=count[:40]))
    return Line(what, int(count), parse_amount(price, currency, "lines"), tax)


def lines_text(lines: Sequence[Line], currency: str) -> str:
    """Return lines as the form shows them."""

    def plain(amount: int) -> str:
        return format_amount(amount, currency).removesuffix(f" {currency}")

    return "\n".join(f"{one.count}; {one.what}; {plain(one.each)}; {one.tax}".rstrip("; ") for one in lines)


@dataclass(frozen=True, eq=False)
class OrderFigures:
    """An order's money in a visitor's words."""

    reader: Reader
    order: OrderRow
    sums: Totals | None
    lines: Sequence[Line]
    payments: Sequence[PaymentRow]

    def amount(self, amount: int) -> str:
        """Return an amount."""
        return format_amount(amount, self.order.currency, self.reader.point)

    def typed(self, amount: int) -> str:
        """Return an amount as a field takes it."""
        return format_amount(amount, self.order.currency).removesuffix(f" {self.order.currency}")

    @property
    def paid(self) -> int:
        """What came in so far."""
        return sum(one.amount for one in self.payments)

    @property
    def left(self) -> int:
        """What is still open."""
        return (self.sums.total if self.sums else 0) - self.paid

    def rate(self, rate: object) -> str:
        """Return a rate."""
        from decimal import Decimal

        return format_rate(Decimal(str(rate)), self.reader.point)

    @property
    def costs(self) -> Sequence[tuple[str, str]]:
        """What it costs the shop: part and amount, the work as it was after the work as planned."""
        cost = self.order.cost
        rows: list[tuple[str, str]] = [(name, self.amount(cost[name])) for name in _PARTS if name in cost]
        worked, planned = self.order.worked_minutes, self.order.planned_minutes
        if worked is not None and planned and "labour" in cost:
            rows.append(("worked", self.amount((2 * cost["labour"] * worked + planned) // (2 * planned))))
        return rows

    @property
    def total_cost(self) -> str:
        """What it costs altogether, with the work as it was where that is known."""
        cost, worked, planned = self.order.cost, self.order.worked_minutes, self.order.planned_minutes
        labour = cost.get("labour", 0)
        if worked is not None and planned:
            labour = (2 * labour * worked + planned) // (2 * planned)
        return self.amount(cost.get("blank", 0) + cost.get("materials", 0) + labour)
