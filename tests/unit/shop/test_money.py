"""Money: read and written, and sums that another way of reckoning comes to as well."""

from __future__ import annotations

import random
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

import pytest

from foamwright.shop.money import (
    Line,
    Prices,
    Rounding,
    Rules,
    Tax,
    format_amount,
    format_rate,
    parse_amount,
    parse_rate,
    totals,
)
from foamwright.shop.told import ShopError

TAXES = (
    Tax("full", Decimal("19"), "VAT"),
    Tax("low", Decimal("7"), "VAT"),
    Tax("odd", Decimal("8.875"), "T"),
)


def half_away(amount: Fraction) -> int:
    """Rounded by the library of decimals, which shares nothing with whole-number division."""
    exact = Decimal(amount.numerator) / Decimal(amount.denominator)
    return int(exact.quantize(Decimal(1), ROUND_HALF_UP))


def reckoned(lines, rules):
    """Net, tax and total again, by fractions."""
    tax = 0
    for one in TAXES:
        rate = Fraction(one.rate) / 100
        amounts = [Fraction(line.count * line.each) for line in lines if line.tax == one.name]
        shares = [a * rate / (1 + rate) if rules.prices is Prices.WITH_TAX else a * rate for a in amounts]
        if rules.rounding is Rounding.LINE:
            tax += sum(half_away(share) for share in shares)
        else:
            tax += half_away(sum(shares, Fraction(0)))
    written = sum(line.count * line.each for line in lines)
    exact = written if rules.prices is Prices.WITH_TAX else written + tax
    total = half_away(Fraction(exact, rules.step)) * rules.step
    return exact - tax, tax, total


def random_order(draw):
    lines = [
        Line(
            "x",
            draw.randint(1, 12),
            draw.choice([1, -1, 1, 1]) * draw.randint(0, 250_000),
            draw.choice(names),
        )
        for names in [["full", "low", "odd", ""]] * draw.randint(1, 9)
    ]
    rules = Rules(draw.choice(list(Rounding)), draw.choice(list(Prices)), draw.choice([1, 1, 5, 10, 100]))
    return lines, rules


def test_ten_thousand_orders_come_to_the_same_by_fractions():
    draw = random.Random(18)
    for _ in range(10_000):
        lines, rules = random_order(draw)
        sums = totals(lines, TAXES, rules)
        tax = sum(one.amount for one in sums.taxes)
        assert (sums.net, tax, sums.total) == reckoned(lines, rules), (lines, rules)
        assert sums.net + tax + sums.rounded == sums.total


def test_tax_by_line_and_by_sum_differ_where_they_should():
    """Three times 0.13 at 19 %: by line 0.02 each, 0.06 together; on the sum 0.0741, so 0.07."""
    lines = [Line("x", 1, 13, "full")] * 3
    tax = {rounding: totals(lines, TAXES, Rules(rounding)).taxes[0].amount for rounding in Rounding}
    assert tax == {Rounding.LINE: 6, Rounding.SUM: 7}


@pytest.mark.parametrize(
    ("written", "currency", "amount", "shown"),
    [
        ("640", "EUR", 64000, "640.00 EUR"),
        ("640,5", "EUR", 64050, "640.50 EUR"),
        ("1250 EUR", "EUR", 125000, "1250.00 EUR"),
        ("-0.05", "EUR", -5, "-0.05 EUR"),
        ("64000", "JPY", 64000, "64000 JPY"),
        ("1.234", "KWD", 1234, "1.234 KWD"),
    ],
)
def test_amounts_are_read_and_written(written, currency, amount, shown):
    assert parse_amount(written, currency) == amount
    assert format_amount(amount, currency) == shown
    assert parse_amount(format_amount(amount, currency), currency) == amount


@pytest.mark.parametrize("written", ["", "6,40,00", "1e3", "0.005", "£5", "nan", "99999999999999"])
def test_what_is_no_amount_is_refused(written):
    with pytest.raises(ShopError, match=r"is no amount of EUR"):
        parse_amount(written, "EUR")


def test_rates_of_more_than_the_whole_price_are_refused():
    assert format_rate(parse_rate("8,875 %")) == "8.875 %"
    assert format_rate(parse_rate("20")) == "20 %"
    with pytest.raises(ShopError, match=r"A tax of 190 % is more than the whole price\. Look at the decimal"):
        parse_rate("190 %")
