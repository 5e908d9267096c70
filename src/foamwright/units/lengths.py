"""Reading lengths."""

from __future__ import annotations

import re
from fractions import Fraction

from foamwright.findings import said
from foamwright.units.kinds import Unit
from foamwright.units.texts import (
    LENGTH,
    NUMBER,
    BareError,
    UnreadableError,
    exact_bare,
    exact_number,
    is_none,
    quoted,
    sign_and_rest,
    within,
)

LONGEST = 1000
"""Metres; a length beyond it is a slip of the pen, wherever it stands."""

_NAMES = {
    Unit.INCH: ("in", "in.", "inch", "inches", '"'),
    Unit.MM: ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    Unit.CM: ("cm", "centimetre", "centimetres", "centimeter", "centimeters"),
    Unit.METRE: ("m", "metre", "metres", "meter", "meters"),
    Unit.FOOT: ("ft", "ft.", "foot", "feet", "'"),
}
_UNIT_OF = {name: unit for unit, names in _NAMES.items() for name in names}
_ONE_UNIT = re.compile(rf"({NUMBER}) *([a-z]+\.?|['\"])?")
_FEET_AND_INCHES = re.compile(rf"([0-9]+) *(?:'|ft\.?|foot|feet) *-? *({NUMBER}) *(?:\"|in\.?|inch|inches)?")
_REMEDY = said("length.length.remedy", "Write it like 6'2\", 2 3/4 in, 70 mm, 7 cm or 1.2 m.")


def parse_length(written: object, default: Unit | None = None, where: str = "length") -> float:
    """Metres that a person wrote.

    Parameters
    ----------
    written
        Text (``6'2"``, ``2-3/4``, ``2¾``, ``70 mm``) or a bare int or float. A leading minus is read.
    default
        Unit of a bare number; `None` makes a bare number an error.
    where
        Place that the error names.

    Returns
    -------
    float
        Metres: the float nearest to exactly what was written.

    Raises
    ------
    BareNumberError
        A number without a unit, and no `default`.
    InputError
        Anything else that is no length.

    Examples
    --------
    >>> parse_length("2 3/4 in")
    0.06985
    >>> parse_length(7, Unit.CM)
    0.07
    """
    try:
        metres = _exact_text(written, default) if isinstance(written, str) else _exact_bare(written, default)
        return float(within(metres, LONGEST, LENGTH))
    except UnreadableError as why:
        raise why.at(where) from None


def _exact_bare(written: object, default: Unit | None) -> Fraction:
    number = exact_bare(written, LENGTH, _REMEDY)
    return number * _unit_or_default(None, default, written).exact


def _exact_text(written: str, default: Unit | None) -> Fraction:
    sign, text = sign_and_rest(written, LENGTH, _REMEDY)
    if feet := _FEET_AND_INCHES.fullmatch(text):
        return sign * _feet_and_inches(written, feet)
    one = _ONE_UNIT.fullmatch(text)
    if one is None or one[2] not in {None, *_UNIT_OF}:
        raise UnreadableError(is_none(written, LENGTH), _hint(text))
    number = exact_number(one[1], written)
    return sign * number * _unit_or_default(one[2], default, written).exact


def _unit_or_default(name: str | None, default: Unit | None, written: object) -> Unit:
    unit = _UNIT_OF[name] if name else default
    if unit is None:
        raise BareError(
            said("length.bare", "{written} has no unit.", written=quoted(written)),
            said(
                "length.bare.remedy",
                'Write the unit, like 2 3/4 in or 70 mm, or say once at the top of the sheet: units = "in".',
            ),
        )
    return unit


def _feet_and_inches(written: str, match: re.Match[str]) -> Fraction:
    inches = exact_number(match[2], written)
    if inches >= 12:
        raise UnreadableError(
            said(
                "length.inches",
                "{written} has {inches} inches after the feet.",
                written=quoted(written),
                inches=match[2],
            ),
            said("length.inches.remedy", "The inches after feet are less than 12; check both numbers."),
        )
    return int(match[1]) * Unit.FOOT.exact + inches * Unit.INCH.exact


def _hint(text: str) -> str:
    if re.search(r"[0-9],[0-9]", text):
        return said(
            "length.comma", "A comma could mean two things; write the decimal with a point, like 187.5 mm."
        )
    if re.fullmatch(r"[0-9]+-[0-9]+(?: .*)?", text):
        return said(
            "length.dash",
            "A dash between two whole numbers could mean two things; write 6'2\" or 2-3/4.",
        )
    return _REMEDY
