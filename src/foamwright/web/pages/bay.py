"""The bay page: the shop's tools, rates, tape and prices as one sheet, in and out."""

from __future__ import annotations

from fastapi import APIRouter, Depends, Response

from foamwright.bay.bay import usual_bay
from foamwright.bay.sheet import bay_sheet
from foamwright.errors import InputError
from foamwright.shop.bays import bay_kept, save_bay
from foamwright.shop.database import Work
from foamwright.shop.told import StaleError
from foamwright.web.forms import Sent, read_form
from foamwright.web.pages.boards import sheet_of, toml_file
from foamwright.web.pages.here import Here, MoneyedHere
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/bay", include_in_schema=False, dependencies=[Depends(read_form)])


@router.get("")
def bay(here: MoneyedHere) -> Response:
    """Show the bay sheet."""
    return _page(here, NOTHING_TYPED, None)


@router.post("")
def save(here: MoneyedHere, form: Sent) -> Response:
    """Save the bay sheet that was typed or sent as a file."""

    def do(work: Work) -> str:
        save_bay(work, form.number("revision"), sheet_of(form))
        return "/bay?said=bay-saved"

    return here.submit(form, do, lambda typed, wrong: _page(here, typed, wrong))


@router.get("/sheet.toml")
def sheet(here: MoneyedHere) -> Response:
    """Give the sheet as a file, as the command line reads it."""
    return toml_file(_now(here)[1], "bay.toml")


def _page(here: Here, typed: Typed, wrong: InputError | None) -> Response:
    revision, text = _now(here)
    stale = wrong if isinstance(wrong, StaleError) else None
    return here.show("bay", typed, revision=revision, sheet=text, stale=stale)


def _now(here: Here) -> tuple[int, str]:
    """The revision, and the sheet as it stands: written out if it is the usual bay."""
    with here.reading() as session:
        kept = bay_kept(session)
    revision, text = (kept.revision, kept.sheet) if kept else (0, "")
    return revision, text or bay_sheet(usual_bay(here.reader.unit), here.reader.unit)
