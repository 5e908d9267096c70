"""The shop's price lists: one a currency, every text each ever had, nothing overwritten unseen."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from foamwright.shop.boards import difference
from foamwright.shop.database import Work
from foamwright.shop.kinds import Event
from foamwright.shop.order_tables import PriceSheet
from foamwright.shop.price_list import PriceList, prices_from_text
from foamwright.shop.texts import LONGEST_SHEET, note_of
from foamwright.shop.told import ShopError, StaleError, UnknownError, told


def price_sheets(session: Session) -> Sequence[PriceSheet]:
    """Return the newest price sheet of every currency, by currency."""
    newest = select(PriceSheet.currency, func.max(PriceSheet.revision).label("revision"))
    found = newest.group_by(PriceSheet.currency).subquery()
    same = (PriceSheet.currency == found.c.currency) & (PriceSheet.revision == found.c.revision)
    return session.scalars(select(PriceSheet).join(found, same).order_by(PriceSheet.currency)).all()


def price_sheet(session: Session, currency: str) -> PriceSheet | None:
    """Return the newest price sheet of a currency."""
    ours = select(PriceSheet).where(PriceSheet.currency == currency)
    return session.scalars(ours.order_by(PriceSheet.revision.desc()).limit(1)).first()


def require_prices(session: Session, currency: str) -> PriceList:
    """Return the price list of a currency.

    Raises
    ------
    UnknownError
        There is none.
    """
    row = price_sheet(session, currency)
    if row is None:
        raise UnknownError(told("currency", "no-prices", currency=currency))
    return prices_from_text(row.sheet)


def save_prices(work: Work, revision: int, sheet: str) -> PriceSheet:
    """Save a price list under its own currency; quotes and invoices given out keep what they said.

    Parameters
    ----------
    work
        The piece of work.
    revision
        Which revision of that currency the change began from; 0: none was there.
    sheet
        The whole new text.

    Raises
    ------
    StaleError
        Somebody changed it meanwhile. Nothing was overwritten.
    ShopError
        Anything in it cannot stand.
    """
    text = note_of("sheet", sheet, LONGEST_SHEET) + "\n"
    if not text.strip():
        raise ShopError(told("sheet", "empty"))
    prices = prices_from_text(text)
    stored = price_sheet(work.session, prices.currency)
    if stored is not None and stored.sheet == text:
        return stored
    if stored is not None and stored.revision != revision:
        who = {"who": stored.saved_by, "current": stored.revision, "sent": revision}
        problem = told("revision", "stale-prices", currency=prices.currency, **who)
        raise StaleError(problem, stored.revision, stored.sheet, difference(stored.sheet, text))
    row = PriceSheet(currency=prices.currency, revision=(stored.revision if stored else 0) + 1, sheet=text)
    row.saved_at, row.saved_by = work.now, work.actor.name
    work.session.add(row)
    work.tell(Event.PRICES_SAVED, currency=row.currency, revision=row.revision)
    return row
