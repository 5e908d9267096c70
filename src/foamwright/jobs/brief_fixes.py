"""Numbers that a brief is to keep, as people write them, within what a board sheet may say."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, Final

from foamwright.board.written import BoardLength, Rocker, Thickest, Thickness, Widest, Width
from foamwright.brief.drafting import Number
from foamwright.errors import InputError, Problem, attempt
from foamwright.units import Unit, quoted

_LENGTHS: Final[Mapping[Number, Any]] = {
    Number.LENGTH: BoardLength,
    Number.WIDE: Widest,
    Number.THICKEST: Thickest,
    Number.NOSE_WIDTH: Width,
    Number.TAIL_WIDTH: Width,
    Number.BLOCK: Width,
    Number.NOSE_THICKNESS: Thickness,
    Number.TAIL_THICKNESS: Thickness,
    Number.NOSE_ROCKER: Rocker,
    Number.TAIL_ROCKER: Rocker,
}
"""What the board sheet takes for each: a number of a brief ends up there, so the limits are the same."""


def parse_fixes(fixes: Iterable[str], unit: Unit) -> dict[Number, float]:
    """Return fixed numbers in SI from texts like ``wide=20 1/2`` or ``volume=32.5``.

    Parameters
    ----------
    fixes
        As they are written.
    unit
        What a bare number means.

    Raises
    ------
    InputError
        A text names no number, or its value is none that a board may have; every problem is held.
    """
    fixed: dict[Number, float] = {}
    problems: list[Problem] = []
    named: set[Number] = set()
    for text in fixes:
        if (number := attempt(problems, lambda text=text: _number(text))) is None:  # type: ignore[misc]
            continue
        if number in named:
            problems.append(Problem(f"--fix {number}", "It is fixed twice.", "Fix it once."))
        named.add(number)
        written = text.partition("=")[2]
        value = attempt(problems, lambda n=number, w=written: _value(n, w, unit))  # type: ignore[misc]
        if value is not None:
            fixed[number] = value
    if problems:
        raise InputError(problems)
    return fixed


def _number(text: str) -> Number:
    name, equals, _ = text.partition("=")
    known = {str(number): number for number in Number}
    number = known.get(" ".join(name.replace("_", " ").replace("-", " ").split()).casefold())
    if number is None or not equals:
        remedy = f"Write NAME=VALUE; NAME is {', '.join(known)}."
        raise InputError(Problem("--fix", f"{quoted(text)} fixes nothing.", remedy))
    return number


def _value(number: Number, written: str, unit: Unit) -> float:
    return _litres(written) if number is Number.VOLUME else _metres(number, written, unit)


def _metres(number: Number, written: str, unit: Unit) -> float:
    """Return a length as the board sheet reads it there, its limits and its words included."""
    from pydantic import TypeAdapter, ValidationError

    reader: TypeAdapter[float] = TypeAdapter(_LENGTHS[number])
    try:
        return reader.validate_python(written, context={"unit": unit})
    except ValidationError as why:
        said = [error["ctx"] for error in why.errors()]
        raise InputError([Problem(f"--fix {number}", one["what"], one["remedy"]) for one in said]) from None


def _litres(text: str) -> float:
    plain = text.strip().casefold().removesuffix("litres").removesuffix("l").strip()
    try:
        litres = float(plain)
    except ValueError:
        litres = -1.0
    if not 1.0 <= litres <= 500.0:
        what = f"{quoted(text)} is no volume of a board."
        raise InputError(Problem("--fix volume", what, "Write litres from 1 to 500, like 32.5."))
    return litres / 1000.0
