"""Stations as people name them: ``12 from tail``, ``nose``, ``2 forward of centre``."""

from __future__ import annotations

import difflib
import math
import re
from fractions import Fraction

from foamwright.errors import InputError, Problem
from foamwright.findings import said
from foamwright.units import INCH, Unit, parse_length, quoted, write_length

SAME_PLACE = 0.001
"""Metres; two stations nearer than this are one place (a pencil mark is no finer)."""

_TAPE_DIGITS = 6
_WORDS = ("tail", "nose", "centre", "center")
_MEASURED = re.compile(r"(.+?) (from|forward of|aft of)(?: the)? ([a-z]+)")
_REMEDY = said(
    "sheet.station.remedy",
    "Write a station like nose, tail, centre, “12 from tail” or “2 forward of centre”.",
)


def parse_station(text: str, length: float, unit: Unit | None) -> float:
    """Metres from the tail tip of a station on a board or blank.

    Parameters
    ----------
    text
        ``tail``, ``nose``, ``centre``; so far ``from tail`` or ``from nose``; so far ``forward of centre``
        or ``aft of centre``.
    length
        Length of the board, metres; ``nan`` where it could not be read.
    unit
        Unit of a bare number.

    Raises
    ------
    BareNumberError
        A bare number, and no `unit`.
    InputError
        No station, or one outside the board.

    Examples
    --------
    >>> parse_station("2 in forward of centre", 2.0, None)
    1.0508
    """
    x = _place(" ".join(text.split()).casefold(), text, length, unit)
    if x < 0 or x > length:
        raise _problem(_beyond(x, length, text), said("sheet.station.check", "Check it."))
    return x


def _beyond(x: float, length: float, text: str) -> str:
    over = -x if x < 0 else x - length
    wording = _BEYOND_TAIL if x < 0 else _BEYOND_NOSE
    return said(*wording, place=quoted(text), inches=f"{over / INCH:.4g}", mm=f"{over * 1000:.4g}")


_BEYOND_TAIL = ("sheet.station.beyond-tail", "{place} lies {inches} in ({mm} mm) beyond the tail.")
_BEYOND_NOSE = ("sheet.station.beyond-nose", "{place} lies {inches} in ({mm} mm) beyond the nose.")


def name_station(x: float, length: float, unit: Unit) -> str:
    """Return a name that `parse_station` reads back to the same `x`, the way a person would measure it."""
    names = _names(x, length, unit)
    return next((name for name in names if keeps_name(name, x, length, unit)), names[-1])


def keeps_name(place: str, x: float, length: float, unit: Unit) -> bool:
    """Tell whether the name that a person gave still means `x` in a sheet of that `unit`."""
    try:
        return parse_station(place, length, unit) == x
    except InputError:
        return False


def _place(plain: str, text: str, length: float, unit: Unit | None) -> float:
    if plain in _WORDS:
        return {"tail": 0.0, "nose": length}.get(plain, length / 2)
    measured = _MEASURED.fullmatch(plain)
    if measured is None:
        raise _problem(_no_station(text), _guess(plain))
    distance, way, end = parse_length(measured[1], unit), measured[2], measured[3]
    if distance < 0:
        raise _problem(
            said("sheet.station.below", "{place} has a distance below zero.", place=quoted(text)),
            said("sheet.station.other-side", "Measure from the other side."),
        )
    return _from(way, end, distance, length, text)


def _from(way: str, end: str, distance: float, length: float, text: str) -> float:
    if way == "from" and end == "tail":
        return distance
    if way == "from" and end == "nose":
        return _sum(length, -distance)
    if way != "from" and end in {"centre", "center"}:
        return _sum(length / 2, distance if way == "forward of" else -distance)
    if way == "from" and end in {"centre", "center"}:
        raise _problem(
            said("sheet.station.way", "{place} does not say which way.", place=quoted(text)),
            said("sheet.station.way.remedy", "Say forward of centre or aft of centre."),
        )
    raise _problem(_no_station(text), _guess(f"{way} {end}"))


def _no_station(text: str) -> str:
    return said("sheet.station.none", "{place} is not a station.", place=quoted(text))


def _sum(first: float, second: float) -> float:
    """The sum of two lengths as they were written, rounded once: 6'4" less 12 in is 64 in to the last bit."""
    if not math.isfinite(first):
        return first
    return float(Fraction(repr(first)) + Fraction(repr(second)))


def _guess(plain: str) -> str:
    known = (*_WORDS, "from tail", "from nose", "forward of centre", "aft of centre")
    tail = plain.lstrip("0123456789 /.-")
    near = difflib.get_close_matches(tail, known, n=1, cutoff=0.7)
    if not near:
        return _REMEDY
    return said("sheet.station.near", "Did you mean “{near}”? {remedy}", near=near[0], remedy=_REMEDY)


def _names(x: float, length: float, unit: Unit) -> list[str]:
    """Names to try, the one that a person would use first; the last one always holds."""
    tail, nose, middle = x, _sum(length, -x), _sum(x, -length / 2)
    side = f"{write_length(abs(middle), unit)} {'forward' if middle > 0 else 'aft'} of centre"
    ends = [f"{write_length(tail, unit)} from tail", f"{write_length(nose, unit)} from nose"]
    ends_first = ends if tail <= nose else ends[::-1]
    measured = [side, *ends_first] if abs(middle) < length / 8 else [*ends_first, side]
    return ["tail", "nose", "centre", *sorted(measured, key=_is_long), ends[0]]


def _is_long(name: str) -> bool:
    """Whether it takes more digits than a tape has."""
    return sum(sign.isdigit() for sign in name) > _TAPE_DIGITS


def _problem(what: str, remedy: str) -> InputError:
    return InputError(Problem("station", what, remedy))
