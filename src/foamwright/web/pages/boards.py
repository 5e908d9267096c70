"""The boards page: sheets in and out, edited as text, a stale change shown the difference."""

from __future__ import annotations

import re
from typing import Annotated

from fastapi import APIRouter, Depends, Path, Response

from foamwright.errors import InputError
from foamwright.shop.boards import add_board, board_at, boards_page, change_board, move_board
from foamwright.shop.database import Work
from foamwright.shop.kinds import Shelf
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.shop.told import StaleError
from foamwright.web.forms import Form, Sent, read_form, sheet_text
from foamwright.web.pages.here import Here, TeacherHere
from foamwright.web.pages.shelves import ON_A_PAGE, MoveTo, Part, part_asked, shelf_asked
from foamwright.web.rendering import NOTHING_TYPED, Typed

router = APIRouter(prefix="/boards", include_in_schema=False, dependencies=[Depends(read_form)])

Number = Annotated[int, Path(ge=1, le=2_147_483_647)]


@router.get("")
def boards(here: TeacherHere) -> Response:
    """Show the boards."""
    return _list(here, NOTHING_TYPED)


@router.post("")
def add(here: TeacherHere, form: Sent) -> Response:
    """Add a board from the sheet that was typed or sent as a file."""

    def do(work: Work) -> str:
        board = add_board(work, sheet_of(form))
        return f"/boards/{board.id}?said=board-added"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


@router.get("/{number}")
def board(here: TeacherHere, number: Number) -> Response:
    """Show one board's sheet."""
    return _form(here, number, NOTHING_TYPED, None)


@router.post("/{number}")
def change(here: TeacherHere, number: Number, form: Sent) -> Response:
    """Change a board's sheet."""

    def do(work: Work) -> str:
        change_board(work, number, form.number("revision"), sheet_of(form))
        return f"/boards/{number}?said=board-saved"

    return here.submit(form, do, lambda typed, wrong: _form(here, number, typed, wrong))


@router.get("/{number}/sheet.toml")
def sheet(here: TeacherHere, number: Number) -> Response:
    """Give the sheet as a file, as the command line reads it."""
    with here.reading() as session:
        row = require_row(session, BoardRow, number)
    return toml_file(row.sheet, f"{row.name}.board.toml")


@router.get("/{number}/revisions/{revision}")
def old_sheet(here: TeacherHere, number: Number, revision: Number) -> Response:
    """Give the sheet as it was at a revision."""
    with here.reading() as session:
        row = require_row(session, BoardRow, number)
        kept = board_at(session, number, revision)
    return toml_file(kept.sheet, f"{row.name}-{revision}.board.toml")


@router.post("/{number}/shelf")
def move(here: TeacherHere, number: Number, form: Sent, to: MoveTo) -> Response:
    """Put a board into the archive, or take one out."""

    def do(work: Work) -> str:
        move_board(work, number, to)
        return f"/boards?said={to.name.casefold()}"

    return here.submit(form, do, lambda typed, _: _list(here, typed))


def toml_file(text: str, name: str) -> Response:
    """Return a sheet as a file to keep."""
    plain = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip("-.") or "sheet.toml"
    headers = {"Content-Disposition": f'attachment; filename="{plain}"'}
    return Response(text, media_type="application/toml", headers=headers)


def _list(here: Here, typed: Typed) -> Response:
    shelf = shelf_asked(here.request)
    with here.reading() as session:
        start = part_asked(here.request)
        rows, count = boards_page(session, shelf, ON_A_PAGE, start)
    return here.show("boards", typed, boards=rows, part=Part(start, count), shelf=shelf, in_use=Shelf.IN_USE)


def _form(here: Here, number: int, typed: Typed, wrong: InputError | None) -> Response:
    with here.reading() as session:
        row = require_row(session, BoardRow, number)
    stale = wrong if isinstance(wrong, StaleError) else None
    return here.show("board", typed, board=row, stale=stale)


def sheet_of(form: Form) -> str:
    """Return the sheet that was sent as a file, if one was, else the one that was typed.

    Raises
    ------
    ShopError
        The file is no text.
    """
    file = form.files.get("file")
    if file is None or not file.data:
        return form.text("sheet")
    return sheet_text(file)
