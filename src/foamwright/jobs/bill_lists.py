"""Lists for a spreadsheet: quotes and invoices with their taxes, and what is to be bought."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from sqlalchemy.orm import Session

from foamwright.shop.bills import all_bills, bill_of
from foamwright.shop.money import format_amount
from foamwright.shop.supplies import format_quantity, purchase_list

BILL_COLUMNS = (
    "kind", "number", "given_on", "until", "order", "recipient", "currency", "net", "tax", "rate",
    "tax_amount", "rounded", "total",
)  # fmt: skip
PURCHASE_COLUMNS = ("supplier", "name", "quantity", "unit", "on_hand", "promised", "level")


def bills_csv(session: Session, with_contacts: bool = True) -> bytes:
    """Return every quote and invoice, one row a tax: a list for whoever does the books, and no bookkeeping.

    A bill with several taxes has several rows; its net, rounding and total stand in the first alone, so that
    a column adds up. Without contacts the recipient is a name alone.
    """
    rows: list[Sequence[object]] = []
    for row in all_bills(session):
        bill = bill_of(row)
        to = row.recipient if with_contacts else row.recipient.partition("\n")[0]

        def plain(amount: int, currency: str = bill.currency) -> str:
            return format_amount(amount, currency).removesuffix(f" {currency}")

        head = (row.kind, row.name, row.given_on, row.until, row.order_id, to, row.currency)
        whole = (plain(bill.sums.net), plain(bill.sums.rounded), plain(bill.sums.total))
        taxes = [(one.tax.words, str(one.tax.rate), plain(one.amount)) for one in bill.sums.taxes]
        for place, tax in enumerate(taxes or [("", "", plain(0))]):
            net, rounded, total = whole if place == 0 else ("", "", "")
            rows.append((*head, net, *tax, rounded, total))
    return _csv(BILL_COLUMNS, rows)


def purchase_csv(session: Session) -> bytes:
    """Return what is short, by supplier."""
    rows = [
        (
            one.supplier, one.name, format_quantity(one.quantity), one.unit, format_quantity(one.on_hand),
            format_quantity(one.promised), format_quantity(one.level),
        )
        for one in purchase_list(session)
    ]  # fmt: skip
    return _csv(PURCHASE_COLUMNS, rows)


def _csv(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(columns)
    writer.writerows([_cell(one) for one in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def _cell(value: object) -> object:
    # A spreadsheet takes a text that starts so for a formula; a figure below nothing is one of ours.
    is_figure = isinstance(value, str) and value.removeprefix("-").replace(".", "").isdecimal()
    if isinstance(value, str) and not is_figure and value.startswith(("=", "+", "-", "@", "\t")):
        return "'" + value
    return value
