"""An order as a sheet, for the command line: who, which board, in what, by when."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

from foamwright.errors import InputError, Problem
from foamwright.sheets.document import Document, parse_document
from foamwright.shop.contacts import find_or_add_person
from foamwright.shop.database import Work
from foamwright.shop.money import Line, parse_amount, require_currency
from foamwright.shop.naming import blank_named, board_named
from foamwright.shop.orders import OrderWish
from foamwright.shop.told import ShopError, told
from foamwright.units import parse_length

T = TypeVar("T")

TEXTS = ("title", "kind", "colour", "glass", "fins", "note")
KEYS = {
    *TEXTS,
    "customer",
    "reach",
    "board",
    "length",
    "due",
    "blank",
    "currency",
    "deposit",
    "extras",
    "line",
}
_LINE = {"what", "count", "price", "tax"}


def order_wish(work: Work, text: str, name: str) -> OrderWish:
    """Return what an order's sheet asks for; its customer is found by name, or added.

    Raises
    ------
    ShopError
        Anything in it cannot stand; every problem of the sheet is held.
    """
    document = parse_document(text, name)
    reader = _Reader(document)
    wish = _wish(work, reader)
    if reader.problems:
        raise ShopError(reader.problems)
    return wish


class _Reader:
    def __init__(self, document: Document) -> None:
        self.document, self.problems = document, list[Problem]()
        for key in sorted(set(document.tree) - KEYS):
            self.note((key,), told("", "price-key", written=key, known=", ".join(sorted(KEYS))))

    def note(self, path: tuple[str | int, ...], problem: Problem) -> None:
        self.problems.append(Problem(self.document.where(path), problem.what, problem.remedy))

    def read(self, path: tuple[str | int, ...], value: Any, parse: Callable[[str], T], otherwise: T) -> T:
        """Return a value parsed, or `otherwise` where it is missing or its problem is noted."""
        if value is None:
            return otherwise
        try:
            return parse(str(value))
        except InputError as wrong:
            for problem in wrong.problems:
                self.note(path, problem)
            return otherwise

    def key(self, name: str, parse: Callable[[str], T], otherwise: T) -> T:
        return self.read((name,), self.document.tree.get(name), parse, otherwise)


def _wish(work: Work, reader: _Reader) -> OrderWish:
    tree, session = reader.document.tree, work.session
    currency = reader.key("currency", require_currency, "EUR")
    if not str(tree.get("customer", "")).strip():
        reader.note(("customer",), told("", "no-customer"))
    texts = {name: str(tree.get(name, "")) for name in TEXTS}
    board = reader.key("board", lambda written: board_named(session, written), None)
    blank = reader.key("blank", lambda written: blank_named(session, written), None)
    length = reader.key("length", lambda written: parse_length(written), None)
    deposit = reader.key("deposit", lambda written: parse_amount(written, currency), None)
    lines = _lines(reader, currency)
    extras = tree.get("extras", [])
    person = 0
    if not reader.problems:
        person = find_or_add_person(work, str(tree["customer"]), str(tree.get("reach", ""))).id
    return OrderWish(
        person_id=person,
        board_id=None if board is None else board.id,
        blank_id=None if blank is None else blank.id,
        length_m=length,
        due_on=str(tree.get("due", "")),
        currency=currency,
        deposit=deposit,
        lines=lines,
        extras=tuple(str(one) for one in extras) if isinstance(extras, list) else (str(extras),),
        **texts,
    )


def _lines(reader: _Reader, currency: str) -> list[Line] | None:
    rows = reader.document.tree.get("line")
    if rows is None:
        return None
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        reader.note(("line",), told("", "no-rows", name="line"))
        return None
    return [_line(reader, place, row, currency) for place, row in enumerate(rows)]


def _line(reader: _Reader, place: int, row: dict[str, Any], currency: str) -> Line:
    for key in sorted(set(row) - _LINE):
        reader.note(("line", place, key), told("", "price-key", written=key, known=", ".join(sorted(_LINE))))
    price = reader.read(
        ("line", place, "price"), row.get("price"), lambda one: parse_amount(one, currency), 0
    )
    count = row.get("count", 1)
    if not isinstance(count, int) or isinstance(count, bool):
        reader.note(("line", place, "count"), told("", "no-whole-number", written=str(count)[:40]))
        count = 1
    return Line(str(row.get("what", "")), count, price, str(row.get("tax", "")))
