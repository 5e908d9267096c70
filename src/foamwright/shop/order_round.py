"""The board that goes round: who waits for what, what is late, and what each step does to rack and shelf."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy import ColumnElement, func, select
from sqlalchemy.orm import Session

from foamwright.shop.about import set_value, value_of
from foamwright.shop.database import Work
from foamwright.shop.days import today
from foamwright.shop.jobs import JobWish, give_blank, move_job, open_job
from foamwright.shop.kinds import Event, Shelf
from foamwright.shop.order_kinds import HOLDING, OPEN_STATES, OrderState
from foamwright.shop.order_tables import OrderJob, OrderRow
from foamwright.shop.orders import jobs_of, require_order, touch
from foamwright.shop.reservations import release_blank, reserve_blank
from foamwright.shop.rows import require_fresh
from foamwright.shop.supplies import draw_supplies, put_supplies_back
from foamwright.shop.tables import JobRow, Person
from foamwright.shop.texts import LONGEST_TITLE, escaped_like, folded
from foamwright.shop.told import ConflictError, ShopError, told

PUT_AWAY_DAYS = "put-away-days"
MOST_AT_ONCE = 200
USUAL_DAYS = 365


@dataclass(frozen=True, slots=True)
class OrderQuery:
    """Which orders are looked for: words that stand in them, a state (``None``: all that are open)."""

    words: str = ""
    state: OrderState | None = None
    late: bool = False
    limit: int = 60
    offset: int = 0


@dataclass(frozen=True, slots=True)
class Waiting:
    """An order, and who waits for it."""

    order: OrderRow
    who: str
    is_late: bool


def set_state(work: Work, number: int, revision: int, state: OrderState) -> OrderRow:
    """Move an order on (or back), with what that does to the rack, the shelf and its jobs.

    Agreed: its blank is promised. On the rack: a job is opened and takes the blank. Glassed: what the
    laminate needs is drawn. Put away: its jobs go into the archive, and what was not used goes back.

    Raises
    ------
    ConflictError
        Somebody changed it meanwhile, or its blank is promised to somebody else.
    """
    order = require_order(work.session, number)
    require_fresh(order, revision)
    before = OrderState(order.state)
    if state is before:
        return order
    if state in HOLDING and before not in HOLDING and state.place < OrderState.HANDED_OVER.place:
        reserve_blank(work, order)
    order.state = state.value
    _on_the_way(work, order, before, state)
    order.archived_at = work.now if state is OrderState.PUT_AWAY else None
    touch(work, order)
    work.tell(Event.ORDER_STATE, order_id=order.id, state=state.value, before=before.value)
    return order


def _on_the_way(work: Work, order: OrderRow, before: OrderState, state: OrderState) -> None:
    glassed, racked = OrderState.GLASSED.place, OrderState.ON_THE_RACK.place
    ends = state is OrderState.PUT_AWAY
    if racked <= state.place and not ends and not jobs_of(work.session, order.id):
        open_order_job(work, order.id)
    if before.place < glassed <= state.place and not ends:
        draw_supplies(work, order)
    if state.place < glassed <= before.place:
        put_supplies_back(work, order)
    if ends:
        for job in jobs_of(work.session, order.id):
            move_job(work, job.id, Shelf.ARCHIVE)
    if ends or state.place < OrderState.AGREED.place:
        release_blank(work, order)


def open_order_job(work: Work, number: int) -> JobRow:
    """Open a job for an order, with its rider, its board and its blank.

    Raises
    ------
    ConflictError
        Its blank is gone or promised to somebody else.
    """
    order = require_order(work.session, number)
    if order.state == OrderState.PUT_AWAY:
        raise ConflictError(told("id", "order-put-away", title=order.title))
    title = f"{order.title} ({order.id})"[:LONGEST_TITLE]
    job = open_job(work, JobWish(title, order.person_id, order.board_id))
    if order.board_sheet and order.board_id is not None:
        # The board as it was agreed, though its sheet may have been changed since.
        job.board_sheet, job.board_revision = order.board_sheet, order.board_revision
    first = not jobs_of(work.session, number)
    work.session.add(OrderJob(job_id=job.id, order_id=order.id))
    work.session.flush()
    if first and order.blank_id is not None:
        give_blank(work, job.id, order.blank_id)
    work.tell(Event.ORDER_CHANGED, job.id, order_id=order.id)
    return job


def find_orders(session: Session, query: OrderQuery, day: str) -> list[Waiting]:
    """Return the orders looked for: those due first stand first, those without a day last."""
    found = select(OrderRow, Person.name).outerjoin(Person, Person.id == OrderRow.person_id)
    for condition in _conditions(query, day):
        found = found.where(condition)
    ordered = found.order_by(OrderRow.due_on == "", OrderRow.due_on, OrderRow.id)
    page = ordered.limit(min(query.limit, MOST_AT_ONCE)).offset(query.offset)
    return [Waiting(order, who or "", late(order, day)) for order, who in session.execute(page)]


def _conditions(query: OrderQuery, day: str) -> list[ColumnElement[bool]]:
    states = OPEN_STATES if query.state is None else (query.state,)
    found: list[ColumnElement[bool]] = [OrderRow.state.in_(states)]
    if query.late:
        found += [OrderRow.due_on != "", OrderRow.due_on < day]
    like = [f"%{escaped_like(word)}%" for word in folded(query.words).split()]
    return [*found, *(OrderRow.search.like(one, escape="\\") for one in like)]


def late(order: OrderRow, day: str) -> bool:
    """Return whether somebody still waits for a board that was due before a day."""
    return bool(order.due_on) and order.due_on < day and order.state in OPEN_STATES


def round_of(session: Session, day: str, each: int = 4) -> dict[OrderState, list[Waiting]]:
    """Return the first few orders in every open state."""
    return {state: find_orders(session, OrderQuery(state=state, limit=each), day) for state in OPEN_STATES}


def counts_of(session: Session) -> Mapping[OrderState, int]:
    """Return how many orders stand in each state."""
    counted = select(OrderRow.state, func.count()).group_by(OrderRow.state)
    found = {OrderState(state): int(n) for state, n in session.execute(counted)}
    return {state: found.get(state, 0) for state in OrderState}


def count_late(session: Session, day: str) -> int:
    """Return for how many orders somebody waits that were due before a day."""
    waiting = select(func.count()).where(OrderRow.state.in_(OPEN_STATES))
    return int(session.scalar(waiting.where(OrderRow.due_on != "", OrderRow.due_on < day)) or 0)


def put_away_days(session: Session) -> int:
    """Return after how many days without a change a board handed over is put away; 0: never."""
    return int(value_of(session, PUT_AWAY_DAYS) or USUAL_DAYS)


def set_put_away_days(work: Work, days: int) -> None:
    """Set after how many days without a change a board handed over is put away; 0: never.

    Raises
    ------
    ShopError
        Fewer than none, or more than thirty years.
    """
    if not 0 <= days <= 10_957:
        raise ShopError(told("days", "beyond", written=str(days), least=0, most=10_957))
    set_value(work.session, PUT_AWAY_DAYS, str(days))


def put_old_away(work: Work) -> Sequence[int]:
    """Put away the orders that were handed over long ago, and return their numbers."""
    days = put_away_days(work.session)
    if not days:
        return ()
    old = select(OrderRow).where(
        OrderRow.state == OrderState.HANDED_OVER.value,
        OrderRow.changed_at < work.now - timedelta(days=days),
    )
    rows = work.session.scalars(old.order_by(OrderRow.id)).all()
    for row in rows:
        set_state(work, row.id, row.revision, OrderState.PUT_AWAY)
    return tuple(row.id for row in rows)


def orders_due(session: Session) -> list[Waiting]:
    """Return every open order with a day, the first due first: what the calendar holds."""
    found = select(OrderRow, Person.name).outerjoin(Person, Person.id == OrderRow.person_id)
    waiting = found.where(OrderRow.state.in_(OPEN_STATES), OrderRow.due_on != "")
    rows = session.execute(waiting.order_by(OrderRow.due_on, OrderRow.id))
    return [Waiting(order, who or "", False) for order, who in rows]


def day_now(work: Work) -> str:
    """Return the day of a piece of work."""
    return today(work.now)
