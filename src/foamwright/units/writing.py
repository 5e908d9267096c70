"""Printing lengths, and writing them so that they read back to the same float."""

from __future__ import annotations

import math
from decimal import Context, Decimal
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from foamwright.units.kinds import Rounding, System, Unit
from foamwright.units.lengths import parse_length
from foamwright.units.texts import LONGEST_TEXT

# 15 digits bring back what a person wrote; 17 tell every float from its neighbours, and a few more allow for
# the rounding of the unit.
_DIGITS = range(15, 21)


def format_length(
    metres: float, system: System, fraction: int = 16, rounding: Rounding = Rounding.NEAREST
) -> str:
    """Return a length as it is read off a tape, without its unit: ``2 3/4``, or ``69.9`` in millimetres.

    Parameters
    ----------
    metres
        The length; finite.
    system
        Inches in fractions, or millimetres with one decimal.
    fraction
        Finest division of the inch (16 means 1/16); ignored in millimetres.
    rounding
        With `DOWN` the printed number is never above `metres`, with `UP` never below, as floats, exactly.
    """
    if system is System.MM:
        return _tenths(_steps(metres, _step(Unit.MM, 10), rounding))
    return _mixed(_steps(metres, _step(Unit.INCH, fraction), rounding), fraction)


def format_with_unit(
    metres: float, system: System, fraction: int = 16, rounding: Rounding = Rounding.NEAREST
) -> str:
    """Return `format_length` with its unit: ``2 3/4 in`` or ``69.9 mm``."""
    return f"{format_length(metres, system, fraction, rounding)} {system}"


def format_feet(metres: float, fraction: int = 16, rounding: Rounding = Rounding.NEAREST) -> str:
    """Return a length in feet and inches: ``6'2"``, ``6'2 1/4"``; under a foot only inches."""
    steps = _steps(metres, _step(Unit.INCH, fraction), rounding)
    feet, rest = divmod(abs(steps), 12 * fraction)
    sign = "-" if steps < 0 else ""
    start = f"{sign}{feet}'" if feet else sign
    return f'{start}{_mixed(rest, fraction)}"'


def settled(metres: float, system: System, fraction: int = 16, within: float = 1e-9) -> float:
    """Return the tape's mark if `metres` lies `within` of one (a rounding error away), else `metres`.

    Curves meet their numbers to 1e-9 m; without this, 2 1/2 rounded up could print 2 9/16.
    """
    step = _step(Unit.MM, 10) if system is System.MM else _step(Unit.INCH, fraction)
    mark = float(_steps(metres, step, Rounding.NEAREST) * step.exact)
    return mark if abs(mark - metres) <= within else metres


def write_length(metres: float, unit: Unit) -> str:
    """Return the shortest text that `parse_length` reads back, with `unit` as default, to the same float.

    Inches on the grid of 1/64 come out as fractions, all else as decimals; what is under 1e-25 m may be
    written as nothing.
    """
    if unit in (Unit.INCH, Unit.FOOT):
        steps = _steps(metres, _step(unit, 64), Rounding.NEAREST)
        if float(steps * unit.exact / 64) == metres:
            return _mixed(steps, 64)
    exact = Fraction(metres) / unit.exact
    texts = (_decimal(exact, digits) for digits in _DIGITS)
    return next((t for t in texts if len(t) <= LONGEST_TEXT and parse_length(t, unit) == metres), "0")


class _Step(NamedTuple):
    """A tape's step in metres: exact, and as a float."""

    exact: Fraction
    near: float


@lru_cache(maxsize=64)
def _step(unit: Unit, parts: int) -> _Step:
    exact = unit.exact / parts
    return _Step(exact, float(exact))


_FAR = 1e-6
"""Share of a step from where a rounding turns at which floats cannot be in doubt about it."""
_MOST = 1e6
"""Steps up to which that holds."""


def _steps(metres: float, step: _Step, rounding: Rounding) -> int:
    """How many steps of the tape; a float that is the nearest one to a mark counts as on the mark."""
    share = metres / step.near
    if -_MOST < share < _MOST:
        below = math.floor(share)
        rest = share - below
        if rounding is Rounding.NEAREST:
            if abs(rest - 0.5) > _FAR:
                return below + (rest > 0.5)
        elif _FAR < rest < 1.0 - _FAR:
            return below + (rounding is Rounding.UP)
    return _steps_exactly(metres, step.exact, rounding)


def _steps_exactly(metres: float, step: Fraction, rounding: Rounding) -> int:
    # The nearest step is sought as a person would, from the decimal: 69.85 mm is 69.9, whatever its last bit.
    nearest = math.floor(Fraction(repr(float(metres))) / step + Fraction(1, 2))
    if rounding is Rounding.NEAREST or float(nearest * step) == metres:
        return nearest
    exact = Fraction(metres) / step
    return math.floor(exact) if rounding is Rounding.DOWN else math.ceil(exact)


def _mixed(steps: int, parts: int) -> str:
    """So many parts of one, as a whole number and a fraction in lowest terms."""
    whole, rest = divmod(abs(steps), parts)
    common = math.gcd(rest, parts)
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(f"{rest // common}/{parts // common}")
    return ("-" if steps < 0 else "") + " ".join(words)


def _tenths(tenths: int) -> str:
    return f"{'-' if tenths < 0 else ''}{abs(tenths) // 10}.{abs(tenths) % 10}"


def _decimal(exact: Fraction, digits: int) -> str:
    """A number with so many significant digits, without trailing zeros."""
    rounded = Context(prec=digits).divide(Decimal(exact.numerator), Decimal(exact.denominator))
    text = format(rounded, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
