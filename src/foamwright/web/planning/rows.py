"""A number of a sheet as a row, and a place of the workbench where rows are held."""

from __future__ import annotations

import re
from dataclasses import dataclass

from foamwright.sheets.declared import Key

_ABOVE_BELOW = re.compile(r"[0-9.]+ */ *([0-9]+(?:\.[0-9]+)?)")


@dataclass(frozen=True, slots=True)
class Numeral:
    """One number (or word) of the sheet.

    Attributes
    ----------
    name
        Its way in the sheet.
    label, hint
        What it is called, and what it is.
    kind
        ``length``, ``along`` (a station), ``number``, ``word`` or ``text``.
    text
        What stands in its field.
    value
        Metres, or the number itself; of a station, metres from the tail; ``None`` for words.
    mark, least, most
        One step, and the limits, in the same unit as `value`.
    choices
        The words it can be.
    is_fair
        Whether the sheet says nothing here, so that `text` is what the curve runs through.
    """

    name: str
    label: str
    hint: str
    kind: str
    text: str
    value: float | None
    mark: float
    least: float
    most: float
    choices: tuple[str, ...] = ()
    is_fair: bool = False


@dataclass(frozen=True, slots=True)
class Stop:
    """A place of the workbench where numbers are held: a station, a contour, a fin box, the whole board.

    Attributes
    ----------
    key
        Its name in an address: a station as the sheet names it, or the way to an entry.
    title
        In the visitor's words.
    x
        Metres from the tail; ``None`` where it has no one place.
    numerals
        Its rows.
    is_free
        Whether it is no station of the sheet: a number that is changed here makes it one.
    """

    key: str
    title: str
    x: float | None
    numerals: tuple[Numeral, ...]
    is_free: bool = False


def share_of(written: object) -> float | None:
    """Return a number as it stands in a sheet; of an apex, ``60/40`` has 0.4 of the rail below it."""
    if isinstance(written, int | float) and not isinstance(written, bool):
        return float(written)
    if isinstance(written, str) and (found := _ABOVE_BELOW.fullmatch(written.strip())):
        return float(found[1]) / 100.0
    return None


def way_of(name: str) -> tuple[Key, ...]:
    """Return the way in the sheet that a row's name stands for."""
    return tuple(int(part) if part.isdigit() and len(part) < 4 else part for part in name.split("/")[:6])
