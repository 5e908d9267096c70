"""The stock: kinds of blank, and how many of each lie on the rack."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from foamwright.blank.foam_words import write_foam
from foamwright.blank.numbers import BlankNumbers
from foamwright.blank.sheet import stock_from_text, stock_sheet
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event, Shelf
from foamwright.shop.rows import move, on_shelf, require_row
from foamwright.shop.tables import StockBlank
from foamwright.shop.texts import LONGEST_NAME, line_of, note_of
from foamwright.shop.told import ConflictError, ShopError, told
from foamwright.units import Unit

MOST_ON_HAND = 100_000


class CountRule(StrEnum):
    """What a list does to the count of a blank that is in the stock already."""

    KEEP = "keep"
    ADD = "add"
    SET = "set"


@dataclass(frozen=True, slots=True)
class Intake:
    """What became of a list: codes of the blanks added and of those changed."""

    added: tuple[str, ...]
    changed: tuple[str, ...]


def take_in(work: Work, blanks: Sequence[BlankNumbers], supplier: str, unit: Unit, rule: CountRule) -> Intake:
    """Take a list of blanks into the stock: new ones are added, known ones get their new numbers.

    Parameters
    ----------
    work
        The piece of work.
    blanks
        What the list says.
    supplier
        Where it is from; may be empty.
    unit
        What the sheets that are kept are written in.
    rule
        What happens to the counts of blanks that are known.
    """
    source = note_of("supplier", supplier, LONGEST_NAME)
    added: list[str] = []
    changed: list[str] = []
    for blank in blanks:
        known = find_blank(work.session, line_of("id", blank.id))
        row = known or StockBlank(code=blank.id, on_hand=0, revision=0)
        _fill(work, row, blank, source, unit)
        row.on_hand = _counted(row.on_hand, blank.on_hand, rule if known else CountRule.SET)
        work.session.add(row)
        (changed if known else added).append(row.code)
    work.session.flush()
    work.tell(Event.LIST_IMPORTED, supplier=source, added=added, changed=changed)
    return Intake(tuple(added), tuple(changed))


def count_blank(work: Work, number: int, on_hand: int, why: str) -> StockBlank:
    """Write down how many of a blank were counted on the rack.

    Raises
    ------
    ShopError
        Fewer than none, or more than any rack holds.
    """
    blank = require_row(work.session, StockBlank, number)
    if not 0 <= on_hand <= MOST_ON_HAND:
        raise ShopError(told("on_hand", "count-below-none", count=on_hand, code=blank.code))
    before, blank.on_hand = blank.on_hand, on_hand
    blank.changed_at = work.now
    work.tell(
        Event.BLANK_COUNTED,
        blank_id=blank.id,
        code=blank.code,
        before=before,
        on_hand=on_hand,
        why=note_of("why", why),
    )
    return blank


def take_one(work: Work, number: int, job: int) -> StockBlank:
    """Take one blank off the rack for a job: of two who want the last one, one gets it.

    Raises
    ------
    UnknownError
        There is no such blank.
    ConflictError
        None is left, or it is in the archive.
    """
    blank = require_row(work.session, StockBlank, number)
    if blank.archived_at is not None:
        raise ConflictError(told("blank_id", "archived-blank", code=blank.code))
    one_less = update(StockBlank).where(StockBlank.id == number, StockBlank.on_hand > 0)
    taken = work.session.execute(
        one_less.values(on_hand=StockBlank.on_hand - 1).returning(StockBlank.on_hand)
    )
    left = taken.scalar()
    if left is None:
        raise ConflictError(told("blank_id", "last-blank", code=blank.code))
    work.session.refresh(blank)
    work.tell(Event.BLANK_COUNTED, job, blank_id=number, code=blank.code, before=left + 1, on_hand=left)
    return blank


def put_one_back(work: Work, number: int, job: int) -> StockBlank:
    """Put a job's blank back onto the rack."""
    blank = require_row(work.session, StockBlank, number)
    blank.on_hand += 1
    work.session.flush()
    work.tell(
        Event.BLANK_COUNTED,
        job,
        blank_id=number,
        code=blank.code,
        before=blank.on_hand - 1,
        on_hand=blank.on_hand,
    )
    return blank


def move_blank(work: Work, number: int, shelf: Shelf) -> StockBlank:
    """Put a kind of blank into the archive (it is no longer offered), or take one out."""
    blank = require_row(work.session, StockBlank, number)
    if move(blank, shelf, work.now):
        work.tell(Event.BLANK_ARCHIVED, blank_id=blank.id, code=blank.code, shelf=shelf.value)
    return blank


def find_blank(session: Session, code: str) -> StockBlank | None:
    """Return the blank of that name, if there is one."""
    return session.scalars(select(StockBlank).where(StockBlank.code == code)).one_or_none()


def all_stock(session: Session, shelf: Shelf = Shelf.IN_USE) -> Sequence[StockBlank]:
    """Return the stock by name: what is at hand (a count of none included), or the archive."""
    there = on_shelf(StockBlank.archived_at, shelf)
    return session.scalars(select(StockBlank).where(there).order_by(StockBlank.code)).all()


def numbers_of(blank: StockBlank) -> BlankNumbers:
    """Return the numbers of a blank, with the count as it is now."""
    (numbers,) = stock_from_text(blank.sheet, f"{blank.code}.stock.toml")
    return replace(numbers, on_hand=blank.on_hand)


def stock_as_sheets(session: Session, unit: Unit) -> dict[str, str]:
    """Return the stock as stock sheets that the command line reads, one for each currency there is."""
    blanks = [numbers_of(blank) for blank in all_stock(session)]
    currencies = sorted({blank.currency for blank in blanks})
    return {one: stock_sheet([b for b in blanks if b.currency == one], unit) for one in currencies}


def _fill(work: Work, row: StockBlank, blank: BlankNumbers, supplier: str, unit: Unit) -> None:
    row.sheet = stock_sheet([blank], unit)
    row.supplier = supplier or row.supplier or ""
    row.length_m, row.foam = blank.length, write_foam(blank.foam)
    row.price, row.currency = blank.price, blank.currency
    row.lead_time_days = blank.lead_time_days
    row.changed_at, row.archived_at = work.now, None
    row.revision += 1


def _counted(before: int, said: int, rule: CountRule) -> int:
    if rule is CountRule.SET:
        return said
    return min(before + said, MOST_ON_HAND) if rule is CountRule.ADD else before
