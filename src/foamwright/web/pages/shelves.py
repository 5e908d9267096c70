"""In use or in the archive: which list is asked for, and where a form moves a row."""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request

from foamwright.shop.kinds import Shelf
from foamwright.shop.told import ShopError, told
from foamwright.web.forms import Sent


def shelf_asked(request: Request) -> Shelf:
    """Return the list that the address asks for."""
    return Shelf.ARCHIVE if request.query_params.get("shelf") == "archive" else Shelf.IN_USE


async def _moved_to(form: Sent) -> Shelf:
    written = form.text("shelf")
    try:
        return Shelf(written)
    except ValueError:
        choices = ", ".join(shelf.value for shelf in Shelf)
        raise ShopError(told("shelf", "no-choice", written=written[:40], choices=choices)) from None


MoveTo = Annotated[Shelf, Depends(_moved_to)]
