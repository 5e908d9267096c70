"""The stock page: the rack drawn to scale, counts, lists taken in."""

from __future__ import annotations

from functools import partial
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from foamwright.jobs.shop_pictures import side_view
from foamwright.shop.database import Work
from foamwright.shop.kinds import Shelf
from foamwright.shop.rows import require_row
from foamwright.shop.stock import all_stock, count_blank, move_blank, numbers_of, stock_as_sheets
from foamwright.shop.tables import StockBlank
from foamwright.shop.told import UnknownError, told
from foamwright.web.forms import Sent, read_form
from foamwright.web.intake import BadRows, ListRead, choice_of, read_sent_list, take_in_list
from foamwright.web.pages.boards import toml_file
from foamwright.web.pages.here import Here, MoneyedHere, TeacherHere
from foamwright.web.pages.shelves import MoveTo, shelf_asked
from foamwright.web.planning.places import place_words
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/stock", include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]

MOST_DRAWN = 12


@router.get("")
def stock(here: TeacherHere) -> Response:
    """Show the stock."""
    return _list(here, NOTHING_TYPED, None)


@router.post("/list")
def take_in(here: TeacherHere, form: Sent) -> Response:
    """Take in a list; with bad rows in it, only if told to take the good ones."""
    read: list[ListRead] = []

    def do(work: Work) -> str:
        read.append(read_sent_list(form, here.reader.unit))
        intake = take_in_list(work, read[0], choice_of(form, "bad_rows", BadRows))
        said = "list-taken-in-part" if read[0].bad else "list-taken"
        return f"/stock?said={said}&added={len(intake.added)}&changed={len(intake.changed)}"

    return here.submit(form, do, lambda typed, _: _list(here, typed, read[0] if read else None))


@router.get("/sheet/{currency}")
def sheet(here: MoneyedHere, currency: str) -> Response:
    """Give the stock as a stock sheet, as the command line reads it."""
    with here.reading() as session:
        sheets = stock_as_sheets(session, here.reader.unit)
    if currency not in sheets:
        raise UnknownError(told("currency", "no-choice", written=currency[:40], choices=", ".join(sheets)))
    return toml_file(sheets[currency], f"{currency}.stock.toml")


@router.get("/{number}")
def blank(here: TeacherHere, number: Number) -> Response:
    """Show one kind of blank."""
    return _form(here, number, NOTHING_TYPED)


@router.post("/{number}/count")
def count(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Write down how many were counted."""

    def do(work: Work) -> str:
        count_blank(work, number, form.number("on_hand"), form.text("why"))
        return f"/stock?said=blank-counted#blank-{number}"

    return here.submit(form, do, lambda typed, _: _form(here, number, typed))


@router.post("/{number}/shelf")
def move(here: TeacherHere, number: Number, form: Sent, to: MoveTo) -> Response:
    """Put a kind of blank into the archive, or take one out."""

    def do(work: Work) -> str:
        move_blank(work, number, to)
        return f"/stock?said={to.name.casefold()}"

    return here.submit(form, do, lambda typed, _: _list(here, typed, None))


def _list(here: Here, typed: Typed, read: ListRead | None) -> Response:
    shelf = shelf_asked(here.request)
    with here.reading() as session:
        rows = all_stock(session, shelf)
    views = [(row, side_view(row.sheet)) for row in rows[:MOST_DRAWN]]
    return here.show(
        "stock",
        typed,
        blanks=rows,
        rack=[(row, view) for row, view in views if view is not None],
        currencies=sorted({row.currency for row in rows}),
        shelf=shelf,
        in_use=Shelf.IN_USE,
        read=read,
    )


def _form(here: Here, number: int, typed: Typed) -> Response:
    with here.reading() as session:
        row = require_row(session, StockBlank, number)
    numbers, place_said = numbers_of(row), partial(place_words, here.reader)
    view = side_view(row.sheet)
    return here.show("blank", typed, blank=row, numbers=numbers, view=view, place_said=place_said)
