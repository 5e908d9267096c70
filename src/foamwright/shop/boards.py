"""Board sheets kept in the shop: every text they ever had, and nothing overwritten unseen."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.board.sheet import board_from_text
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event, Shelf
from foamwright.shop.rows import move, on_shelf, require_row
from foamwright.shop.searching import refresh_jobs_of
from foamwright.shop.tables import BoardRevision, BoardRow, JobRow
from foamwright.shop.texts import LONGEST_SHEET, LONGEST_TITLE, note_of
from foamwright.shop.told import ShopError, StaleError, UnknownError, told

SHEET_NAME = "board.toml"
"""What messages call a sheet that has no file."""


def add_board(work: Work, sheet: str) -> BoardRow:
    """Add a board from its sheet and return the row.

    Raises
    ------
    InputError
        Anything in the sheet cannot stand; every problem is held.
    """
    text, name = read_sheet(sheet)
    board = BoardRow(name=name, sheet=text, revision=1, made_at=work.now, changed_at=work.now)
    work.session.add(board)
    work.session.flush()
    _keep(work, board)
    return board


def change_board(work: Work, number: int, revision: int, sheet: str, why: str = "") -> BoardRow:
    """Change a board's sheet and return the row.

    Parameters
    ----------
    work
        The piece of work.
    number, revision
        Which board, and which revision of it the change began from.
    sheet
        The whole new text.
    why
        What the version is called, or what it is for; may be empty.

    Raises
    ------
    UnknownError
        There is no such board.
    StaleError
        Somebody changed it meanwhile; holds their text and the difference. Nothing was overwritten.
    InputError
        Anything in the sheet cannot stand.
    """
    board = require_row(work.session, BoardRow, number)
    text = trimmed(sheet)
    if text == board.sheet:
        return board
    if revision != board.revision:
        raise _stale(work.session, board, revision, text)
    board.sheet, board.name = read_sheet(sheet)
    board.revision += 1
    board.changed_at = work.now
    _keep(work, board, note_of("why", why, LONGEST_TITLE))
    refresh_jobs_of(work.session, JobRow.board_id == board.id)
    return board


def move_board(work: Work, number: int, shelf: Shelf) -> BoardRow:
    """Put a board into the archive (jobs keep their board), or take one out."""
    board = require_row(work.session, BoardRow, number)
    if move(board, shelf, work.now):
        work.tell(Event.BOARD_ARCHIVED, board_id=board.id, shelf=shelf.value)
    return board


def all_boards(session: Session, shelf: Shelf = Shelf.IN_USE) -> Sequence[BoardRow]:
    """Return the boards by name: those at hand, or those in the archive."""
    order = (func.lower(BoardRow.name), BoardRow.id)
    return session.scalars(
        select(BoardRow).where(on_shelf(BoardRow.archived_at, shelf)).order_by(*order)
    ).all()


def boards_page(session: Session, shelf: Shelf, limit: int, offset: int) -> tuple[Sequence[BoardRow], int]:
    """Return a page of the boards by name, and how many there are."""
    there = on_shelf(BoardRow.archived_at, shelf)
    order = func.lower(BoardRow.name), BoardRow.id
    # Numbers are sorted first: sorting thousands of rows with their sheets takes four times as long.
    page = select(BoardRow.id).where(there).order_by(*order).limit(limit).offset(offset).subquery()
    count = session.scalar(select(func.count()).select_from(BoardRow).where(there)) or 0
    shown = select(BoardRow).join(page, page.c.id == BoardRow.id).order_by(*order)
    return session.scalars(shown).all(), int(count)


def offered_boards(session: Session, chosen: int | None = None, most: int = 60) -> Sequence[BoardRow]:
    """Return the boards that a list of choices offers, by name: those changed last, and the one chosen.

    A list of thousands helps nobody choose; a board further back is reached from its own page.
    """
    there = BoardRow.archived_at.is_(None)
    newest = (
        select(BoardRow).where(there).order_by(BoardRow.changed_at.desc(), BoardRow.id.desc()).limit(most)
    )
    rows = list(session.scalars(newest))
    own = None if chosen is None else session.get(BoardRow, chosen)
    if own is not None and own not in rows:
        rows.append(own)
    return sorted(rows, key=lambda row: (row.name.casefold(), row.id))


def board_at(session: Session, number: int, revision: int) -> BoardRevision:
    """Return the text a board had at a revision.

    Raises
    ------
    UnknownError
        There is no such board, or it never had that revision.
    """
    found = session.get(BoardRevision, (number, revision))
    if found is None:
        raise UnknownError(told("id", "unknown-board", id=f"{number}, {revision}"))
    return found


def revisions_of(session: Session, number: int, most: int = 50) -> Sequence[BoardRevision]:
    """Return the last versions of a board, newest first."""
    order = BoardRevision.revision.desc()
    return session.scalars(
        select(BoardRevision).where(BoardRevision.board_id == number).order_by(order).limit(most)
    ).all()


def difference(theirs: str, ours: str) -> tuple[str, ...]:
    """Return the lines in which two sheets differ: a unified difference, without head, " …" for a gap."""
    lines = tuple(difflib.unified_diff(theirs.splitlines(), ours.splitlines(), lineterm="", n=2))[3:]
    return tuple(" …" if line.startswith("@@") else line for line in lines)


def trimmed(sheet: str) -> str:
    """Return a sheet's text as it is kept.

    Raises
    ------
    ShopError
        It is longer than any board sheet.
    """
    return note_of("sheet", sheet, LONGEST_SHEET) + "\n"


def read_sheet(sheet: str) -> tuple[str, str]:
    """Return a board sheet's text as it is kept, and the board's name."""
    text = trimmed(sheet)
    name = " ".join(board_from_text(text, SHEET_NAME).name.split())
    if len(name) > LONGEST_TITLE:
        raise ShopError(told("name", "too-long", most=LONGEST_TITLE))
    return text, name


def _keep(work: Work, board: BoardRow, why: str = "") -> None:
    kept = BoardRevision(
        board_id=board.id,
        revision=board.revision,
        sheet=board.sheet,
        saved_at=work.now,
        saved_by=work.actor.name,
        why=why,
    )
    work.session.add(kept)
    work.tell(Event.BOARD_SAVED, board_id=board.id, name=board.name, revision=board.revision)


def _stale(session: Session, board: BoardRow, sent: int, text: str) -> StaleError:
    last = session.get(BoardRevision, (board.id, board.revision))
    problem = told(
        "revision",
        "stale-board",
        name=board.name,
        who=last.saved_by if last else "?",
        current=board.revision,
        sent=sent,
    )
    return StaleError(problem, board.revision, board.sheet, difference(board.sheet, text))
