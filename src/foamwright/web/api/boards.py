"""Boards."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter

from foamwright.shop.boards import add_board, all_boards, board_at, change_board, move_board
from foamwright.shop.kinds import Shelf
from foamwright.shop.rows import require_row
from foamwright.shop.tables import BoardRow
from foamwright.web.api.here import Api
from foamwright.web.api.kinds import CHANGES, Id, Revision, Sent, Sheet, Told, answers
from foamwright.web.api.people import ShelfIn
from foamwright.web.visitors import Teacher

router = APIRouter(prefix="/boards", tags=["boards"])


class BoardIn(Sent):
    """A board as sent."""

    sheet: Sheet


class BoardChange(BoardIn):
    """A board as changed."""

    revision: Revision


class BoardEntry(Told):
    """A board in a list."""

    id: int
    name: str
    revision: int
    made_at: datetime
    changed_at: datetime
    archived_at: datetime | None


class BoardOut(BoardEntry):
    """A board with its sheet."""

    sheet: str


class BoardThen(Told):
    """A board's sheet at a revision."""

    board_id: int
    revision: int
    sheet: str
    saved_at: datetime
    saved_by: str


class Boards(Told):
    """Boards by name."""

    boards: list[BoardEntry]


@router.get("", responses=answers())
def list_boards(api: Api, visitor: Teacher, shelf: Shelf = Shelf.IN_USE) -> Boards:
    """Boards by name, those in use or those in the archive."""
    with api.database.reading() as session:
        return Boards.model_validate({"boards": list(all_boards(session, shelf))})


@router.post("", status_code=201, responses=answers(507))
def create_board(api: Api, visitor: Teacher, sent: BoardIn) -> BoardOut:
    """Add a board from its sheet; every problem of the sheet is told with its line."""
    with api.database.writing(visitor.actor) as work:
        return BoardOut.model_validate(add_board(work, sent.sheet))


@router.get("/{id}", responses=answers(404))
def read_board(api: Api, visitor: Teacher, id: Id) -> BoardOut:
    """One board with its sheet."""
    with api.database.reading() as session:
        return BoardOut.model_validate(require_row(session, BoardRow, id))


@router.put("/{id}", responses=answers(*CHANGES, stale=409))
def update_board(api: Api, visitor: Teacher, id: Id, sent: BoardChange) -> BoardOut:
    """Change a board's sheet; a stale change is answered with the other text and the difference."""
    with api.database.writing(visitor.actor) as work:
        return BoardOut.model_validate(change_board(work, id, sent.revision, sent.sheet))


@router.get("/{id}/revisions/{revision}", responses=answers(404))
def read_board_then(api: Api, visitor: Teacher, id: Id, revision: Id) -> BoardThen:
    """A board's sheet as it was at a revision."""
    with api.database.reading() as session:
        return BoardThen.model_validate(board_at(session, id, revision))


@router.put("/{id}/shelf", responses=answers(*CHANGES))
def shelve_board(api: Api, visitor: Teacher, id: Id, sent: ShelfIn) -> BoardOut:
    """Put a board into the archive, or take one out."""
    with api.database.writing(visitor.actor) as work:
        return BoardOut.model_validate(move_board(work, id, sent.shelf))
