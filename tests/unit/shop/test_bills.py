"""Quotes and invoices: numbers without a gap whoever writes and is killed, figures that add up as printed."""

from __future__ import annotations

import csv
import io
import os
import random
import signal
import time
from decimal import Decimal
from io import BytesIO

import pypdf
import pytest
from order_support import OWNER, REACH, open_trade, take
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from foamwright.jobs.bill_lists import bills_csv
from foamwright.jobs.bill_papers import bill_pdf
from foamwright.shop.bills import all_bills, bill_of, give_bill, note_payment
from foamwright.shop.money import Line
from foamwright.shop.opening import open_database
from foamwright.shop.order_kinds import BillKind
from foamwright.shop.price_list import EXAMPLE
from foamwright.shop.price_sheets import save_prices
from foamwright.shop.told import BusyError, ConflictError, FullError
from foamwright.web.catalogue import catalogue_of


@pytest.fixture
def trade(database):
    open_trade(database)
    return database


def give(database, order, kind=BillKind.QUOTE):
    with database.writing(OWNER) as work:
        return give_bill(work, order.id, kind)


def numbers(database, kind):
    with database.reading() as session:
        return [row.number for row in all_bills(session, kind)]


def test_each_kind_has_its_own_row_of_numbers_and_a_quote_moves_the_order_on(trade):
    order = take(trade)
    names = [give(trade, order, kind).name for kind in (BillKind.QUOTE, BillKind.INVOICE, BillKind.QUOTE)]
    assert names == ["Q-00001", "I-00001", "Q-00002"]
    with trade.reading() as session:
        assert session.get(type(order), order.id).state == "quoted"


def test_what_was_given_out_stays_whatever_changes_afterwards(trade):
    row = give(trade, take(trade))
    with trade.writing(OWNER) as work:
        save_prices(work, 1, EXAMPLE.replace('"19 %"', '"25 %"').replace("Your shop", "Another"))
    bill = bill_of(row)
    assert (bill.sums.total, str(bill.sums.taxes[0].tax.rate)) == (75000, "19.0")
    assert bill.seller.startswith("Your shop")
    assert (bill.recipient, bill.given_on, bill.until) == (f"Ada Reef\n{REACH}", "2026-03-02", "2026-04-01")


def give_and_fail(database, order):
    with database.writing(OWNER) as work:
        give_bill(work, order.id, BillKind.QUOTE)
        raise ZeroDivisionError


def test_a_number_that_was_not_used_is_given_out_next(trade):
    order, bare = take(trade), take(trade, lines=[])
    give(trade, order)
    with pytest.raises(ConflictError, match="Nothing is charged"):
        give(trade, bare)
    with pytest.raises(ZeroDivisionError):
        give_and_fail(trade, order)
    give(trade, order)
    assert numbers(trade, BillKind.QUOTE) == [1, 2]


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE bills SET total = 1",
        "UPDATE bills SET number = 9",
        "DELETE FROM bills",
        "UPDATE counters SET last = last + 2",
        "UPDATE counters SET last = last - 1",
        "DELETE FROM counters",
        "UPDATE price_sheets SET sheet = ''",
    ],
)
def test_the_database_itself_refuses_to_change_what_was_given_out(trade, statement):
    give(trade, take(trade))
    with pytest.raises(DBAPIError, match="only ever added to"), trade.engine.begin() as connection:
        connection.execute(text(statement))


WRITERS = 50


def write_until_killed(url, order):
    """A program that gives out quotes as fast as it may; it never comes back."""
    database = open_database(url)
    while True:
        try:
            with database.writing(OWNER) as work:
                give_bill(work, order, BillKind.QUOTE)
        except (BusyError, FullError):
            time.sleep(0.01)


def wait_for_numbers(url):
    watcher = open_database(url)
    while len(numbers(watcher, BillKind.QUOTE)) < WRITERS:
        time.sleep(0.05)
    watcher.close()


def test_numbers_have_no_gap_under_fifty_writers_that_are_killed(trade, database_url):
    """Fifty programs write at once; each is killed at a moment of its own, wherever it is by then."""
    order = take(trade)
    trade.close()
    draw, children = random.Random(50), []
    for _ in range(WRITERS):
        child = os.fork()
        if child == 0:
            try:
                write_until_killed(database_url, order.id)
            finally:
                os._exit(1)
        children.append(child)
    wait_for_numbers(database_url)
    draw.shuffle(children)
    for child in children:
        time.sleep(draw.uniform(0.0, 0.04))
        os.kill(child, signal.SIGKILL)
    assert {os.waitpid(child, 0)[1] for child in children} == {signal.SIGKILL}
    after = open_database(database_url)
    try:
        given = numbers(after, BillKind.QUOTE)
        assert len(given) >= WRITERS
        assert given == list(range(1, len(given) + 1))
        assert give(after, order).number == len(given) + 1
    finally:
        after.close()


def printed(row, language="en", point="."):
    data = bill_pdf(bill_of(row), catalogue_of(language).say, language, point)
    return [page.extract_text(extraction_mode="layout") for page in pypdf.PdfReader(BytesIO(data)).pages]


def figures(text):
    return [
        Decimal(word)
        for word in text.replace("EUR", " ").split()
        if word.replace(".", "").isdecimal() and "." in word
    ]


@pytest.mark.parametrize("prices_are", ["with tax", "without tax"])
def test_a_page_adds_up_as_printed(trade, prices_are):
    with trade.writing(OWNER) as work:
        sheet = EXAMPLE.replace('prices_are = "with tax"', f'prices_are = "{prices_are}"')
        save_prices(work, 1, sheet + '\n[[tax]]\nname = "low"\nrate = "8.875 %"\nwords = "City"\n')
    lines = [Line("a", 3, 3333, "full"), Line("b", 1, 1999, "low"), Line("c", 7, 101, "full")]
    (page,) = printed(give(trade, take(trade, lines=lines, deposit=0)))
    words = {line.split()[0]: figures(line) for line in page.splitlines() if figures(line)}
    amounts = [words[name][-1] for name in ("a", "b", "c")]
    net, total = words["Sum"][-1], words["Total"][-1]
    taxes = [words["VAT"][-1], words["City"][-1]]
    assert amounts == [Decimal("99.99"), Decimal("19.99"), Decimal("7.07")]
    assert net + sum(taxes) == total
    assert (total if prices_are == "with tax" else net) == sum(amounts)


def test_an_invoice_tells_what_was_paid_and_what_is_left_and_its_words_are_the_readers(trade):
    order = take(trade)
    with trade.writing(OWNER) as work:
        note_payment(work, order.id, 22500)
    (english,), (german,) = (
        printed(give(trade, order, BillKind.INVOICE), *reader) for reader in (("en", "."), ("de", ","))
    )
    assert "Still to pay" in english
    assert "525.00 EUR" in english
    assert "Rechnung I-00002" in german
    assert "525,00 EUR" in german


def test_many_lines_take_pages_and_none_is_lost(trade):
    lines = [Line(f"thing {n}", 1, 100 + n) for n in range(30)]
    pages = printed(give(trade, take(trade, lines=lines)))
    assert len(pages) == 2
    assert all(f"thing {n}" in "".join(pages) for n in range(30))
    assert "Total" not in pages[0]
    assert "34.35 EUR" in pages[1]


def test_the_list_for_the_books_adds_up(trade):
    give(trade, take(trade))
    give(trade, take(trade, who="=Jon Cove"), BillKind.INVOICE)
    with trade.reading() as session:
        rows = list(csv.DictReader(io.StringIO(bills_csv(session).decode("utf-8-sig"))))
    assert [row["number"] for row in rows] == ["I-00001", "Q-00001"]
    assert rows[0]["recipient"].startswith("'=Jon")
    for row in rows:
        assert Decimal(row["net"]) + Decimal(row["tax_amount"]) == Decimal(row["total"]) == Decimal(750)
