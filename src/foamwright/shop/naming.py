"""Boards and blanks by what people call them: a number of the list, or a name."""

from __future__ import annotations

import re

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.stock import find_blank
from foamwright.shop.tables import BoardRow, StockBlank
from foamwright.shop.told import ShopError, told

MOST_NUMBER = 2_147_483_647

_NUMBER = re.compile(r"#?([0-9]{1,10})|.*\(#([0-9]{1,10})\)")
"""``12``, ``#12``, or a name with its number after it, as lists of choices show it: ``Groyne (#12)``."""


def board_named(session: Session, written: str) -> BoardRow | None:
    """Return the board of a number or a name (of several, the one changed last); ``None`` for no text.

    Raises
    ------
    ShopError
        There is none.
    """
    plain = written.strip()
    if not plain:
        return None
    found = _NUMBER.fullmatch(plain)
    if found is not None and int(found[1] or found[2]) <= MOST_NUMBER:
        row = session.get(BoardRow, int(found[1] or found[2]))
        if row is not None:
            return row
    same = select(BoardRow).where(func.lower(BoardRow.name) == plain.lower(), BoardRow.archived_at.is_(None))
    row = session.scalars(same.order_by(BoardRow.changed_at.desc()).limit(1)).first()
    if row is None:
        raise ShopError(told("board", "no-board-named", written=plain[:40]))
    return row


def blank_named(session: Session, written: str) -> StockBlank | None:
    """Return the blank of a name; ``None`` for no text.

    Raises
    ------
    ShopError
        There is none.
    """
    plain = written.strip()
    if not plain:
        return None
    row = find_blank(session, plain)
    if row is None:
        raise ShopError(told("blank", "no-blank-named", written=plain[:40]))
    return row
