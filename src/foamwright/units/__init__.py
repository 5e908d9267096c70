"""Lengths and masses as people write and read them; the only place that parses or prints fractions.

Everything is exact until the last step: a text becomes a `Fraction` of metres, and only then the nearest
float; a float is printed by comparing exact numbers. So ``parse(print(x)) == x`` for every `x` on the grid
of a tape, and rounding to the safe side is never off by the width of a rounding error.
"""

from foamwright.units.kinds import INCH, Rounding, System, Unit
from foamwright.units.lengths import parse_length
from foamwright.units.masses import parse_mass
from foamwright.units.texts import BareNumberError, quoted
from foamwright.units.writing import (
    format_feet,
    format_length,
    format_with_unit,
    settled,
    write_length,
)

__all__ = [
    "INCH",
    "BareNumberError",
    "Rounding",
    "System",
    "Unit",
    "format_feet",
    "format_length",
    "format_with_unit",
    "parse_length",
    "parse_mass",
    "quoted",
    "settled",
    "write_length",
]
