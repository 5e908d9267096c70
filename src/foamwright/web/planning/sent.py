"""What the workbench sends: its one form, for a browser without script."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import Depends, Path, Request
from sqlalchemy.orm import Session
from starlette.datastructures import UploadFile

from foamwright.shop.bays import bay_text
from foamwright.shop.boards import board_at
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.shop.texts import LONGEST_SHEET
from foamwright.shop.told import ShopError, told
from foamwright.web.forms import LARGEST_FIELD, Form, SentFile, sheet_text
from foamwright.web.planning.asked import Asked, asked_of
from foamwright.web.planning.draft import Draft, draft_of
from foamwright.web.planning.making import made
from foamwright.web.rendering import Reader

MOST_FIELDS = 200
SHEET_FILE = "board.toml"
ROW = "n:"
"""Before the name of a row, so that no key of a sheet is taken for a field of the page."""

_LONGEST_FIELD = 400
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


def draft_in(session: Session, number: int, form: Form, reader: Reader) -> Draft:
    """Return the draft that a form holds: its sheet, changed by its rows, and by the key that was pressed.

    Raises
    ------
    UnknownError
        There is no such board.
    """
    row = require_row(session, BoardRow, number)
    stored = board_at(session, number, revision_of(form, row.revision)).sheet
    typed = {
        name.removeprefix(ROW): text[:_LONGEST_FIELD]
        for name, text in form.fields.items()
        if name.startswith(ROW)
    }
    back_to = older_sheet(session, number, f"version|{form.text('back_to')}")
    sheet = back_to or form.text("sheet").replace("\r\n", "\n")[:LONGEST_SHEET]
    draft = draft_of(stored, typed, reader, bay_text(session), sheet)
    return made(draft, form.text("make")[:200])


def older_sheet(session: Session, number: int, key: str) -> str:
    """Return the sheet of the version that a key goes back to; empty if it goes to none."""
    found = re.fullmatch(r"version\|([0-9]{1,9})", key)
    return board_at(session, number, int(found[1])).sheet if found else ""


def revision_of(form: Form, current: int) -> int:
    """Return the revision that a form began from; the current one if it names none."""
    written = form.text("revision")
    return int(written) if _COUNT.fullmatch(written) and 1 <= int(written) <= current else current


def asked_in(form: Form, reader: Reader) -> Asked:
    """Return blank and slide as a form asks for them."""
    return asked_of(form.text("blank"), form.text("slide"), reader)


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
