"""Cloth, resin and what else goes into boards: counted, needed by orders, drawn once by glassing."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.order_kinds import HOLDING
from foamwright.shop.order_tables import BlankLevel, OrderRow, ReservationRow, SupplyNeed, SupplyRow
from foamwright.shop.rows import require_row
from foamwright.shop.tables import StockBlank
from foamwright.shop.texts import LONGEST_NAME, line_of, note_of
from foamwright.shop.told import ShopError, told

MOST = 10**9
"""Thousandths: a million of any unit."""

_QUANTITY = re.compile(r"(-?)([0-9]{1,6})(?:[.,]([0-9]{1,3}))?")


@dataclass(frozen=True, slots=True)
class SupplyWish:
    """What is known of a supply: quantities in thousandths of its unit."""

    name: str
    unit: str
    supplier: str = ""
    on_hand: int = 0
    level: int = 0


@dataclass(frozen=True, slots=True)
class ToOrder:
    """A line of the purchase list: quantities in thousandths (blanks: whole ones)."""

    supplier: str
    name: str
    unit: str
    on_hand: int
    promised: int
    level: int

    @property
    def quantity(self) -> int:
        """What is short: what agreed orders need and the level to keep, less what lies there."""
        return max(0, self.promised + self.level - self.on_hand)


def parse_quantity(written: str, where: str) -> int:
    """Return a quantity in thousandths from text such as ``12.5``.

    Raises
    ------
    ShopError
        It is none, or finer than a thousandth.
    """
    found = _QUANTITY.fullmatch(written.strip())
    if found is None:
        raise ShopError(told(where, "no-number" if written.strip() else "empty", written=written[:40]))
    amount = int(found[2]) * 1000 + int((found[3] or "").ljust(3, "0"))
    return -amount if found[1] else amount


def format_quantity(thousandths: int, point: str = ".") -> str:
    """Return a quantity as people read it, ``12.5``."""
    whole, part = divmod(abs(thousandths), 1000)
    decimals = f"{part:03d}".rstrip("0")
    return f"{'-' if thousandths < 0 else ''}{whole}" + (f"{point}{decimals}" if decimals else "")


def set_supply(work: Work, wish: SupplyWish) -> SupplyRow:
    """Add a supply, or write down anew what is known of it, by its name.

    Raises
    ------
    ShopError
        A text is empty or too long, or a quantity is beyond what can be.
    """
    name, unit = line_of("name", wish.name, LONGEST_NAME), line_of("unit", wish.unit, 40)
    for where, quantity in (("on_hand", wish.on_hand), ("level", wish.level)):
        if not 0 <= quantity <= MOST:
            raise ShopError(
                told(where, "beyond", written=format_quantity(quantity), least=0, most=MOST // 1000)
            )
    row = find_supply(work.session, name) or SupplyRow(name=name)
    row.unit, row.supplier = unit, note_of("supplier", wish.supplier, LONGEST_NAME)
    row.on_hand, row.level, row.changed_at = wish.on_hand, wish.level, work.now
    work.session.add(row)
    work.session.flush()
    work.tell(Event.SUPPLY_COUNTED, supply_id=row.id, name=name, on_hand=row.on_hand, level=row.level)
    return row


def find_supply(session: Session, name: str) -> SupplyRow | None:
    """Return the supply of that name, if there is one."""
    return session.scalars(select(SupplyRow).where(SupplyRow.name == name)).one_or_none()


def all_supplies(session: Session) -> Sequence[SupplyRow]:
    """Return every supply by name."""
    return session.scalars(select(SupplyRow).order_by(SupplyRow.name)).all()


def set_needs(work: Work, order: OrderRow, needs: Sequence[tuple[str, str, int]]) -> None:
    """Write down what an order needs: name, unit, thousandths; a supply nobody has counted yet is added.

    What was drawn already stays as it was.
    """
    undrawn = delete(SupplyNeed).where(SupplyNeed.order_id == order.id, SupplyNeed.drawn_at.is_(None))
    work.session.execute(undrawn)
    drawn = set(work.session.scalars(select(SupplyNeed.supply_id).where(SupplyNeed.order_id == order.id)))
    for name, unit, quantity in needs:
        supply = find_supply(work.session, name) or set_supply(work, SupplyWish(name, unit))
        if supply.id not in drawn:
            work.session.add(SupplyNeed(order_id=order.id, supply_id=supply.id, quantity=quantity))
    work.session.flush()


def draw_supplies(work: Work, order: OrderRow) -> None:
    """Take what an order needs off the shelf, once; a shelf that holds less stands at less than none.

    The count then says how far it is out: the cloth is in the board already, whatever was counted.
    """
    for need in _needs(work.session, order.id):
        if need.drawn_at is None:
            supply = work.session.get_one(SupplyRow, need.supply_id)
            supply.on_hand -= need.quantity
            supply.changed_at = need.drawn_at = work.now
    work.session.flush()
    work.tell(Event.SUPPLIES_DRAWN, order_id=order.id)


def put_supplies_back(work: Work, order: OrderRow) -> None:
    """Undo the drawing of an order that was not glassed after all."""
    for need in _needs(work.session, order.id):
        if need.drawn_at is not None:
            work.session.get_one(SupplyRow, need.supply_id).on_hand += need.quantity
            need.drawn_at = None
    work.session.flush()


def needs_of(session: Session, order_id: int) -> list[tuple[SupplyRow, SupplyNeed]]:
    """Return what an order needs of what, by name."""
    return [(session.get_one(SupplyRow, need.supply_id), need) for need in _needs(session, order_id)]


def _needs(session: Session, order_id: int) -> Sequence[SupplyNeed]:
    ours = select(SupplyNeed).join(SupplyRow).where(SupplyNeed.order_id == order_id)
    return session.scalars(ours.order_by(SupplyRow.name)).all()


def set_blank_level(work: Work, blank_id: int, level: int) -> None:
    """Write down how many of a blank the shop wants on the rack.

    Raises
    ------
    UnknownError
        There is no such blank.
    ShopError
        Fewer than none, or more than any rack holds.
    """
    blank = require_row(work.session, StockBlank, blank_id)
    if not 0 <= level <= 100_000:
        raise ShopError(told("level", "count-below-none", count=level, code=blank.code))
    row = work.session.get(BlankLevel, blank_id) or BlankLevel(blank_id=blank_id)
    row.level = level
    work.session.add(row)
    work.session.flush()


def purchase_list(session: Session) -> list[ToOrder]:
    """Return what is short, by supplier and name: blanks below their level, and supplies."""
    found = [*_blanks_short(session), *_supplies_short(session)]
    short = [one for one in found if one.quantity]
    return sorted(short, key=lambda one: (one.supplier.casefold(), one.name.casefold()))


def _blanks_short(session: Session) -> list[ToOrder]:
    levels = {row.blank_id: row.level for row in session.scalars(select(BlankLevel))}
    waiting = select(ReservationRow.blank_id, func.count()).where(ReservationRow.job_id.is_(None))
    held = {blank: int(n) for blank, n in session.execute(waiting.group_by(ReservationRow.blank_id))}
    wanted = set(levels) | set(held)
    rows = session.scalars(select(StockBlank).where(StockBlank.id.in_(wanted)))
    return [
        ToOrder(
            row.supplier, row.code, "blank", 1000 * row.on_hand, 1000 * held.get(row.id, 0),
            1000 * levels.get(row.id, 0),
        )
        for row in rows
    ]  # fmt: skip


def _supplies_short(session: Session) -> list[ToOrder]:
    needed = select(SupplyNeed.supply_id, func.sum(SupplyNeed.quantity)).join(
        OrderRow, OrderRow.id == SupplyNeed.order_id
    )
    open_ones = needed.where(SupplyNeed.drawn_at.is_(None), OrderRow.state.in_(HOLDING))
    promised = {one: int(n) for one, n in session.execute(open_ones.group_by(SupplyNeed.supply_id))}
    return [
        ToOrder(row.supplier, row.name, row.unit, row.on_hand, promised.get(row.id, 0), row.level)
        for row in all_supplies(session)
    ]
