"""The shop's bay sheet: every text it ever had, and nothing overwritten unseen."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from foamwright.bay.sheet import bay_from_text
from foamwright.shop.boards import difference
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.tables import BayRevision
from foamwright.shop.texts import LONGEST_SHEET, note_of
from foamwright.shop.told import StaleError, told

SHEET_NAME = "bay.toml"
"""What messages call the sheet."""


def bay_kept(session: Session) -> BayRevision | None:
    """Return the newest bay sheet; ``None`` if none was ever saved."""
    return session.scalars(select(BayRevision).order_by(BayRevision.revision.desc()).limit(1)).first()


def bay_text(session: Session) -> str:
    """Return the text of the bay sheet; empty: the usual bay."""
    kept = bay_kept(session)
    return "" if kept is None else kept.sheet


def save_bay(work: Work, revision: int, sheet: str) -> int:
    """Save the bay sheet and return its revision; jobs that are planned keep the bay they were planned with.

    Parameters
    ----------
    work
        The piece of work.
    revision
        Which revision the change began from; 0: none was there.
    sheet
        The whole new text; empty: the usual bay.

    Raises
    ------
    StaleError
        Somebody changed it meanwhile; holds their text and the difference. Nothing was overwritten.
    InputError
        Anything in the sheet cannot stand.
    """
    kept = bay_kept(work.session)
    text = note_of("sheet", sheet, LONGEST_SHEET)
    text = text + "\n" if text else ""
    if text == (kept.sheet if kept else ""):
        return kept.revision if kept else 0
    if kept is not None and revision != kept.revision:
        raise _stale(kept, revision, text)
    if text:
        bay_from_text(text, SHEET_NAME)
    row = BayRevision(revision=(kept.revision if kept else 0) + 1, sheet=text)
    row.saved_at, row.saved_by = work.now, work.actor.name
    work.session.add(row)
    work.tell(Event.BAY_SAVED, revision=row.revision)
    return row.revision


def _stale(kept: BayRevision, sent: int, text: str) -> StaleError:
    problem = told("revision", "stale-bay", who=kept.saved_by, current=kept.revision, sent=sent)
    return StaleError(problem, kept.revision, kept.sheet, difference(kept.sheet, text))
