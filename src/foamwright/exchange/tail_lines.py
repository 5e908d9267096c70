"""The tail's form in a CSV of stations: lines that begin with #, after the rows.

A width at the tip says neither how the outline ends there nor how wide the block is whose corners are round.
"""

from __future__ import annotations

from dataclasses import replace

from pydantic_core import PydanticCustomError

from foamwright.board.numbers import BoardNumbers, TailKind
from foamwright.board.tail_forms import FIELDS, FORMS, tail_of
from foamwright.board.tail_words import POINTED, Corners, TailForm, read_tail_form
from foamwright.errors import InputError, Problem
from foamwright.findings import Finding, Severity
from foamwright.units import INCH, System, parse_length

FORM, WIDTH, CORNER, DEPTH = "tail_form", "tail_width", "tail_corner", "tail_depth"
NUMBERS = (WIDTH, *FIELDS)
BETWEEN = (
    "# The tail's width in the rows is between its rounded corners; with them the block is tail_width wide."
)
"""Has no sign of equality, so that it is not read back."""


def tail_lines(numbers: BoardNumbers, system: System) -> list[str]:
    """Return the lines that say a board's tail, each length with its unit."""
    width, tail = numbers.outline[0].value, numbers.tail
    # Numbers of 0 are said too: without them the form's usual ones would be read back.
    own = [(key, float(getattr(tail, FIELDS[key]))) for key in FORMS.get(tail.kind, {})]
    told = [*([(WIDTH, width)] if width > 0.0 else []), *own]
    said = [f"# {FORM} = {tail.kind}", *(f"# {name} = {_written(value, system)}" for name, value in told)]
    return [*said, BETWEEN] if tail.corner_radius > 0.0 and width > 0.0 else said


def _written(metres: float, system: System) -> str:
    return f"{metres / INCH:.4f} in" if system is System.INCH else f"{metres * 1000.0:.3f} mm"


def said_of_tail(text: str) -> dict[str, tuple[int, str]]:
    """Return what such lines say: line and words by name; a line without words says nothing."""
    found = {}
    for number, line in enumerate(text.splitlines(), 1):
        name, sign, words = line.lstrip().removeprefix("#").partition("=")
        known = name.strip().casefold() in (FORM, *NUMBERS)
        if line.lstrip().startswith("#") and sign and known and words.strip(" ,"):
            found[name.strip().casefold()] = (number, words.strip(" ,"))
    return found


def with_tail(numbers: BoardNumbers, text: str, name: str) -> tuple[BoardNumbers, tuple[Finding, ...]]:
    """Return a board with the tail that its CSV says, or what was taken for granted if it says none.

    Parameters
    ----------
    numbers
        The board, with the width measured at the tip.
    text, name
        The CSV, and the name of its file for messages.

    Raises
    ------
    InputError
        The tail cannot be read, or its depth is missing.
    """
    said = said_of_tail(text)
    if FORM not in said:
        return numbers, (_guessed(numbers),)
    line, words = said[FORM]
    try:
        form = read_tail_form(words)
    except PydanticCustomError as why:
        context = why.context or {}
        raise _problem(name, line, str(context.get("what")), str(context.get("remedy"))) from None
    lengths = {key: _length(said[key], f"{name}, line {said[key][0]}") for key in NUMBERS if key in said}
    return _made(numbers, form, lengths, (name, line)), ()


def _length(said: tuple[int, str], where: str) -> float:
    return parse_length(said[1], None, where)


def _made(
    numbers: BoardNumbers, form: TailForm, lengths: dict[str, float], place: tuple[str, int]
) -> BoardNumbers:
    kind = form.kind or TailKind.ROUND
    width = 0.0 if kind in POINTED else lengths.get(WIDTH, numbers.outline[0].value)
    if kind not in POINTED and width <= 0.0:
        raise _problem(*place, f"a {kind} tail has a width.", f"Say it: # {WIDTH} = 5 in.")
    if DEPTH in FORMS.get(kind, {}) and not lengths.get(DEPTH, 0.0) > 0.0:
        raise _problem(*place, f"a {kind} tail has a depth.", f"Say it: # {DEPTH} = 3 in.")
    sharp = {CORNER: 0.0} if form.corners is Corners.SHARP else {}
    tail = tail_of(kind, width, {**sharp, **lengths})
    first = replace(numbers.outline[0], value=width)
    return replace(numbers, tail=tail, outline=(first, *numbers.outline[1:]))


def _problem(name: str, line: int, what: str, remedy: str) -> InputError:
    return InputError(Problem(f"{name}, line {line}", what, remedy))


def _guessed(numbers: BoardNumbers) -> Finding:
    kind = numbers.tail.kind
    seen = "ends in a point" if kind is TailKind.ROUND else "has a width at its tip"
    taken = (
        "a round tail" if kind is TailKind.ROUND else "a square block as wide as that, with sharp corners,"
    )
    return Finding(
        "readings-assumed",
        Severity.WARNING,
        "tail",
        None,
        None,
        "1",
        f"Nobody said the tail's form; it {seen}, so {taken} stands in the sheet.",
        f"Add a line like # {FORM} = squash to the readings; round corners: # {WIDTH} = 5 1/2 in.",
    )
