"""Price lists: every problem at once, holes and overlaps among them; nothing overwritten unseen."""

from __future__ import annotations

import pytest
from shop_fixtures import TEACHER

from foamwright.shop.price_list import EXAMPLE, prices_from_text
from foamwright.shop.price_sheets import price_sheets, require_prices, save_prices
from foamwright.shop.told import ShopError, StaleError, UnknownError
from foamwright.units import parse_length


def problems_of(text):
    with pytest.raises(ShopError, match=r".") as wrong:
        prices_from_text(text)
    return [str(problem) for problem in wrong.value.problems]


def test_the_example_is_a_list():
    prices = prices_from_text(EXAMPLE)
    assert prices.kinds == ("short board", "long board")
    assert prices.price_for("short board", parse_length("6'4\"")).price == 69000
    # One row ends where the next begins; the last row of a kind holds its own end.
    assert prices.price_for("short board", parse_length("6'6\"")).price == 76000
    assert prices.price_for("short board", parse_length("7'6\"")).price == 76000
    assert prices.price_for("short board", parse_length("7'7\"")) is None


def test_a_hole_is_told_with_its_ends_and_its_line():
    (problem,) = problems_of(EXAMPLE.replace('from = "6\'6\\""', 'from = "6\'8\\""'))
    line = EXAMPLE.splitlines().index('from = "6\'6\\""') + 1
    assert f"line {line}" in problem
    assert "A short board from 6'6\" to 6'8\" has no price." in problem


def test_every_problem_is_told_at_once():
    text = (
        EXAMPLE.replace('rate = "19 %"', 'rate = "190 %"')
        .replace('price = "60"', 'price = "-60"')
        .replace('to = "6\'6\\""', 'to = "6\'9\\""')
        .replace('name = "fin set"', 'name = "fin set"\ncolour = "red"')
        .replace('deposit = "30 %"', 'deposit = "much"')
    )
    told = " | ".join(problems_of(text))
    for part in (
        "A tax of 190 %",
        "“-60” is less than nothing",
        "has two prices",
        "“colour” is no key",
        "“much”",
    ):
        assert part in told


def test_a_currency_without_a_list_says_what_to_do(database):
    with database.reading() as session, pytest.raises(UnknownError, match="no price list in CHF"):
        require_prices(session, "CHF")


def test_the_second_to_save_sees_the_difference(database):
    with database.writing(TEACHER) as work:
        save_prices(work, 0, EXAMPLE)
        save_prices(work, 0, EXAMPLE.replace('"EUR"', '"CHF"'))
    with database.writing(TEACHER) as work:
        assert save_prices(work, 1, EXAMPLE.replace('"690"', '"700"')).revision == 2
    with (
        pytest.raises(StaleError, match=r"changed meanwhile by teacher") as stale,
        database.writing(TEACHER) as work,
    ):
        save_prices(work, 1, EXAMPLE.replace('"690"', '"710"'))
    assert any("700" in line for line in stale.value.difference)
    with database.reading() as session:
        assert [(row.currency, row.revision) for row in price_sheets(session)] == [("CHF", 1), ("EUR", 2)]
