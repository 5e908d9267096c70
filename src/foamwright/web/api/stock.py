"""Stock."""

from __future__ import annotations

from datetime import datetime
from typing import Annotated, TypeVar

from fastapi import APIRouter, Depends, File, UploadFile
from fastapi import Form as FormField
from pydantic import Field

from foamwright.shop.kinds import Shelf
from foamwright.shop.rows import require_row
from foamwright.shop.stock import CountRule, all_stock, count_blank, move_blank, stock_as_sheets
from foamwright.shop.tables import StockBlank
from foamwright.units import Unit
from foamwright.web.api.here import Api
from foamwright.web.api.kinds import CHANGES, Id, Line, ProblemOut, Sent, Told, answers
from foamwright.web.api.people import ShelfIn
from foamwright.web.forms import Form, SentFile
from foamwright.web.intake import BadRows, read_sent_list, take_in_list
from foamwright.web.settings import Limits
from foamwright.web.visitors import Moneyed, Teacher, Visitor

router = APIRouter(prefix="/stock", tags=["stock"])


class BlankEntry(Told):
    """A kind of blank in a list."""

    id: int
    code: str
    supplier: str
    length_m: float
    foam: str
    price: float | None
    currency: str
    on_hand: int
    lead_time_days: float
    revision: int
    changed_at: datetime
    archived_at: datetime | None


class BlankOut(BlankEntry):
    """A kind of blank, with a stock sheet of it alone."""

    sheet: str


B = TypeVar("B", bound=BlankEntry)


class Stock(Told):
    """Blanks by name."""

    blanks: list[BlankEntry]


class StockSheets(Told):
    """The stock as stock sheets, by currency."""

    sheets: dict[str, str]


class CountIn(Sent):
    """How many were counted, and why it is written down."""

    on_hand: Annotated[int, Field(ge=0, le=100_000)]
    why: Line = ""


class ListIn(Sent):
    """How a list is to be taken in."""

    supplier: str
    unit: Unit
    currency: str
    counts: CountRule
    bad_rows: BadRows


class BadRowOut(Told):
    """A row that is no blank."""

    number: int
    cells: list[str]
    problems: list[ProblemOut]


class ListTaken(Told):
    """What became of a list."""

    added: list[str]
    changed: list[str]
    bad: list[BadRowOut]


async def _list_in(
    supplier: Annotated[Line, FormField(description="Where the list is from.")] = "",
    unit: Annotated[Unit, FormField(description="What a bare number means.")] = Unit.INCH,
    currency: Annotated[Line, FormField(description="Of its prices.")] = "EUR",
    counts: Annotated[
        CountRule, FormField(description="Counts of blanks already in the stock.")
    ] = CountRule.KEEP,
    bad_rows: Annotated[BadRows, FormField(description="With bad rows in it.")] = BadRows.REFUSE,
) -> ListIn:
    return ListIn(supplier=supplier, unit=unit, currency=currency, counts=counts, bad_rows=bad_rows)


@router.get("", responses=answers())
def list_stock(api: Api, visitor: Teacher, shelf: Shelf = Shelf.IN_USE) -> Stock:
    """Blanks by name, those in use or those in the archive."""
    with api.database.reading() as session:
        blanks = [BlankEntry.model_validate(row) for row in all_stock(session, shelf)]
    return Stock(blanks=[_seen_by(visitor, one) for one in blanks])


@router.get("/sheets", responses=answers())
def read_stock_sheets(api: Api, visitor: Moneyed, unit: Unit = Unit.INCH) -> StockSheets:
    """The stock as stock sheets that the command line reads, one for each currency there is."""
    with api.database.reading() as session:
        return StockSheets(sheets=stock_as_sheets(session, unit))


@router.post("/lists", responses=answers(507))
def take_in_stock_list(
    api: Api,
    visitor: Teacher,
    file: Annotated[UploadFile, File(description="CSV, XLSX, or a stock sheet (TOML).")],
    sent: Annotated[ListIn, Depends(_list_in)],
) -> ListTaken:
    """Take in a supplier's list; every bad row is explained.

    With bad rows in it nothing is taken in, unless `bad_rows` says ``skip``.
    """
    data = file.file.read(Limits().upload + 1)
    fields = {name: str(value) for name, value in sent.model_dump().items() if value is not None}
    read = read_sent_list(Form(fields, {"file": SentFile(file.filename or "", data)}), Unit.INCH)
    with api.database.writing(visitor.actor) as work:
        taken = take_in_list(work, read, sent.bad_rows)
    return ListTaken.model_validate({"added": taken.added, "changed": taken.changed, "bad": list(read.bad)})


@router.get("/{id}", responses=answers(404))
def read_blank(api: Api, visitor: Teacher, id: Id) -> BlankOut:
    """One kind of blank."""
    with api.database.reading() as session:
        return _seen_by(visitor, BlankOut.model_validate(require_row(session, StockBlank, id)))


@router.put("/{id}/count", responses=answers(*CHANGES))
def update_count(api: Api, visitor: Teacher, id: Id, sent: CountIn) -> BlankOut:
    """Write down how many of a blank were counted on the rack."""
    with api.database.writing(visitor.actor) as work:
        return _seen_by(visitor, BlankOut.model_validate(count_blank(work, id, sent.on_hand, sent.why)))


@router.put("/{id}/shelf", responses=answers(*CHANGES))
def shelve_blank(api: Api, visitor: Teacher, id: Id, sent: ShelfIn) -> BlankOut:
    """Put a kind of blank into the archive, or take one out."""
    with api.database.writing(visitor.actor) as work:
        return _seen_by(visitor, BlankOut.model_validate(move_blank(work, id, sent.shelf)))


def _seen_by(visitor: Visitor, blank: B) -> B:
    """Return a blank as a visitor may see it: without its price where money is not shown."""
    if visitor.sees_money:
        return blank
    hidden: dict[str, object] = {"price": None}
    if isinstance(blank, BlankOut):
        hidden["sheet"] = "".join(
            line for line in blank.sheet.splitlines(keepends=True) if not line.startswith("price")
        )
    return blank.model_copy(update=hidden)
