"""Kinds of values in a sheet, as pydantic reads them: each either becomes SI or says what would be right.

A `HOLE` stands where a value is missing or cannot be read, after its problem has been noted; every field
takes it, so that the rest of the sheet can still be checked in the same pass. Numbers become ``nan``, which
no comparison finds wrong.
"""

from __future__ import annotations

import difflib
import math
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import reduce
from typing import Any, Final, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, PlainValidator, ValidationInfo, model_validator
from pydantic_core import PydanticCustomError

from foamwright.errors import InputError
from foamwright.findings import Said, said
from foamwright.units import (
    BareNumberError,
    Unit,
    format_feet,
    format_length,
    parse_length,
    parse_mass,
    quoted,
)
from foamwright.units import System as ReadOut

T = TypeVar("T")
PROBLEM: Final = "sheet"
BARE: Final = "sheet_bare_number"


class _Hole:
    """See the head of this module."""

    def __repr__(self) -> str:
        return "HOLE"


HOLE: Final = _Hole()


class SheetModel(BaseModel):
    """A table of a sheet; a key it does not know is a problem."""

    model_config = ConfigDict(extra="forbid", frozen=True, arbitrary_types_allowed=True)

    @model_validator(mode="before")
    @classmethod
    def _table_of_holes(cls, data: Any) -> Any:
        return {n: HOLE for n, f in cls.model_fields.items() if f.is_required()} if data is HOLE else data


class StationTable(SheetModel):
    """A table whose further keys are stations; a subclass says what stands at them."""

    model_config = ConfigDict(extra="allow")

    @property
    def stations(self) -> dict[str, Any]:
        """What stands at each station, by its name, in the order of the sheet as far as pydantic keeps it."""
        named = {key: getattr(self, key) for key in ("tail", "nose") if getattr(self, key, None) is not None}
        return {**named, **(self.model_extra or {})}


class Kind(StrEnum):
    """What a field holds, for whoever shows it: a length, a bare number, a word of a few, or a text."""

    LENGTH = "length"
    NUMBER = "number"
    WORD = "word"
    TEXT = "text"


@dataclass(frozen=True)
class Reads(PlainValidator):
    """A reader that also says what it takes, so that a form can be built from the declaration alone.

    Attributes
    ----------
    kind
        What the field holds.
    what
        Its name with its article, as messages have it.
    least, most
        Limits: metres of a length, the number itself otherwise.
    choices
        The words it takes.
    """

    kind: Kind = Kind.TEXT
    what: str = ""
    least: float = -math.inf
    most: float = math.inf
    choices: tuple[str, ...] = ()


def length(what: str, least: str, most: str) -> Reads:
    """Return the reader of a length between two others (``"4 ft"``); `what` names it with its article."""
    low, high = parse_length(least), parse_length(most)

    def read(value: Any, info: ValidationInfo) -> float:
        if value is HOLE:
            return math.nan
        metres = _read(lambda: parse_length(value, (info.context or {}).get("unit")), _kind)
        return metres if low <= metres <= high else _out_of(value, what, _span(low), _span(high))

    return Reads(read, kind=Kind.LENGTH, what=what, least=low, most=high)


def mass(what: str, least: float, most: float) -> PlainValidator:
    """Return the reader of a mass from `least` to `most` kilograms."""

    def read(value: Any) -> float:
        if value is HOLE:
            return math.nan
        kilograms = _read(lambda: parse_mass(value), lambda why: PROBLEM)
        return (
            kilograms if least <= kilograms <= most else _out_of(value, what, f"{least:g} kg", f"{most:g} kg")
        )

    return PlainValidator(read)


def number(
    what: str, example: str, least: float, most: float = math.inf, words: Mapping[str, float] | None = None
) -> Reads:
    """Return the reader of a plain number from `least` to `most`, or of one of a few `words` for one."""
    known = words or {}

    def read(value: Any) -> float:
        if value is HOLE:
            return math.nan
        if isinstance(value, str) and value.strip().casefold() in known:
            return known[value.strip().casefold()]
        if isinstance(value, bool) or not isinstance(value, int | float) or not _finite(value):
            none = said("sheet.no-number", "{written} is not a number.", written=quoted(value))
            raise problem(none, _write(what, [example, *(f'"{name}"' for name in known)]))
        return float(value) if least <= value <= most else _out_of(value, what, f"{least:g}", f"{most:g}")

    return Reads(read, kind=Kind.NUMBER, what=what, least=least, most=most, choices=tuple(known))


def count(what: str, example: str, least: int, most: int) -> Reads:
    """Return the reader of a whole number from `least` to `most`."""

    def read(value: Any) -> int:
        if value is HOLE:
            return least
        if isinstance(value, bool) or not isinstance(value, int):
            none = said("sheet.no-whole-number", "{written} is not a whole number.", written=quoted(value))
            raise problem(none, _write(what, [example]))
        return value if least <= value <= most else _out_of(value, what, str(least), str(most))

    return Reads(read, kind=Kind.NUMBER, what=what, least=least, most=most)


def text(what: str, example: str, most: int = 100) -> Reads:
    """Return the reader of a line of text."""

    def read(value: Any) -> str:
        if value is HOLE:
            return ""
        if not isinstance(value, str):
            remedy = said(
                "sheet.in-quotes-like",
                'Write {what} in quotes, like "{example}".',
                what=what,
                example=example,
            )
            raise problem(_no_text(value), remedy)
        _refuse_unseen(value)
        if not value.strip() or not value.isprintable() or len(value) > most:
            raise problem(
                said("sheet.cannot-be", "{written} cannot be {what}.", written=quoted(value), what=what),
                said("sheet.one-line", "Write one line of 1 to {most} characters.", most=str(most)),
            )
        return value

    return Reads(read, kind=Kind.TEXT, what=what)


def _no_text(value: object) -> str:
    return said("sheet.no-text", "{written} is not a text.", written=quoted(value))


def _refuse_unseen(value: str) -> None:
    if hidden := hidden_letters(value):
        raise problem(
            said(
                "sheet.unseen",
                "{written} holds what nobody sees ({names}).",
                written=quoted(value),
                names=hidden,
            ),
            said("sheet.unseen.remedy", "Write it again without."),
        )


def hidden_letters(text: str) -> str:
    """Return the names of the letters in a text that have no shape of their own: zero width, direction."""
    found = dict.fromkeys(letter for letter in text if unicodedata.category(letter) == "Cf")
    return ", ".join(unicodedata.name(letter, f"U+{ord(letter):04X}").lower() for letter in found)


def word(what: str, choices: Mapping[str, T]) -> Reads:
    """Return the reader of one of a few words; a hole becomes the first of them."""

    def read(value: Any) -> T:
        if value is HOLE:
            return next(iter(choices.values()))
        plain = " ".join(value.split()).casefold() if isinstance(value, str) else ""
        if plain in choices:
            return choices[plain]
        wrong = said("sheet.no-such", "{written} is not {what}.", written=quoted(value), what=what)
        raise problem(wrong, did_you_mean(str(value), choices))

    return Reads(read, kind=Kind.WORD, what=what, choices=tuple(choices))


def parsed(parse: Callable[[str], T], hole: T, what: str) -> PlainValidator:
    """Return the reader of a text that `parse` understands; it raises what `problem` makes."""

    def read(value: Any) -> T:
        if value is HOLE:
            return hole
        if not isinstance(value, str):
            raise problem(_no_text(value), said("sheet.in-quotes", "Write {what} in quotes.", what=what))
        return parse(value)

    return PlainValidator(read)


def table_or(key: str) -> BeforeValidator:
    """Return the reader that takes a bare value for a table with that one key."""
    return BeforeValidator(lambda value: value if isinstance(value, dict) or value is HOLE else {key: value})


def entries() -> BeforeValidator:
    """Return the reader of [[entries]]: a hole is none."""
    return BeforeValidator(lambda value: [] if value is HOLE else value)


def problem(what: str, remedy: str, kind: str = PROBLEM) -> PydanticCustomError:
    """Return the error by which a field says what was read and what would be right."""
    return PydanticCustomError(kind, "{what}", {"what": what, "remedy": remedy})


def did_you_mean(written: str, choices: Mapping[str, object] | list[str]) -> str:
    """Return a remedy: the nearest of the choices, and all of them."""
    near = difflib.get_close_matches(written.casefold()[:60], list(choices), n=1, cutoff=0.6)
    known = ", ".join(choices)
    if not near:
        return said("sheet.choices", "It can be {choices}.", choices=known)
    return said("sheet.near", "Did you mean “{near}”? It can be {choices}.", near=near[0], choices=known)


def _kind(why: InputError) -> str:
    # Many lengths may lack the one unit that the sheet forgot to declare; masses have no such unit.
    return BARE if isinstance(why, BareNumberError) else PROBLEM


def _read(parse: Callable[[], float], kind_of: Callable[[InputError], str]) -> float:
    try:
        return parse()
    except InputError as why:
        first = why.problems[0]
        raise problem(first.what, first.remedy, kind_of(why)) from None


def _out_of(value: Any, what: str, least: str, most: str) -> Any:
    raise problem(
        said("sheet.not-possible", "{written} is not possible.", written=quoted(value)),
        _limits(_first(what), least, most),
    )


def _limits(what: str, least: str, most: str) -> str:
    if most == "inf":
        return said("sheet.at-least", "{what} is at least {least}.", what=what, least=least)
    return said("sheet.between", "{what} is from {least} to {most}.", what=what, least=least, most=most)


def _first(what: str) -> str:
    """The words for a value as they begin an English sentence; other languages know them by the same key."""
    begun = what[:1].upper() + what[1:]
    return Said(begun, what.key, what.values) if isinstance(what, Said) else begun


def _write(what: str, choices: list[str]) -> str:
    return said(
        "sheet.write-like", "Write {what}, like {example}.", what=what, example=reduce(either, choices)
    )


def either(first: str, second: str) -> str:
    """Return the words for one or the other."""
    return said("sheet.or", "{first} or {second}", first=first, second=second)


def _span(metres: float) -> str:
    """A limit in both units, because the sheet may be in either."""
    inches = format_feet(metres) if metres >= 1 else f"{format_length(metres, ReadOut.INCH, 64)} in"
    return f"{inches} ({format_length(metres, ReadOut.MM)} mm)" if metres else "0"


def _finite(value: float) -> bool:
    """Whether a number is one of a float's: neither infinite, nor a whole number with too many digits."""
    try:
        return math.isfinite(value)
    except OverflowError:
        return False


UNITS: Final = {str(unit): unit for unit in (Unit.INCH, Unit.MM, Unit.CM)}
"""What a sheet may declare for its bare numbers."""
