"""A price list as a sheet: prices by kind and length, extras, taxes, and the words of quote and invoice."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise
from typing import Any, TypeVar

from foamwright.errors import InputError, Problem
from foamwright.sheets.document import Document, parse_document
from foamwright.shop.money import Prices, Rounding, Rules, Tax, parse_amount, parse_rate, require_currency
from foamwright.shop.told import ShopError, told
from foamwright.units import format_feet, parse_length

SHEET_NAME = "prices.toml"
SAME = 1e-4
"""Metres within which one row ends where the next begins."""

T = TypeVar("T")
_TOP = {
    "currency", "rounding", "round_total_to", "prices_are", "quote_days", "pay_days", "deposit", "seller",
    "terms", "quote_prefix", "invoice_prefix", "hour", "tax", "price", "extra",
}  # fmt: skip
_ROWS = {
    "tax": {"name", "rate", "words"},
    "price": {"kind", "from", "to", "price", "tax"},
    "extra": {"name", "price", "tax"},
}


@dataclass(frozen=True, slots=True)
class PriceRow:
    """What a kind of board costs from a length (with it) up to another (without it, but in the last row)."""

    kind: str
    least: float
    most: float
    price: int
    tax: str


@dataclass(frozen=True, slots=True)
class Extra:
    """What can be added to a board, and what it costs."""

    name: str
    price: int
    tax: str


@dataclass(frozen=True, slots=True)
class PriceList:
    """A price list.

    Attributes
    ----------
    deposit
        Share of the total asked for in advance, per cent.
    quote_days, pay_days
        How long a quote holds, and how long an invoice may wait.
    seller, terms
        Whose paper it is, and what stands at its foot: the shop's own words.
    hour
        What an hour of work costs the shop, for the cost (not the price); `None`: the bay sheet's.
    """

    currency: str
    rules: Rules = field(default_factory=Rules)
    deposit: Decimal = Decimal(0)
    quote_days: int = 30
    pay_days: int = 14
    seller: str = ""
    terms: str = ""
    prefixes: tuple[str, str] = ("Q-", "I-")
    hour: int | None = None
    taxes: tuple[Tax, ...] = ()
    prices: tuple[PriceRow, ...] = ()
    extras: tuple[Extra, ...] = ()

    @property
    def kinds(self) -> tuple[str, ...]:
        """The kinds of board that have a price, in the order of the sheet."""
        return tuple(dict.fromkeys(row.kind for row in self.prices))

    def price_for(self, kind: str, length: float) -> PriceRow | None:
        """Return the row of a kind and a length in metres; ``None`` if there is none."""
        rows = sorted((row for row in self.prices if row.kind == kind), key=lambda row: row.least)
        for row in rows:
            if row.least - SAME <= length and (
                length < row.most - SAME or (row is rows[-1] and length <= row.most + SAME)
            ):
                return row
        return None


class _Reader:
    """Reads values of a price sheet and gathers every problem at its place."""

    def __init__(self, document: Document) -> None:
        self.document, self.problems = document, list[Problem]()
        self.tree: Mapping[str, Any] = document.tree
        self.currency = "EUR"

    def note(self, path: tuple[str | int, ...], key: str, **values: object) -> None:
        self.problems.append(told(self.document.where(path), key, **values))

    def read(
        self, path: tuple[str | int, ...], value: Any, parse: Callable[[str, str], T], otherwise: T
    ) -> T:
        """Return a value parsed, or `otherwise` with its problem noted."""
        if isinstance(value, bool) or not isinstance(value, str | int | float):
            self.note(path, "missing" if value is None else "no-text")
            return otherwise
        try:
            return parse(str(value), self.document.where(path))
        except InputError as wrong:
            self.problems += wrong.problems
            return otherwise

    def amount(self, path: tuple[str | int, ...], value: Any) -> int:
        found = self.read(path, value, lambda text, where: parse_amount(text, self.currency, where), 0)
        if found < 0:
            self.note(path, "below-nothing", written=str(value))
        return found

    def rows(self, name: str) -> list[tuple[int, dict[str, Any]]]:
        """Return the entries of [[name]]; what is none, and keys that nobody knows, are noted."""
        found = self.tree.get(name, [])
        if not isinstance(found, list) or not all(isinstance(one, dict) for one in found):
            self.note((name,), "no-rows", name=name)
            return []
        for place, one in enumerate(found):
            for key in sorted(set(one) - _ROWS[name]):
                self.note((name, place, key), "price-key", written=key, known=", ".join(sorted(_ROWS[name])))
        return list(enumerate(found))

    def choice(self, name: str, kind: Callable[[str], T], choices: str, otherwise: T) -> T:
        value = self.tree.get(name)
        try:
            return otherwise if value is None else kind(str(value))
        except ValueError:
            self.note((name,), "no-choice", written=str(value)[:40], choices=choices)
            return otherwise


def prices_from_text(text: str, name: str = SHEET_NAME) -> PriceList:
    """Return the price list in a sheet's text.

    Raises
    ------
    InputError
        Anything in it cannot stand, a hole or an overlap in a kind's lengths too; every problem is held.
    """
    reader = _Reader(parse_document(text, name))
    found = _read(reader)
    if reader.problems:
        raise ShopError(reader.problems)
    return found


def _read(reader: _Reader) -> PriceList:
    tree = reader.tree
    for key in sorted(set(tree) - _TOP):
        reader.note((key,), "price-key", written=key, known=", ".join(sorted(_TOP)))
    reader.currency = reader.read(("currency",), tree.get("currency"), require_currency, "EUR")
    taxes = tuple(_tax(reader, place, row) for place, row in reader.rows("tax"))
    names = {tax.name for tax in taxes}
    return PriceList(
        currency=reader.currency,
        rules=_rules(reader),
        deposit=reader.read(("deposit",), tree.get("deposit", "0"), parse_rate, Decimal(0)),
        quote_days=reader.read(("quote_days",), tree.get("quote_days", 30), _days, 30),
        pay_days=reader.read(("pay_days",), tree.get("pay_days", 14), _days, 14),
        seller=reader.read(("seller",), tree.get("seller", ""), _words(600), ""),
        terms=reader.read(("terms",), tree.get("terms", ""), _words(1200), ""),
        prefixes=(_prefix(reader, "quote_prefix", "Q-"), _prefix(reader, "invoice_prefix", "I-")),
        hour=reader.amount(("hour",), tree["hour"]) if "hour" in tree else None,
        taxes=taxes,
        prices=_price_rows(reader, names),
        extras=tuple(_extra(reader, place, row, names) for place, row in reader.rows("extra")),
    )


def _rules(reader: _Reader) -> Rules:
    tree = reader.tree
    step = reader.amount(("round_total_to",), tree["round_total_to"]) if "round_total_to" in tree else 1
    return Rules(
        reader.choice("rounding", Rounding, "line, sum", Rounding.SUM),
        reader.choice("prices_are", Prices, "with tax, without tax", Prices.WITHOUT_TAX),
        max(step, 1),
    )


def _prefix(reader: _Reader, key: str, usual: str) -> str:
    return reader.read((key,), reader.tree.get(key, usual), _words(10), usual)


def _tax(reader: _Reader, place: int, row: dict[str, Any]) -> Tax:
    name = reader.read(("tax", place, "name"), row.get("name"), _words(40), "")
    rate = reader.read(("tax", place, "rate"), row.get("rate"), parse_rate, Decimal(0))
    words = reader.read(("tax", place, "words"), row.get("words", name), _words(200), name)
    return Tax(name, rate, words)


def _extra(reader: _Reader, place: int, row: dict[str, Any], taxes: set[str]) -> Extra:
    name = reader.read(("extra", place, "name"), row.get("name"), _words(120), "")
    price = reader.amount(("extra", place, "price"), row.get("price"))
    return Extra(name, price, _tax_name(reader, ("extra", place, "tax"), row.get("tax", ""), taxes))


def _price_rows(reader: _Reader, taxes: set[str]) -> tuple[PriceRow, ...]:
    rows = [(place, _price_row(reader, place, row, taxes)) for place, row in reader.rows("price")]
    for kind in dict.fromkeys(row.kind for _, row in rows):
        ours = sorted((one for one in rows if one[1].kind == kind), key=lambda one: one[1].least)
        for (_, before), (place, after) in pairwise(ours):
            ends, begins = format_feet(before.most), format_feet(after.least)
            if after.least > before.most + SAME:
                reader.note(("price", place, "from"), "price-hole", kind=kind, ends=ends, begins=begins)
            elif after.least < before.most - SAME:
                reader.note(("price", place, "from"), "price-twice", kind=kind, ends=ends, begins=begins)
    return tuple(row for _, row in rows)


def _price_row(reader: _Reader, place: int, row: dict[str, Any], taxes: set[str]) -> PriceRow:
    kind = reader.read(("price", place, "kind"), row.get("kind"), _words(80), "")
    least = reader.read(("price", place, "from"), row.get("from"), _length, 0.0)
    most = reader.read(("price", place, "to"), row.get("to"), _length, 9.0)
    if least >= most:
        reader.note(("price", place, "to"), "price-backwards", kind=kind)
    price = reader.amount(("price", place, "price"), row.get("price"))
    return PriceRow(
        kind, least, most, price, _tax_name(reader, ("price", place, "tax"), row.get("tax", ""), taxes)
    )


def _tax_name(reader: _Reader, path: tuple[str | int, ...], written: Any, taxes: set[str]) -> str:
    name = str(written)
    if name and name not in taxes:
        reader.note(path, "no-choice", written=name[:40], choices=", ".join(sorted(taxes)) or "[[tax]]")
    return name


def _length(text: str, where: str) -> float:
    return parse_length(text, None, where)


def _days(text: str, where: str) -> int:
    if not text.isdecimal() or not 0 <= int(text) <= 3650:
        raise ShopError(told(where, "beyond", written=text[:20], least=0, most=3650))
    return int(text)


def _words(most: int) -> Callable[[str, str], str]:
    def read(text: str, where: str) -> str:
        if len(text) > most:
            raise ShopError(told(where, "too-long", most=most))
        return text.strip()

    return read


EXAMPLE = '''\
# A price list. Money is written as text or a plain number; lengths carry their unit.
currency = "EUR"
prices_are = "with tax"      # or "without tax": then tax comes on top
rounding = "sum"             # where tax is rounded: "sum", or "line"
# round_total_to = "0.05"    # where no smaller coin is paid
deposit = "30 %"
quote_days = 30
pay_days = 14
hour = "40"                  # what an hour costs you, for the cost; no customer sees it
seller = """Your shop
Street and town
Tax number"""
terms = "Thank you."

[[tax]]
name = "full"
rate = "19 %"
words = "VAT"

[[price]]
kind = "short board"
from = "5'0\\""
to = "6'6\\""
price = "690"
tax = "full"

[[price]]
kind = "short board"
from = "6'6\\""
to = "7'6\\""
price = "760"
tax = "full"

[[price]]
kind = "long board"
from = "8'0\\""
to = "9'8\\""
price = "980"
tax = "full"

[[extra]]
name = "tint"
price = "60"
tax = "full"

[[extra]]
name = "fin set"
price = "45"
tax = "full"
'''
"""What the page of prices begins with."""
