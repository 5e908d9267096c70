"""The page of price lists: one sheet a currency, in and out."""

from __future__ import annotations

from fastapi import APIRouter, Depends, Response

from foamwright.errors import InputError
from foamwright.shop.database import Work
from foamwright.shop.price_list import EXAMPLE
from foamwright.shop.price_sheets import price_sheet, price_sheets, save_prices
from foamwright.shop.told import StaleError
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.here import Here, MoneyedHere
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/prices", include_in_schema=False, dependencies=[Depends(read_form)])


@router.get("")
def prices(here: MoneyedHere) -> Response:
    """Show a currency's price list, or one to begin from."""
    return _page(here, NOTHING_TYPED, None)


@router.post("")
def save(here: MoneyedHere, form: Sent) -> Response:
    """Save a price list."""

    def do(work: Work) -> str:
        row = save_prices(work, form.number("revision"), form.text("sheet"))
        return f"/prices?currency={row.currency}&said=prices-saved"

    return here.submit(form, do, lambda typed, wrong: _page(here, typed, wrong))


def _page(here: Here, typed: Typed, wrong: InputError | None) -> Response:
    asked = here.request.query_params.get("currency", "")
    with here.reading() as session:
        known = [row.currency for row in price_sheets(session)]
        shown = asked if asked in known else (known[0] if known and asked != "new" else "")
        row = price_sheet(session, shown) if shown else None
    stale = wrong if isinstance(wrong, StaleError) else None
    return here.show("prices", typed, known=known, row=row, example=EXAMPLE, stale=stale)
