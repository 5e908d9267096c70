"""Lists of blanks as they are sent: a supplier's CSV or XLSX, or a stock sheet."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeVar

from foamwright.blank.numbers import BlankNumbers
from foamwright.blank.sheet import stock_from_text
from foamwright.errors import Problem
from foamwright.shop.database import Work
from foamwright.shop.lists import BadRow, ListForm, read_list
from foamwright.shop.stock import CountRule, Intake, take_in
from foamwright.shop.texts import line_of
from foamwright.shop.told import ShopError, told
from foamwright.units import Unit
from foamwright.web.forms import Form, SentFile, sheet_text

C = TypeVar("C", bound=StrEnum)


class BadRows(StrEnum):
    """What becomes of a list with rows that are no blanks."""

    REFUSE = "refuse"
    SKIP = "skip"


@dataclass(frozen=True, slots=True)
class ListRead:
    """A list as it was read, and how it is to be taken in."""

    name: str
    supplier: str
    unit: Unit
    counts: CountRule
    blanks: tuple[BlankNumbers, ...]
    bad: tuple[BadRow, ...]


def read_sent_list(form: Form, usual: Unit) -> ListRead:
    """Return the list that a form brings.

    Raises
    ------
    InputError
        There is no file, or it cannot be read; rows that cannot are in its `bad`.
    """
    file = form.files.get("file")
    if file is None or not file.data:
        raise ShopError(told("file", "list-empty" if file and file.name else "empty"))
    unit = choice_of(form, "unit", Unit) if form.text("unit") else usual
    counts = choice_of(form, "counts", CountRule)
    blanks, bad = _read(file, ListForm(unit, form.text("currency") or "EUR"))
    return ListRead(file.name, form.text("supplier"), unit, counts, blanks, bad)


def take_in_list(work: Work, read: ListRead, bad_rows: BadRows) -> Intake:
    """Take a list into the stock.

    Raises
    ------
    ShopError
        It has bad rows, and those are not to be left out; nothing was taken in.
    """
    if read.bad and bad_rows is BadRows.REFUSE:
        problems: list[Problem] = [problem for row in read.bad for problem in row.problems]
        raise ShopError(problems)
    return take_in(work, read.blanks, read.supplier, read.unit, read.counts)


def choice_of(form: Form, name: str, kind: type[C]) -> C:
    """Return the choice that a field makes.

    Raises
    ------
    ShopError
        It is none of the choices.
    """
    written = form.text(name)
    try:
        return kind(written)
    except ValueError:
        choices = ", ".join(one.value for one in kind)
        raise ShopError(told(name, "no-choice", written=written[:40], choices=choices)) from None


def _read(file: SentFile, form: ListForm) -> tuple[tuple[BlankNumbers, ...], tuple[BadRow, ...]]:
    name = file.name
    ending = name.rpartition(".")[2].casefold()
    if ending == "toml":
        return stock_from_text(sheet_text(file), name), ()
    if ending not in ("csv", "txt", "tsv", "xlsx", "xlsm"):
        raise ShopError(told("file", "list-kind", name=name))
    listed = read_list(line_of("file", name), file.data, form)
    return listed.blanks, listed.bad
