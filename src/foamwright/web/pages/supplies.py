"""The page of supplies: what lies on the shelf, what is short, the levels that a study says."""

from __future__ import annotations

import json

from fastapi import APIRouter, Depends, Response

from foamwright.jobs.bill_lists import purchase_csv
from foamwright.shop.database import Work
from foamwright.shop.stock import find_blank
from foamwright.shop.supplies import (
    SupplyWish,
    all_supplies,
    format_quantity,
    parse_quantity,
    purchase_list,
    set_blank_level,
    set_supply,
)
from foamwright.shop.told import ShopError, told
from foamwright.web.forms import Form, Sent, read_form
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/supplies", include_in_schema=False, dependencies=[Depends(read_form)])

FIELDS = ("name", "unit", "supplier", "on_hand", "level", "file", "each")


@router.get("")
def supplies(here: TeacherHere) -> Response:
    """Show the supplies."""
    return _page(here, NOTHING_TYPED)


@router.post("")
def count(here: TeacherHere, form: Sent) -> Response:
    """Count a supply."""

    def do(work: Work) -> str:
        wish = SupplyWish(
            form.text("name"),
            form.text("unit"),
            form.text("supplier"),
            parse_quantity(form.text("on_hand"), "on_hand"),
            parse_quantity(form.text("level") or "0", "level"),
        )
        set_supply(work, wish)
        return "/supplies?said=supply-saved"

    return here.submit(form, do, lambda typed, _: _page(here, typed))


@router.post("/levels")
def levels(here: TeacherHere, form: Sent) -> Response:
    """Take over the blanks that a stocking study keeps."""

    def do(work: Work) -> str:
        each = form.number("each")
        for code in _kept(form):
            blank = find_blank(work.session, code)
            if blank is not None:
                set_blank_level(work, blank.id, each)
        return "/supplies?said=levels-taken"

    return here.submit(form, do, lambda typed, _: _page(here, typed))


@router.get("/purchase.csv")
def purchase(here: TeacherHere) -> Response:
    """Give what is short as a list."""
    with here.reading() as session:
        content = purchase_csv(session)
    headers = {"Content-Disposition": 'attachment; filename="purchase.csv"'}
    return Response(content, media_type="text/csv", headers=headers)


def _kept(form: Form) -> list[str]:
    """Return the names of the blanks that the study in a form keeps."""
    file = form.files.get("file")
    if file is None or not file.data:
        raise ShopError(told("file", "empty"))
    try:
        study = json.loads(file.data)
        return [str(one["blank"]) for one in study["keep"]]
    except (ValueError, KeyError, TypeError, RecursionError) as why:
        raise ShopError(told("file", "no-study", why=type(why).__name__)) from None


def _page(here: Here, typed: Typed) -> Response:
    with here.reading() as session:
        rows, short = all_supplies(session), purchase_list(session)

    def quantity(thousandths: int) -> str:
        return format_quantity(thousandths, here.reader.point)

    return here.show("supplies", typed, rows=rows, short=short, quantity=quantity, fields=FIELDS)
