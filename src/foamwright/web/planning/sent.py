"""What the planning page sends: its one form, and the wishes of its script."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Annotated

from fastapi import Depends, Path, Request
from pydantic import BaseModel, ConfigDict, Field
from sqlalchemy.orm import Session
from starlette.datastructures import UploadFile

from foamwright.errors import Problem
from foamwright.shop.bays import bay_text
from foamwright.shop.boards import board_at
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.shop.texts import LONGEST_SHEET
from foamwright.shop.told import ShopError, told
from foamwright.web.forms import LARGEST_FIELD, Form, SentFile, sheet_text
from foamwright.web.planning.asked import Asked, asked_of
from foamwright.web.planning.draft import Draft, draft_of
from foamwright.web.planning.places import NEAR
from foamwright.web.rendering import Reader

MOST_FIELDS = 1000
"""Fields of a form: eight for each of a hundred stations, and some more."""

NEW_PLACE = "new_place"
SHEET_FILE = "board.toml"
FARTHEST = 10.0
"""Metres; no slide that the script asks for is greater."""

_LONGEST_FIELD = 400
_SINGLE = frozenset({"name", "length"})
_COUNT = re.compile(r"[0-9]{1,9}")

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]


async def read_plan_form(request: Request) -> Form:
    """Return the page's form, which has more fields than others; kept where the checks of it look."""
    fields: dict[str, str] = {}
    files: dict[str, SentFile] = {}
    if request.method == "POST":
        async with request.form(max_files=1, max_fields=MOST_FIELDS, max_part_size=LARGEST_FIELD) as sent:
            for name, value in sent.multi_items():
                if isinstance(value, UploadFile):
                    files[name] = SentFile(SHEET_FILE, await value.read())
                else:
                    fields[name] = value
    request.state.form = Form(fields, files)
    return Form(fields, files)


PlanForm = Annotated[Form, Depends(read_plan_form)]


class Wish(BaseModel):
    """What the script asks for: a sheet as it stands, a blank by its name, a slide in metres."""

    model_config = ConfigDict(extra="forbid")
    sheet: str = Field(max_length=LONGEST_SHEET)
    blank: str = Field("", max_length=200)
    slide: float | None = Field(None, ge=-FARTHEST, le=FARTHEST, allow_inf_nan=False)

    @property
    def asked(self) -> Asked:
        """Blank and slide."""
        return Asked(self.blank, self.slide)


def typed_of(form: Form) -> dict[str, str]:
    """Return what stands in the fields of the board."""
    return {
        name: text[:_LONGEST_FIELD]
        for name, text in form.fields.items()
        if name in _SINGLE or 1 <= name.count("/") <= 2
    }


def draft_in(session: Session, number: int, form: Form, reader: Reader) -> Draft:
    """Return the draft that a form holds, begun from the revision that it names.

    Raises
    ------
    UnknownError
        There is no such board.
    """
    row = require_row(session, BoardRow, number)
    stored = board_at(session, number, revision_of(form, row.revision)).sheet
    draft = draft_of(stored, typed_of(form), reader, bay_text(session))
    return _with_place(draft, " ".join(form.text(NEW_PLACE).split())[:60])


def revision_of(form: Form, current: int) -> int:
    """Return the revision that a form began from; the current one if it names none."""
    written = form.text("revision")
    return int(written) if _COUNT.fullmatch(written) and 1 <= int(written) <= current else current


def asked_in(form: Form, reader: Reader) -> Asked:
    """Return blank and slide as a form asks for them."""
    return asked_of(form.text("blank"), form.text("slide"), reader)


def _with_place(draft: Draft, place: str) -> Draft:
    """The draft with an empty row for a station that is added, or with why there can be none."""
    if not place:
        return draft
    x, say = draft.stations.x(place), draft.reader.words.say
    standing = [row.label for row in draft.form.rows if x is not None and abs(row.x - x) < NEAR]
    if standing:
        what = say("plan.station-there", place=place)
        remedy = say("plan.station-there-remedy", label=standing[0])
    elif x is None or "/" in place:
        what, remedy = say("plan.station-unknown", place=place), say("plan.station-remedy")
    else:
        return replace(draft, typed={**draft.typed, f"outline/{place}": ""})
    return replace(draft, problems=[*draft.problems, Problem(NEW_PLACE, what, remedy)], place=place)


def sheet_sent(form: Form) -> str:
    """Return the text of the sheet that was sent as a file.

    Raises
    ------
    ShopError
        There is none, or it is no text.
    """
    file = form.files.get("file")
    if file is None or not file.data:
        raise ShopError(told("file", "empty"))
    return sheet_text(file)
