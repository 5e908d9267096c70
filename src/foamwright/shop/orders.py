"""Orders: who wants which board, in what colour and glass, by when, and where it stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from foamwright.errors import Problem, attempt
from foamwright.shop.database import Work
from foamwright.shop.days import day_of, today
from foamwright.shop.kinds import Event
from foamwright.shop.money import Line, format_amount, require_currency, totals
from foamwright.shop.order_kinds import OPEN_STATES, OrderState
from foamwright.shop.order_tables import OrderJob, OrderLine, OrderRow
from foamwright.shop.price_list import PriceList
from foamwright.shop.price_sheets import price_sheet, require_prices
from foamwright.shop.rows import require_fresh, require_row
from foamwright.shop.tables import BoardRow, JobRow, Person, StockBlank
from foamwright.shop.texts import LONGEST_TITLE, folded, line_of, line_problem, note_of
from foamwright.shop.told import ConflictError, ShopError, told

MOST_LINES = 30
LONGEST_KIND = 80
MOST_COUNT = 1000


@dataclass(frozen=True, slots=True)
class OrderWish:
    """What an order is to be.

    Attributes
    ----------
    length_m
        Of a board that has no sheet yet; a board's own sheet goes before it.
    deposit
        In the smallest unit; `None`: the price list's share of the total.
    lines
        What is charged; `None`: kind, length and extras by the price list.
    extras
        Names of the price list's extras.
    """

    person_id: int
    title: str
    board_id: int | None = None
    length_m: float | None = None
    kind: str = ""
    colour: str = ""
    glass: str = ""
    fins: str = ""
    note: str = ""
    due_on: str = ""
    blank_id: int | None = None
    currency: str = "EUR"
    deposit: int | None = None
    lines: Sequence[Line] | None = None
    extras: Sequence[str] = ()


@dataclass(frozen=True, slots=True)
class OrderCost:
    """What an order costs the shop: parts in the smallest unit, minutes of work, and what it needs.

    Attributes
    ----------
    needs
        Name, unit and quantity (thousandths) of each material, from the laminate's list.
    """

    parts: Mapping[str, int] = field(default_factory=dict)
    minutes: int = 0
    needs: Sequence[tuple[str, str, int]] = ()


def take_order(work: Work, wish: OrderWish) -> OrderRow:
    """Take an order and return its row.

    Raises
    ------
    UnknownError
        There is no such person, board or blank.
    ShopError
        Anything in it cannot stand; every problem is held, and nothing was stored.
    """
    row = OrderRow(state=OrderState.ASKED.value, revision=1, made_at=work.now, cost={})
    row.board_sheet, row.surfed, row.surfed_on, row.planned_minutes = "", "", "", 0
    row.due_on = ""
    lines = _fill(work, row, wish)
    work.session.add(row)
    work.session.flush()
    _set_lines(work, row, lines)
    work.tell(Event.ORDER_TAKEN, order_id=row.id)
    return row


def change_order(work: Work, number: int, revision: int, wish: OrderWish) -> OrderRow:
    """Change what an order is to be; what was given out under a number stays as it was.

    Raises
    ------
    UnknownError
        There is no such order, person, board or blank.
    ConflictError
        Somebody changed the order meanwhile, or it is put away.
    ShopError
        Anything in it cannot stand; every problem is held, and nothing was stored.
    """
    row = require_order(work.session, number)
    require_fresh(row, revision)
    _require_open(row)
    before = row.blank_id
    lines = _fill(work, row, wish)
    if before != row.blank_id and row.state in (OrderState.AGREED, OrderState.ON_THE_RACK):
        raise ConflictError(told("blank_id", "blank-agreed"))
    _set_lines(work, row, lines)
    touch(work, row)
    work.tell(Event.ORDER_CHANGED, order_id=row.id)
    return row


def set_cost(work: Work, number: int, cost: OrderCost) -> OrderRow:
    """Write down what an order costs the shop, as planned."""
    row = require_order(work.session, number)
    row.cost, row.planned_minutes = dict(cost.parts), cost.minutes
    return row


def set_worked(work: Work, number: int, minutes: int | None) -> OrderRow:
    """Write down how many minutes were worked at an order.

    Raises
    ------
    ShopError
        Fewer than none, or more than anybody works at a board.
    """
    row = require_order(work.session, number)
    if minutes is not None and not 0 <= minutes <= 100_000:
        raise ShopError(told("worked", "beyond", written=str(minutes), least=0, most=100_000))
    row.worked_minutes = minutes
    touch(work, row)
    work.tell(Event.ORDER_CHANGED, order_id=row.id)
    return row


def set_surfed(work: Work, number: int, words: str, day: str = "") -> OrderRow:
    """Write down how the board surfed: the next one starts from it."""
    row = require_order(work.session, number)
    row.surfed, row.surfed_on = note_of("surfed", words), day_of("surfed_on", day) or today(work.now)
    touch(work, row)
    work.tell(Event.ORDER_CHANGED, order_id=row.id)
    return row


def require_order(session: Session, number: int) -> OrderRow:
    """Return an order.

    Raises
    ------
    UnknownError
        There is none of that number.
    """
    return require_row(session, OrderRow, number)


def lines_of(session: Session, number: int) -> tuple[Line, ...]:
    """Return the lines of an order's price."""
    rows = select(OrderLine).where(OrderLine.order_id == number).order_by(OrderLine.number)
    return tuple(Line(row.what, row.count, row.each, row.tax) for row in session.scalars(rows))


def jobs_of(session: Session, number: int) -> Sequence[JobRow]:
    """Return the jobs of an order, oldest first."""
    ours = select(JobRow).join(OrderJob, OrderJob.job_id == JobRow.id).where(OrderJob.order_id == number)
    return session.scalars(ours.order_by(JobRow.id)).all()


def suggested_lines(prices: PriceList, kind: str, length: float | None, extras: Sequence[str]) -> list[Line]:
    """Return the lines of a board by the price list.

    Raises
    ------
    ShopError
        The list has no price for it, or no such extra; every problem is held.
    """
    problems: list[Problem] = []
    lines: list[Line] = []
    if kind:
        row = None if length is None else prices.price_for(kind, length)
        if kind not in prices.kinds:
            choices = ", ".join(prices.kinds)
            problems.append(told("kind", "no-choice", written=kind[:40], choices=choices))
        elif length is None:
            problems.append(told("length", "length-for-price", kind=kind))
        elif row is None:
            problems.append(told("kind", "price-missing", kind=kind, length=f"{length:.2f} m"))
        else:
            lines.append(Line(kind, 1, row.price, row.tax))
    known = {extra.name: extra for extra in prices.extras}
    for name in extras:
        if name in known:
            lines.append(Line(name, 1, known[name].price, known[name].tax))
        else:
            choices = ", ".join(known)
            problems.append(told("extras", "no-choice", written=name[:40], choices=choices))
    if problems:
        raise ShopError(problems)
    return lines


def touch(work: Work, row: OrderRow) -> None:
    """Count a change to an order."""
    row.revision += 1
    row.changed_at = work.now


def same_again(work: Work, number: int, board_id: int | None = None) -> OrderRow:
    """Take the same order again, for the same person, from its own board or from another.

    What was asked for is asked for again; day, deposit and what was charged are new.
    """
    old = require_order(work.session, number)
    if old.person_id is None:
        raise ConflictError(told("id", "nobody-to-order", title=old.title))
    wish = OrderWish(
        old.person_id, old.title, board_id or old.board_id, old.length_m, old.kind, old.colour, old.glass,
        old.fins, old.note, currency=old.currency, lines=lines_of(work.session, number),
    )  # fmt: skip
    return take_order(work, wish)


def _require_open(row: OrderRow) -> None:
    if row.state == OrderState.PUT_AWAY:
        raise ConflictError(told("id", "order-put-away", title=row.title))


def _fill(work: Work, row: OrderRow, wish: OrderWish) -> Sequence[Line]:
    """Write a wish into a row, and return what is charged."""
    session, problems = work.session, list[Problem]()
    person = require_row(session, Person, wish.person_id)
    board = None if wish.board_id is None else require_row(session, BoardRow, wish.board_id)
    if wish.blank_id is not None:
        require_row(session, StockBlank, wish.blank_id)
    row.title = attempt(problems, lambda: line_of("title", wish.title, LONGEST_TITLE)) or ""
    for name in ("colour", "glass", "fins", "note"):
        setattr(row, name, attempt(problems, lambda name=name: note_of(name, getattr(wish, name))) or "")  # type: ignore[misc]
    day = attempt(problems, lambda: day_of("due_on", wish.due_on)) or ""
    if day and day != row.due_on and day < today(work.now):
        problems.append(told("due_on", "day-past", day=day, today=today(work.now)))
    currency = attempt(problems, lambda: require_currency(wish.currency)) or "EUR"
    row.person_id, row.blank_id, row.due_on, row.currency = person.id, wish.blank_id, day, currency
    row.kind = " ".join(wish.kind.split())[:LONGEST_KIND]
    _take_board(row, board, wish.length_m)
    lines = attempt(problems, lambda: _checked_lines(session, row, wish)) or ()
    row.deposit = attempt(problems, lambda: _deposit(session, currency, lines, wish.deposit)) or 0
    row.changed_at = work.now
    row.search = folded(person.name, row.title, board.name if board else "", row.kind, row.note)
    if problems:
        raise ShopError(problems)
    return lines


def _take_board(row: OrderRow, board: BoardRow | None, length: float | None) -> None:
    if board is None:
        row.board_id, row.board_revision, row.board_sheet, row.length_m = None, None, "", length
    elif board.id != row.board_id:
        row.board_id, row.board_revision, row.board_sheet = board.id, board.revision, board.sheet
        row.length_m = _length_of(board) or length


def _length_of(board: BoardRow) -> float | None:
    from foamwright.board.sheet import board_from_text

    return board_from_text(board.sheet, f"{board.name}.board.toml").length


def _checked_lines(session: Session, row: OrderRow, wish: OrderWish) -> Sequence[Line]:
    if wish.lines is None:
        if not wish.kind and not wish.extras:
            return ()
        return suggested_lines(require_prices(session, row.currency), wish.kind, row.length_m, wish.extras)
    problems: list[Problem] = []
    if len(wish.lines) > MOST_LINES:
        problems.append(told("lines", "too-many", most=MOST_LINES))
    for place, line in enumerate(wish.lines, start=1):
        wrong = line_problem(f"line {place}", line.what.strip(), LONGEST_TITLE)
        if wrong is not None:
            problems.append(wrong)
        if not 1 <= line.count <= MOST_COUNT:
            problems.append(
                told(f"line {place}", "beyond", written=str(line.count), least=1, most=MOST_COUNT)
            )
    if problems:
        raise ShopError(problems)
    return wish.lines


def _deposit(session: Session, currency: str, lines: Sequence[Line], wished: int | None) -> int:
    """Return the deposit: as wished, or the price list's share, and never above the price."""
    from foamwright.shop.money import part_of

    prices = _prices_or_bare(session, currency)
    total = totals(lines, prices.taxes, prices.rules).total
    if total < 0:
        raise ShopError(told("lines", "below-nothing", written=format_amount(total, currency)))
    if wished is None:
        return part_of(total, prices.deposit)
    if not 0 <= wished <= total:
        asked = format_amount(wished, currency)
        raise ShopError(
            told("deposit", "deposit-beyond", written=asked, total=format_amount(total, currency))
        )
    return wished


def _prices_or_bare(session: Session, currency: str) -> PriceList:
    """Return a currency's price list; without one, nothing is taxed and nothing is rounded."""
    return require_prices(session, currency) if price_sheet(session, currency) else PriceList(currency)


def prices_of(session: Session, row: OrderRow) -> PriceList:
    """Return the price list that an order is charged by."""
    return _prices_or_bare(session, row.currency)


def _set_lines(work: Work, row: OrderRow, lines: Sequence[Line]) -> None:
    work.session.execute(delete(OrderLine).where(OrderLine.order_id == row.id))
    for number, line in enumerate(lines, start=1):
        stored = OrderLine(order_id=row.id, number=number, what=" ".join(line.what.split()))
        stored.count, stored.each, stored.tax = line.count, line.each, line.tax
        work.session.add(stored)
    work.session.flush()


def is_late(row: OrderRow, day: str) -> bool:
    """Return whether somebody still waits for a board that was due before a day."""
    return bool(row.due_on) and row.due_on < day and row.state in OPEN_STATES


def facts_of(row: OrderRow) -> dict[str, Any]:
    """Return what of an order is neither money nor contact: what anybody at the rack may know."""
    names = ("id", "title", "kind", "colour", "glass", "fins", "due_on", "state", "revision")
    return {name: getattr(row, name) for name in names}
