"""In use or in the archive: which list is asked for, and where a form moves a row."""

from __future__ import annotations

from dataclasses import dataclass
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


ON_A_PAGE = 20


@dataclass(frozen=True, slots=True)
class Part:
    """Which part of a long list is shown: from which row, and where the rows before and after begin."""

    start: int
    count: int = 0

    @property
    def newer(self) -> int | None:
        """Where the part before begins; ``None`` at the beginning."""
        return max(self.start - ON_A_PAGE, 0) if self.start else None

    @property
    def older(self) -> int | None:
        """Where the part after begins; ``None`` at the end."""
        after = self.start + ON_A_PAGE
        return after if after < self.count else None


def part_asked(request: Request) -> int:
    """Return from which row the address asks for a list."""
    asked = request.query_params.get("from", "")
    return int(asked) if asked.isdecimal() and len(asked) < 7 else 0


MoveTo = Annotated[Shelf, Depends(_moved_to)]
