"""Quotes and invoices as PDF, in the words of a language."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from foamwright.shop.bills import Bill
from foamwright.shop.money import Prices, format_amount, format_rate
from foamwright.shop.order_kinds import BillKind

if TYPE_CHECKING:
    from foamwright.papers.bill import SumLine


class Say(Protocol):
    """Gives the words of a key with their places filled, as the app's catalogue does."""

    def __call__(self, key: str, /, **values: object) -> str:
        """Return the words."""
        ...


def bill_pdf(bill: Bill, say: Say, language: str, point: str) -> bytes:
    """Return a quote or an invoice as PDF.

    Parameters
    ----------
    bill
        What was given out.
    say
        The words of a language.
    language, point
        Its code, and what stands before decimals.
    """
    # Drawing and its libraries are loaded only where papers are written.
    from foamwright.papers.bill import BillPage, bill_document, pages_needed
    from foamwright.papers.pdf import pdf_bytes

    pages = pages_needed(len(bill.lines))
    page = BillPage(
        title=say(f"bill.{bill.kind}.title", number=bill.name),
        seller=bill.seller,
        recipient=bill.recipient,
        subject=bill.title,
        facts=_facts(bill, say),
        headings=(say("bill.what"), say("bill.count"), say("bill.each"), say("bill.amount")),
        rows=[
            (one.what, str(one.count), _plain(one.each, bill, point), _plain(one.amount, bill, point))
            for one in bill.lines
        ],
        sums=_sums(bill, say, point),
        notes=_notes(bill, say, point),
        terms=bill.terms,
        language=language,
        page_words=tuple(say("bill.page", of=pages, page=n) for n in range(1, pages + 1)),
    )
    return pdf_bytes(bill_document(page))


def _plain(amount: int, bill: Bill, point: str) -> str:
    return format_amount(amount, bill.currency, point).removesuffix(f" {bill.currency}")


def _facts(bill: Bill, say: Say) -> list[tuple[str, str]]:
    until = say("bill.quote.until" if bill.kind is BillKind.QUOTE else "bill.invoice.until")
    facts = [
        (say("bill.date"), bill.given_on),
        (until, bill.until),
    ]
    return [*facts, (say("bill.due"), bill.due_on)] if bill.due_on else facts


def _sums(bill: Bill, say: Say, point: str) -> list[SumLine]:
    from foamwright.papers.bill import SumLine

    sums, with_tax = bill.sums, bill.prices_are == Prices.WITH_TAX
    found: list[SumLine] = []
    if sums.taxes:
        found.append(SumLine(say("bill.net"), _plain(sums.net, bill, point)))
    for one in sums.taxes:
        words = say(
            "bill.tax-in" if with_tax else "bill.tax-on",
            words=one.tax.words,
            rate=format_rate(one.tax.rate, point),
            base=_plain(one.base, bill, point),
        )
        found.append(SumLine(words, _plain(one.amount, bill, point)))
    if sums.rounded:
        found.append(SumLine(say("bill.rounded"), _plain(sums.rounded, bill, point)))
    found.append(SumLine(say("bill.total"), format_amount(sums.total, bill.currency, point), True))
    if bill.kind is BillKind.INVOICE and bill.paid:
        found.append(SumLine(say("bill.paid"), _plain(-bill.paid, bill, point)))
        left = format_amount(sums.total - bill.paid, bill.currency, point)
        found.append(SumLine(say("bill.left"), left, True))
    return found


def _notes(bill: Bill, say: Say, point: str) -> list[str]:
    notes = [say("bill.wish", name=say(f"orders.{name}"), words=words) for name, words in bill.wishes]
    if bill.kind is BillKind.QUOTE:
        if bill.deposit:
            notes.append(say("bill.deposit", amount=format_amount(bill.deposit, bill.currency, point)))
        notes.append(say("bill.holds", day=bill.until))
    else:
        notes.append(say("bill.pay", day=bill.until))
    return notes
