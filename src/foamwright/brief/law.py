"""How the size of a board follows its rider: litres, length, width, from a table and one law.

The law, with r the rider's mass over the reference's (75 kg; 35 kg for a child's board)::

    volume = V (f + (1 - f) r)          a heavy rider needs fewer litres for each kilogram
    length = L + a (stature - reference stature) + c L ln r
    width  = W r**q

Width is the stiffest number and thickness the softest: the thickness is what the volume leaves. Tables, caps
and floors are common practice, no source; lengths here are in inches, volumes in litres, masses in kg.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import log, sqrt

from foamwright.brief.kinds import LONG, SHORT, Pattern, Waves
from foamwright.sheets.rider import AgeGroup, Experience, RiderNumbers, Suit
from foamwright.units import INCH

LITRE_IN = 1e-3 / INCH**3
"""Cubic inches in a litre."""

MASS, STATURE = 75.0, 178.0 / 2.54
CHILD_MASS, CHILD_STATURE = 35.0, 142.0 / 2.54
"""Rider of the reference boards, and of the child's: kg and inches."""


@dataclass(frozen=True, slots=True)
class Law:
    """How a pattern grows: `lean` is f, `taller` a; `longer` and `wider` are c and q below and above r = 1.

    `cap` is the greatest width, `most` the greatest thickness, inches.
    """

    lean: float
    taller: float
    longer: tuple[float, float]
    wider: tuple[float, float]
    cap: float
    most: float = 3.5


LAWS: Mapping[Pattern, Law] = {
    Pattern.NOSERIDER: Law(0.45, 0.25, (0.06, 0.10), (0.05, 0.07), 24.5, 4.0),
    Pattern.LONG_BOARD: Law(0.45, 0.25, (0.06, 0.10), (0.05, 0.07), 24.5, 4.0),
    Pattern.MID_LENGTH: Law(0.35, 0.30, (0.10, 0.15), (0.07, 0.10), 23.5),
    Pattern.FISH: Law(0.30, 0.30, (0.10, 0.16), (0.10, 0.12), 23.25),
    Pattern.TWIN_KEEL: Law(0.30, 0.30, (0.10, 0.16), (0.10, 0.12), 23.25),
    Pattern.SMALL_WAVE: Law(0.28, 0.35, (0.11, 0.16), (0.12, 0.15), 22.5),
    Pattern.PERFORMANCE: Law(0.28, 0.40, (0.12, 0.15), (0.12, 0.18), 21.75),
    Pattern.STEP_UP: Law(0.30, 0.40, (0.10, 0.13), (0.12, 0.16), 22.0),
    Pattern.GUN: Law(0.40, 0.30, (0.08, 0.11), (0.10, 0.12), 22.0),
    Pattern.GUN_HUGE: Law(0.50, 0.25, (0.05, 0.07), (0.06, 0.09), 22.0, 4.0),
    Pattern.CHILD: Law(0.28, 0.25, (0.18, 0.18), (0.12, 0.12), 20.5),
    Pattern.FOIL: Law(0.15, 0.15, (0.12, 0.12), (0.10, 0.12), 23.25),
}

Row = tuple[float, float, float]
"""Length, width, litres."""

_B, _I, _A, _E = Experience

SKILL: Mapping[Pattern, Mapping[Experience, Row]] = {
    Pattern.NOSERIDER: {_B: (115, 23.25, 82), _I: (114, 23, 76), _A: (114, 23, 74), _E: (113, 22.75, 71)},
    Pattern.LONG_BOARD: {
        _B: (112, 23, 77),
        _I: (110, 22.75, 67),
        _A: (109, 22.5, 62),
        _E: (109, 22.375, 60),
    },
    Pattern.MID_LENGTH: {
        _B: (95, 22.25, 60),
        _I: (88, 21.5, 49),
        _A: (85, 21.125, 44),
        _E: (83, 20.875, 41),
    },
    Pattern.FISH: {_B: (75, 22, 45), _I: (70, 21.375, 37), _A: (67, 20.875, 33), _E: (66, 20.625, 31)},
    Pattern.TWIN_KEEL: {_B: (74, 22.25, 45), _I: (68, 21.75, 37), _A: (66, 21.25, 33), _E: (65, 21, 31)},
    Pattern.SMALL_WAVE: {_B: (76, 22, 45), _I: (71, 20.5, 35.5), _A: (69, 19.75, 31), _E: (68, 19.375, 29)},
    Pattern.PERFORMANCE: {_B: (78, 21, 42), _I: (73, 19.5, 33), _A: (72, 19, 29), _E: (71, 18.75, 27)},
    Pattern.STEP_UP: {_I: (80, 19.375, 36), _A: (78, 19, 32), _E: (77, 18.75, 31)},
    Pattern.GUN: {_I: (92, 19.75, 44), _A: (89, 19.5, 41), _E: (88, 19.25, 39)},
    Pattern.GUN_HUGE: {_I: (118, 20.75, 68), _A: (117, 20.625, 66), _E: (117, 20.5, 65)},
    Pattern.CHILD: {_B: (67, 19.25, 29), _I: (61, 18.25, 23), _A: (59, 17.625, 19), _E: (58, 17.375, 18)},
    Pattern.FOIL: {_B: (66, 20.75, 43), _I: (58, 19.75, 35), _A: (54, 19.25, 31), _E: (52, 19, 29)},
}
"""Boards for the reference rider in medium waves without a suit; no row where none is made."""

SUIT_LITRES = {
    Suit.NONE: 0.0,
    Suit.TWO: 0.25,
    Suit.THREE_TWO: 0.5,
    Suit.FOUR_THREE: 1.0,
    Suit.FIVE_FOUR: 2.0,
    Suit.SIX_FIVE: 3.0,
}
"""Litres that a suit asks for at 75 kg; with the root of the mass, half of it on boards of `FULL` and more
and for beginners."""

FULL = 50.0

LEAST_LENGTH, LEAST_WIDTH, LEAST_THICKNESS = 48.0, 16.0, 1.75
"""Of the smallest child's board, inches; a board sheet begins at 4 ft."""

MOST_LONGER = 6.0
"""Inches that a board may grow longer than its law where its width may not grow."""


@dataclass(frozen=True, slots=True)
class Size:
    """What the law asks for: `length`, `wide`, `thickest` in metres, `volume` in m3.

    Attributes
    ----------
    rise
        Factor on the reference's rocker.
    short
        m3 that the kind cannot carry; 0 where it carries the rider.
    capped
        Whether the width stands at the kind's greatest.
    """

    length: float
    wide: float
    thickest: float
    volume: float
    rise: float = 1.0
    short: float = 0.0
    capped: bool = False


@dataclass(frozen=True, slots=True)
class Inches:
    """Length and width in inches, volume in litres, on the way to a size."""

    length: float
    wide: float
    litres: float


def size_for(rider: RiderNumbers, pattern: Pattern, waves: Waves, fill: float) -> Size:
    """Return the size of a board for a rider.

    Parameters
    ----------
    rider
        Mass, stature, experience, age, suit.
    pattern
        What the board is cut after; it has a row for the experience.
    waves
        How big.
    fill
        Volume over length, width and thickness of the pattern's reference.
    """
    plain = _small_long_board(rider) if is_small(rider) and pattern in LONG else _grown(rider, pattern)
    worn = _worn(rider, _for_age(rider, pattern, plain))
    size = _within(_for_waves(pattern, waves, worn), LAWS[pattern], fill)
    # Rocker grows with the length beyond what the skill's own board has: a beginner's is longer, not rounder.
    rise = rise_for(pattern, waves) * size.length / (SKILL[pattern][rider.experience][0] * INCH)
    return replace(size, rise=rise)


def is_small(rider: RiderNumbers) -> bool:
    """Whether a rider is a child in size as well: to 12 years and under about 48 kg.

    Where no age is said, a person of under 40 kg and 1.5 m is taken for a child.
    """
    if rider.age is None:
        return rider.mass < 40.0 and rider.stature < 1.5
    return rider.age is AgeGroup.CHILD and rider.mass < CHILD_UNDER


CHILD_UNDER = 48.0


def _grown(rider: RiderNumbers, pattern: Pattern) -> Inches:
    law, (length, wide, litres) = LAWS[pattern], SKILL[pattern][rider.experience]
    child = pattern is Pattern.CHILD
    ratio = rider.mass / (CHILD_MASS if child else MASS)
    side = 0 if ratio <= 1.0 else 1
    taller = rider.stature / INCH - (CHILD_STATURE if child else STATURE)
    return Inches(
        length + law.taller * taller + law.longer[side] * length * log(ratio),
        wide * ratio ** law.wider[side],
        litres * (law.lean + (1.0 - law.lean) * ratio),
    )


def _small_long_board(rider: RiderNumbers) -> Inches:
    """Return a child's long board: 7'0" x 20, 34 l at 22 kg to 8'6" x 21 1/2, 46 l at 48 kg."""
    share = min(max((rider.mass - 22.0) / (CHILD_UNDER - 22.0), 0.0), 1.0)
    return Inches(84.0 + 18.0 * share, 20.0 + 1.5 * share, 34.0 + 12.0 * share)


def _for_age(rider: RiderNumbers, pattern: Pattern, size: Inches) -> Inches:
    """Seniors: 6 % more litres and an inch on boards under 9 ft, 3 % on long boards."""
    if rider.age is not AgeGroup.SENIOR:
        return size
    if pattern in LONG:
        return replace(size, litres=1.03 * size.litres)
    return replace(size, length=size.length + 1.0, litres=1.06 * size.litres)


def _worn(rider: RiderNumbers, size: Inches) -> Inches:
    """A suit's litres; a thick one's are a little length as well (the rest is thickness)."""
    more = suit_litres(rider, size.litres)
    return replace(
        size, length=size.length + min(0.25 * max(more - 1.0, 0.0), 1.0), litres=size.litres + more
    )


def suit_litres(rider: RiderNumbers, litres: float) -> float:
    """Return the litres that a rider's suit asks for, on a board of so many without it."""
    more = SUIT_LITRES[rider.worn] * sqrt(rider.mass / MASS)
    return 0.5 * more if litres >= FULL or rider.experience is Experience.BEGINNER else more


def _for_waves(pattern: Pattern, waves: Waves, size: Inches) -> Inches:
    if waves is Waves.SMALL and pattern in SHORT:
        return Inches(size.length - 0.5, size.wide + 0.125, 1.03 * size.litres)
    if waves in (Waves.LARGE, Waves.HUGE) and pattern in (*SHORT, Pattern.MID_LENGTH):
        return replace(size, length=size.length + 1.0)
    return size


def rise_for(pattern: Pattern, waves: Waves) -> float:
    """Return the factor on the rocker for waves: less in small ones, more in large ones."""
    if waves is Waves.SMALL and pattern in SHORT:
        return 0.94
    large = waves in (Waves.LARGE, Waves.HUGE) and pattern in (*SHORT, Pattern.MID_LENGTH)
    return 1.05 if large else 1.0


def _within(size: Inches, law: Law, fill: float) -> Size:
    """Return a size within caps and floors: width gives first, then length up to 6 in, then thickness."""
    size = replace(size, length=max(size.length, LEAST_LENGTH))
    wide = min(max(size.wide, LEAST_WIDTH), law.cap)
    thick = size.litres * LITRE_IN / (fill * size.length * size.wide)
    length = size.length
    area = size.litres * LITRE_IN / fill
    if thick > law.most or wide < size.wide:
        length = min(max(area / (wide * min(thick, law.most)), size.length), size.length + MOST_LONGER)
    if thick < LEAST_THICKNESS:
        wide = max(area / (length * LEAST_THICKNESS), LEAST_WIDTH)
        length = area / (wide * LEAST_THICKNESS) if wide <= LEAST_WIDTH else length
    thick = area / (length * wide)
    short = max(thick - law.most, 0.0) * length * wide * fill / LITRE_IN
    return Size(
        length * INCH,
        wide * INCH,
        min(thick, law.most) * INCH,
        size.litres * 1e-3,
        short=short * 1e-3,
        capped=wide >= law.cap,
    )
