"""Money in whole numbers of the smallest unit: read, written, multiplied by rates, added up.

No floating point number comes near it: a price is an `int`, a rate is a `Decimal` of per cent.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from foamwright.shop.told import ShopError, told

MOST = 10**13
"""Of smallest units, in one amount: far beyond any board, far within what both databases hold."""

_NO_DECIMALS = frozenset(
    {
        "BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV",
        "XAF", "XOF", "XPF",
    }
)  # fmt: skip
_THREE_DECIMALS = frozenset({"BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"})
"""ISO 4217: currencies whose smallest unit is not the hundredth."""

_AMOUNT = re.compile(r"(-?)([0-9]{1,12})(?:[.,]([0-9]{1,3}))?")
_RATE = re.compile(r"([0-9]{1,4})(?:[.,]([0-9]{1,4}))?\s*%?")
_RATE_PARTS = 10**4
"""A rate is kept to a ten thousandth of a per cent."""


class Rounding(StrEnum):
    """Where tax is rounded to the smallest unit: on each line, or once on the sum."""

    LINE = "line"
    SUM = "sum"


class Prices(StrEnum):
    """Whether prices hold the tax already, or it comes on top."""

    WITH_TAX = "with tax"
    WITHOUT_TAX = "without tax"


@dataclass(frozen=True, slots=True)
class Tax:
    """A tax: its name in the price list, its rate in per cent, and the wording that is printed."""

    name: str
    rate: Decimal
    words: str


@dataclass(frozen=True, slots=True)
class Line:
    """So many of something at a price each, and the name of the tax on it (empty: none)."""

    what: str
    count: int
    each: int
    tax: str = ""

    @property
    def amount(self) -> int:
        """The line's own sum."""
        return self.count * self.each


@dataclass(frozen=True, slots=True)
class TaxLine:
    """What one tax comes to, and on which sum (without the tax)."""

    tax: Tax
    base: int
    amount: int


@dataclass(frozen=True, slots=True)
class Rules:
    """How sums are made: where tax is rounded, what prices hold, and the step of the total (1: none)."""

    rounding: Rounding = Rounding.SUM
    prices: Prices = Prices.WITHOUT_TAX
    step: int = 1


@dataclass(frozen=True, slots=True)
class Totals:
    """Sums that add up as printed: ``net + taxes + rounded == total``."""

    net: int
    taxes: tuple[TaxLine, ...]
    rounded: int
    total: int


def digits_of(currency: str) -> int:
    """Return how many decimals a currency has."""
    if currency in _NO_DECIMALS:
        return 0
    return 3 if currency in _THREE_DECIMALS else 2


def require_currency(written: str, where: str = "currency") -> str:
    """Return a currency's code.

    Raises
    ------
    ShopError
        It is not three capital letters.
    """
    code = written.strip().upper()
    if not re.fullmatch(r"[A-Z]{3}", code):
        raise ShopError(told(where, "no-currency", written=written[:20]))
    return code


def parse_amount(written: str, currency: str, where: str = "amount") -> int:
    """Return an amount in the smallest unit, from text such as ``1250``, ``640.50`` or ``640,50``.

    Raises
    ------
    ShopError
        It is no amount, or finer than the currency.
    """
    plain = written.strip().removesuffix(currency).removeprefix(currency).strip()
    found, places = _AMOUNT.fullmatch(plain), digits_of(currency)
    if found is None or len(found[3] or "") > places:
        example = format_amount(64000, currency, ".").removesuffix(f" {currency}")
        raise ShopError(told(where, "no-amount", written=written[:40], currency=currency, example=example))
    amount = int(found[2]) * int(10**places) + int((found[3] or "").ljust(places, "0") or "0")
    if amount > MOST:
        raise ShopError(told(where, "no-amount", written=written[:40], currency=currency, example="640"))
    return -amount if found[1] else amount


def format_amount(amount: int, currency: str, point: str = ".") -> str:
    """Return an amount as people read it, ``640.50 EUR``."""
    places = digits_of(currency)
    whole, part = divmod(abs(amount), 10**places)
    decimals = f"{point}{part:0{places}d}" if places else ""
    return f"{'-' if amount < 0 else ''}{whole}{decimals} {currency}"


def parse_rate(written: str, where: str = "rate") -> Decimal:
    """Return a rate in per cent from text such as ``19 %`` or ``8.875``.

    Raises
    ------
    ShopError
        It is no rate, or more than 100 %.
    """
    found = _RATE.fullmatch(written.strip())
    if found is None:
        raise ShopError(told(where, "no-rate", written=written[:40]))
    rate = Decimal(f"{found[1]}.{found[2] or '0'}")
    if rate > 100:
        raise ShopError(told(where, "rate-beyond", written=written[:40]))
    return rate


def format_rate(rate: Decimal, point: str = ".") -> str:
    """Return a rate as people read it, ``8.5 %``."""
    plain = f"{rate.normalize():f}"
    return f"{plain.replace('.', point)} %"


def part_of(amount: int, rate: Decimal, of: Decimal = Decimal(100)) -> int:
    """Return ``amount * rate / of``, halves rounded away from nothing."""
    return _rounded(amount * int(rate * _RATE_PARTS), int(of * _RATE_PARTS))


def _rounded(over: int, under: int) -> int:
    size: int = (2 * abs(over) + under) // (2 * under)
    return -size if over < 0 else size


def totals(lines: Sequence[Line], taxes: Iterable[Tax], rules: Rules) -> Totals:
    """Return the sums of lines.

    Parameters
    ----------
    lines
        What is charged.
    taxes
        Those that lines name; a line of another name has none.
    rules
        How sums are made.
    """
    found = tuple(_tax_line(lines, tax, rules) for tax in taxes)
    found = tuple(one for one in found if one.base or one.amount)
    tax = sum(one.amount for one in found)
    written = sum(line.amount for line in lines)
    exact = written if rules.prices is Prices.WITH_TAX else written + tax
    total = _rounded(exact, rules.step) * rules.step
    return Totals(exact - tax, found, total - exact, total)


def _tax_line(lines: Sequence[Line], tax: Tax, rules: Rules) -> TaxLine:
    amounts = [line.amount for line in lines if line.tax == tax.name]
    with_tax = rules.prices is Prices.WITH_TAX
    whole: Decimal = Decimal(100) + tax.rate if with_tax else Decimal(100)
    rounded = amounts if rules.rounding is Rounding.LINE else [sum(amounts)]
    amount = sum(part_of(one, tax.rate, whole) for one in rounded)
    return TaxLine(tax, sum(amounts) - (amount if with_tax else 0), amount)
