"""A first sheet of any kind, commented, that works as it stands."""

from __future__ import annotations

from pathlib import Path

from foamwright.errors import InputError, Problem
from foamwright.files import write_atomically
from foamwright.starters import starter_text

USUAL = "starter rider"
"""Names the rider whom a board of a kind is drawn for: the one of the rider starter."""


def new_sheet(sheet: str, like: str | None = None) -> str:
    """Return a starter sheet as TOML text.

    Parameters
    ----------
    sheet
        One of `foamwright.starters.KINDS`.
    like
        For a board: the kind of board it shall be, drawn by the brief for the starter's rider.

    Raises
    ------
    InputError
        A kind of board is named for another sheet.
    """
    if like is None:
        return starter_text(sheet)
    if sheet != "board":
        raise InputError(
            Problem(f"new {sheet} --like", "Only a board has a kind.", f"Leave --like out: new {sheet}.")
        )
    return _board_like(like)


def _board_like(kind: str) -> str:
    # The brief loads curves and programs; only a board of a kind needs them.
    from foamwright.board.sheet import board_sheet
    from foamwright.brief.brief import Wish, brief_for
    from foamwright.brief.kinds import Kind
    from foamwright.sheets.rider import rider_from_text
    from foamwright.units import Unit

    rider = rider_from_text(starter_text("rider"), USUAL)
    board = brief_for(rider, Wish(Kind(kind))).board
    head = (
        f"# A {kind} of {1000 * board.volume:.1f} litres for the starter rider (foamwright new rider).",
        "# Every number is yours to change; foamwright check tells what a change does.",
        "",
    )
    return "\n".join((*head, board_sheet(board.numbers, Unit.INCH)))


def write_new_sheet(path: Path, text: str) -> None:
    """Write a starter where nothing is yet.

    Raises
    ------
    InputError
        Something of that name is there already, or nothing can be written there.
    """
    if path.exists() or path.is_symlink():
        raise InputError(
            Problem(
                str(path), "There is a file of that name already; it stays as it is.", "Choose another name."
            )
        )
    write_atomically(path, text.encode())
