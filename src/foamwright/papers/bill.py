"""A quote or an invoice as a page: whose it is, for whom, what is charged, what it comes to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from foamwright.papers.drawing import Document, Drawing, Sheet, Text, drawing_of, line
from foamwright.papers.drawing_table import Aligned, Column, TableStyle, table
from foamwright.papers.drawing_text import Block, TextStyle, paragraph
from foamwright.papers.style import Anchor, Face, Lettering, Pen

WIDTH, HEIGHT = 210.0, 297.0
"""A4 upright, mm: what letters are filed in; letter paper is wider and takes it whole."""

LEFT, RIGHT, TOP, FOOT = 22.0, 192.0, 277.0, 20.0
ROWS_ALONE = 14
"""Lines that a page takes that holds the head and the sums too."""
ROWS_MORE = 22
"""Lines of a page that is followed by another."""

_BODY = TextStyle(2.4, Face.TEXT, 1.85)
_SMALL = TextStyle(2.0, Face.TEXT, 1.8)


@dataclass(frozen=True, slots=True)
class SumLine:
    """A line under the table: what, how much, and whether it is the one that counts."""

    what: str
    amount: str
    counts: bool = False


@dataclass(frozen=True, slots=True)
class BillPage:
    """Every word of a quote or an invoice, ready to be set.

    Attributes
    ----------
    facts
        Name and value: number, dates.
    rows
        What, how many, price each, amount.
    notes
        Paragraphs under the sums: deposit, wishes, how long it holds.
    page_words
        Made of the number of a page and how many there are, ``"page 1 of 2"``.
    """

    title: str
    seller: str
    recipient: str
    subject: str
    facts: Sequence[tuple[str, str]]
    headings: tuple[str, str, str, str]
    rows: Sequence[tuple[str, str, str, str]]
    sums: Sequence[SumLine]
    notes: Sequence[str]
    terms: str
    language: str = "en"
    page_words: Sequence[str] = field(default_factory=tuple)


def pages_needed(rows: int) -> int:
    """Return how many pages so many lines take."""
    return 1 + -(-max(0, rows - ROWS_ALONE) // ROWS_MORE)


def bill_document(bill: BillPage) -> Document:
    """Return the pages: the last holds the sums, the foot of each the shop's own words."""
    count = pages_needed(len(bill.rows))
    # The last page has the least room, so the pages before it are filled first.
    cuts = [min(len(bill.rows), ROWS_MORE * n) for n in range(count)] + [len(bill.rows)]
    sheets = [
        Sheet(WIDTH, HEIGHT, _page(bill, n, bill.rows[cuts[n] : cuts[n + 1]], n == count - 1), bill.title)
        for n in range(count)
    ]
    return Document(bill.title, tuple(sheets), bill.subject, bill.language)


def _page(bill: BillPage, number: int, rows: Sequence[tuple[str, str, str, str]], is_last: bool) -> Drawing:
    parts, top = _head(bill)
    lines = _lines(bill, rows)
    parts.append(lines.at(LEFT, top))
    top -= lines.height + 3.0
    if is_last:
        parts += _foot_of_sums(bill, top)
    parts.append(_foot(bill, number))
    return drawing_of(parts)


def _head(bill: BillPage) -> tuple[list[Drawing], float]:
    """Return the head, and where the table begins."""
    name, *address = bill.seller.split("\n") if bill.seller else [""]
    seller = paragraph("\n".join(address), 80.0, _SMALL) if address else Block(Drawing(), 0.0)
    title = Drawing((Text((LEFT, TOP - 48.0), bill.title, Lettering.TITLE, Face.TITLE),))
    parts = [
        Drawing((Text((LEFT, TOP - 5.0), name, Lettering.HEADING, Face.TITLE),)),
        seller.at(LEFT, TOP - 10.0),
        line([(LEFT, TOP - 36.0), (RIGHT, TOP - 36.0)], Pen.HEAVY),
        title,
        paragraph(bill.subject, 84.0, TextStyle(2.8, Face.STRONG, 1.8)).at(LEFT, TOP - 53.0),
    ]
    top = TOP - 66.0
    recipient = paragraph(bill.recipient, 84.0, _BODY)
    parts.append(recipient.at(LEFT, top))
    parts.append(_facts(bill, TOP - 42.5))
    return parts, min(top - recipient.height, TOP - 66.0 - 7.0 * (len(bill.facts) - 3)) - 6.0


def _facts(bill: BillPage, top: float) -> Drawing:
    left = 118.0
    items = []
    for place, (name, value) in enumerate(bill.facts):
        y = top - 7.0 * place
        items.append(Text((left, y), name, 2.3, Face.LABEL, Anchor.TOP_LEFT))
        items.append(Text((RIGHT, y), value, 2.6, Face.FIGURES, Anchor.TOP_RIGHT))
    return Drawing(tuple(items))


def _lines(bill: BillPage, rows: Sequence[tuple[str, str, str, str]]) -> Block:
    what, count, each, amount = bill.headings
    columns = [
        Column(what, 92.0, Aligned.WORDS),
        Column(count, 14.0),
        Column(each, 32.0),
        Column(amount, 32.0),
    ]
    return table(columns, rows, TableStyle(row_height=7.0, height=2.6))


def _foot_of_sums(bill: BillPage, top: float) -> list[Drawing]:
    parts = []
    for one in bill.sums:
        height = 3.6 if one.counts else 2.6
        step = 9.5 if one.counts else 6.4
        face = Face.FIGURES_STRONG if one.counts else Face.FIGURES
        words = Face.STRONG if one.counts else Face.TEXT
        if one.counts:
            parts.append(line([(LEFT + 78.0, top + 0.6), (RIGHT, top + 0.6)], Pen.CUT))
        y = top - step + 2.0
        parts.append(
            Drawing(
                (
                    Text((LEFT + 79.0, y), one.what, height, words),
                    Text((RIGHT - 1.5, y), one.amount, height, face, Anchor.RIGHT),
                )
            )
        )
        top -= step
    top -= 5.0
    for words_of_note in bill.notes:
        note = paragraph(words_of_note, RIGHT - LEFT, _BODY)
        parts.append(note.at(LEFT, top))
        top -= note.height + 2.0
    return parts


def _foot(bill: BillPage, number: int) -> Drawing:
    terms = paragraph(bill.terms, RIGHT - LEFT - 26.0, _SMALL) if bill.terms else Block(Drawing(), 0.0)
    top = FOOT + max(terms.height, 4.0)
    words = bill.page_words[number] if number < len(bill.page_words) else ""
    page = Text((RIGHT, top - 1.0), words, 2.0, Face.LABEL, Anchor.TOP_RIGHT)
    rule = line([(LEFT, top + 2.0), (RIGHT, top + 2.0)], Pen.THIN)
    return drawing_of([rule, terms.at(LEFT, top), Drawing((page,) if words else ())])
