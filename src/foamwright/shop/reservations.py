"""Blanks that agreed orders have been promised: held on the rack, taken by a job, let go again."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.order_tables import OrderJob, OrderRow, ReservationRow
from foamwright.shop.rows import require_row
from foamwright.shop.tables import StockBlank
from foamwright.shop.told import ConflictError, told


def reserve_blank(work: Work, order: OrderRow) -> None:
    """Promise an order its blank; one that has none wished for needs none.

    Raises
    ------
    ConflictError
        Every blank of that kind that is on the rack is promised; names who has it and what would do.
    """
    if order.blank_id is None or work.session.get(ReservationRow, order.id) is not None:
        return
    require_unpromised(work.session, order.blank_id)
    work.session.add(ReservationRow(order_id=order.id, blank_id=order.blank_id, made_at=work.now))
    work.session.flush()
    work.tell(Event.BLANK_RESERVED, order_id=order.id, blank_id=order.blank_id)


def release_blank(work: Work, order: OrderRow) -> None:
    """Let go of the blank that an order was promised, unless a job has taken it."""
    held = work.session.get(ReservationRow, order.id)
    if held is not None and held.job_id is None:
        work.session.delete(held)
        work.session.flush()
        work.tell(Event.BLANK_RELEASED, order_id=order.id, blank_id=held.blank_id)


def promised(session: Session) -> dict[int, int]:
    """Return how many of each blank are promised and still lie on the rack, by the blank's number."""
    waiting = select(ReservationRow.blank_id, func.count()).where(ReservationRow.job_id.is_(None))
    return {blank: int(count) for blank, count in session.execute(waiting.group_by(ReservationRow.blank_id))}


def require_unpromised(session: Session, blank_id: int) -> None:
    """Refuse to promise or take a blank of which every one on the rack is promised.

    Raises
    ------
    ConflictError
        None is free; names the orders that hold them.
    """
    blank = require_row(session, StockBlank, blank_id)
    holders = _holders(session, blank_id)
    if blank.on_hand <= len(holders):
        if not holders:
            raise ConflictError(told("blank_id", "last-blank", code=blank.code))
        names = ", ".join(f"{order.id} ({order.title})" for order in holders)
        raise ConflictError(told("blank_id", "blank-promised", code=blank.code, orders=names))


def _holders(session: Session, blank_id: int) -> Sequence[OrderRow]:
    held = select(OrderRow).join(ReservationRow, ReservationRow.order_id == OrderRow.id)
    waiting = held.where(ReservationRow.blank_id == blank_id, ReservationRow.job_id.is_(None))
    return session.scalars(waiting.order_by(OrderRow.id)).all()


def use_reservation(work: Work, blank_id: int, job_id: int) -> None:
    """Let a job take a blank: the one its order was promised, or one that nobody was.

    Raises
    ------
    ConflictError
        Every one that is left is promised to somebody else.
    """
    order = work.session.get(OrderJob, job_id)
    held = None if order is None else work.session.get(ReservationRow, order.order_id)
    if held is not None and held.blank_id == blank_id and held.job_id is None:
        held.job_id = job_id
        return
    require_unpromised(work.session, blank_id)


def unuse_reservation(work: Work, job_id: int) -> None:
    """Promise a blank again that a job has put back onto the rack."""
    for held in work.session.scalars(select(ReservationRow).where(ReservationRow.job_id == job_id)):
        held.job_id = None
    work.session.flush()
