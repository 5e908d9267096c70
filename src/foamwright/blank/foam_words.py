"""Foam in words (``eps 24 kg/m3``), and what is usual for each family."""

from __future__ import annotations

import re
from dataclasses import dataclass

from foamwright.blank.numbers import Face, Foam, FoamFamily
from foamwright.findings import said
from foamwright.sheets.fields import did_you_mean, problem
from foamwright.units import parse_length, quoted

LIGHTEST, HEAVIEST = 8.0, 200.0
"""kg/m3; foams of boards lie well inside."""

NO_FOAM = Foam(FoamFamily.EPS, float("nan"))
"""Stands where the foam could not be read."""

# 1 lb/ft3 = 0.45359237 kg / (0.3048 m)^3, both exact.
_POUND_PER_CUBIC_FOOT = 0.45359237 / 0.3048**3
_DENSITIES = {"kg/m3": 1.0, "kg/m^3": 1.0, "kg/m³": 1.0, "lb/ft3": _POUND_PER_CUBIC_FOOT}
_DENSITIES |= {"lb/ft^3": _POUND_PER_CUBIC_FOOT, "lb/ft³": _POUND_PER_CUBIC_FOOT}
_FOAM = re.compile(r"([a-z]+) +([0-9]+\.?[0-9]*) *([a-z]+/[a-z]+(?:\^?3|³))")
_REMEDY = said("sheet.foam.remedy", "Write it like “eps 24 kg/m3” or “pu 2.2 lb/ft3”.")


@dataclass(frozen=True, slots=True)
class Custom:
    """What is usual for a family of foam, where the sheet says nothing; metres."""

    hard_face: Face | None
    hard_most: float
    skim_bottom: float
    skim_deck: float


_BLOCK_CUT = Custom(None, 0.0, parse_length("1/32 in"), parse_length("1/32 in"))
CUSTOMS = {
    FoamFamily.EPS: _BLOCK_CUT,
    FoamFamily.XPS: _BLOCK_CUT,
    FoamFamily.PU: Custom(
        Face.DECK, parse_length("1/4 in"), parse_length("1/16 in"), parse_length("1/32 in")
    ),
}
"""Common practice, no source: moulded foam has its hard skin on the deck, block-cut foam has none."""


def read_foam(words: str) -> Foam:
    """Return the foam that was written.

    Raises
    ------
    pydantic_core.PydanticCustomError
        The words are no foam.
    """
    match = _FOAM.fullmatch(" ".join(words.split()).casefold())
    if match is None or match[3] not in _DENSITIES:
        none = said("sheet.foam", "{written} is not a foam and its density.", written=quoted(words))
        raise problem(none, _REMEDY)
    if match[1] not in set(FoamFamily):
        raise problem(
            said("sheet.foam-family", "“{family}” is not a family of foam.", family=match[1]),
            did_you_mean(match[1], [str(f) for f in FoamFamily]),
        )
    density = float(match[2]) * _DENSITIES[match[3]]
    if not LIGHTEST <= density <= HEAVIEST:
        raise problem(
            said("sheet.not-possible", "{written} is not possible.", written=quoted(words)),
            said(
                "sheet.foam-density",
                "A foam has from {least} to {most} kg/m3.",
                least=f"{LIGHTEST:g}",
                most=f"{HEAVIEST:g}",
            ),
        )
    return Foam(FoamFamily(match[1]), density)


def write_foam(foam: Foam) -> str:
    """Return the words that `read_foam` reads back to the same foam."""
    return f"{foam.family} {foam.density!r} kg/m3".replace(".0 kg", " kg")
