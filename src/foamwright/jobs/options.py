"""Numbers and lengths given beside the sheets, read with their limits; each problem names its option."""

from __future__ import annotations

import datetime
import math
import os
from dataclasses import dataclass

from foamwright.errors import InputError, Problem
from foamwright.units import (
    BareNumberError,
    System,
    Unit,
    format_with_unit,
    parse_length,
    parse_mass,
    quoted,
)

EXAMPLES = {Unit.INCH: "3 in", Unit.MM: "75 mm"}


@dataclass(frozen=True, slots=True)
class Limits:
    """The least and the most that an option may be, in SI or in the option's own unit."""

    least: float
    most: float

    def hold(self, value: float) -> bool:
        """Tell whether a value lies between them; ``nan`` never does."""
        return self.least <= value <= self.most


def number_option(written: str | float, option: str, what: str, limits: Limits) -> float:
    """Return a plain number.

    Parameters
    ----------
    written
        The number, or its text.
    option
        Its name, for the problem.
    what
        What it is, like ``price``.
    limits
        Between which it lies.

    Raises
    ------
    InputError
        It is no number, is not finite, or lies outside the limits.
    """
    try:
        value = float(written)
    except ValueError:
        value = math.nan
    if limits.hold(value):
        return value
    said = quoted(written) if isinstance(written, str) else f"{written:g}"
    remedy = f"Give a number from {limits.least:,.10g} to {limits.most:,.10g}."
    raise InputError(Problem(option, f"{said} is no {what}.", remedy))


def length_option(
    written: str, option: str, limits: Limits | None = None, *, default: Unit | None = None
) -> float:
    """Return metres.

    Parameters
    ----------
    written
        The text.
    option
        Its name, for the problem.
    limits
        Metres between which it lies; `None`: any length.
    default
        Unit of a bare number; `None`: it needs one.

    Raises
    ------
    InputError
        It is no length, has no unit, or lies outside the limits.
    """
    try:
        metres = parse_length(written, default, option)
    except BareNumberError:
        remedy = f"Write the unit, like {' or '.join(EXAMPLES.values())}."
        raise InputError(Problem(option, f"{quoted(written)} has no unit.", remedy)) from None
    if limits is None or limits.hold(metres):
        return metres
    least, most = (_both(metres) for metres in (limits.least, limits.most))
    raise InputError(
        Problem(option, f"{quoted(written)} is not possible.", f"Give a length from {least} to {most}.")
    )


def _both(metres: float) -> str:
    """Return a limit in both units, because an option may be in either."""
    inch, mm = (format_with_unit(metres, system) for system in (System.INCH, System.MM))
    return f"{inch} ({mm})" if metres else "0"


def mass_option(written: str, option: str, limits: Limits) -> float:
    """Return kilograms.

    Raises
    ------
    InputError
        It is no mass, has no unit, or lies outside the limits.
    """
    mass = parse_mass(written, option)
    if limits.hold(mass):
        return mass
    remedy = f"Give a mass from {limits.least:g} to {limits.most:g} kg."
    raise InputError(Problem(option, f"{quoted(written)} is not possible.", remedy))


EPOCH = "SOURCE_DATE_EPOCH"
"""Seconds since 1970, as builds that must give the same bytes say them (reproducible-builds.org)."""


def date_option(written: str | None) -> datetime.date | None:
    """Return the day that a plan is of: as written, else as the environment says, else none.

    Never the clock's: the same sheets give the same bytes on every day.

    Raises
    ------
    InputError
        It is no day like 2026-05-31, or the environment's number is none.
    """
    if written is not None:
        try:
            return datetime.date.fromisoformat(written)
        except ValueError:
            remedy = "Write the day as year-month-day, like 2026-05-31."
            raise InputError(Problem("--date", f"{quoted(written)} is no day.", remedy)) from None
    seconds = os.environ.get(EPOCH, "")
    if not seconds:
        return None
    try:
        return datetime.datetime.fromtimestamp(int(seconds), datetime.UTC).date()
    except (ValueError, OverflowError, OSError):
        remedy = "Leave it away, or give the seconds since 1970 as a whole number."
        raise InputError(Problem(EPOCH, f"{quoted(seconds)} is no time.", remedy)) from None
