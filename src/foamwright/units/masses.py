"""Reading masses of people and things."""

from __future__ import annotations

import re
from fractions import Fraction

from foamwright.findings import said
from foamwright.units.texts import (
    MASS,
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

HEAVIEST = 1000
"""Kilograms; a mass beyond it is a slip of the pen."""

# International yard and pound agreement (1959): exact by definition.
_POUND = Fraction(45359237, 100000000)
_KILOGRAMS = {
    **dict.fromkeys(("kg", "kilo", "kilos", "kilogram", "kilograms"), Fraction(1)),
    **dict.fromkeys(("lb", "lbs", "lb.", "pound", "pounds"), _POUND),
    **dict.fromkeys(("st", "stone", "stones"), 14 * _POUND),
}
_ONE_UNIT = re.compile(rf"({NUMBER}) *([a-z]+\.?)?")
_STONE_AND_POUNDS = re.compile(r"([0-9]+) *(?:st|stones?) *([0-9]+\.?[0-9]*) *(?:lbs?|pounds?)?")
_REMEDY = said("length.mass.remedy", "Write it like 82 kg, 181 lb or 12 st 4 lb.")


def parse_mass(written: object, where: str = "mass") -> float:
    """Kilograms that a person wrote, always with a unit.

    Parameters
    ----------
    written
        Text: ``82 kg``, ``181 lb``, ``12 st 4 lb``.
    where
        Place that the error names.

    Raises
    ------
    BareNumberError
        A number without a unit.
    InputError
        Anything else that is no mass.

    Examples
    --------
    >>> parse_mass("12 st 4 lb")
    78.01788764
    """
    try:
        return float(within(_exact(written), HEAVIEST, MASS))
    except UnreadableError as why:
        raise why.at(where) from None


def _exact(written: object) -> Fraction:
    if not isinstance(written, str):
        exact_bare(written, MASS, _REMEDY)
        raise _bare(written)
    sign, text = sign_and_rest(written, MASS, _REMEDY)
    if both := _STONE_AND_POUNDS.fullmatch(text):
        return sign * _stone_and_pounds(written, both)
    one = _ONE_UNIT.fullmatch(text)
    if one is None or one[2] not in {None, *_KILOGRAMS}:
        raise UnreadableError(is_none(written, MASS), _REMEDY)
    if not one[2]:
        raise _bare(written)
    return sign * exact_number(one[1], written) * _KILOGRAMS[one[2]]


def _stone_and_pounds(written: str, match: re.Match[str]) -> Fraction:
    pounds = Fraction(match[2])
    if pounds >= 14:
        raise UnreadableError(
            said(
                "length.pounds",
                "{written} has {pounds} pounds after the stone.",
                written=quoted(written),
                pounds=match[2],
            ),
            said("length.pounds.remedy", "The pounds after stone are less than 14; check both numbers."),
        )
    return (14 * int(match[1]) + pounds) * _POUND


def _bare(written: object) -> BareError:
    return BareError(said("length.bare", "{written} has no unit.", written=quoted(written)), _REMEDY)
