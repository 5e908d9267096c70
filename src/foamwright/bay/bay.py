"""The bay: tools with their numbers, rates of work, tape, allowances and prices. SI inside.

Every default here is common practice, no source, unless it says otherwise; a bay sheet changes any of
them, and timed jobs are meant to replace them.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from foamwright.units import INCH, Unit

TRENCH = INCH / 8
"""Deepest trench before the foam comes down and a stop is made. Common practice, no source."""

BETWEEN_READINGS = 8 * INCH
"""Along the stringer, from one place that a stop reads to the next. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Plane:
    """A hand plane: `sole` length, `mouth` distance toe to iron, `width` of body and of `iron`; all metres.

    `chips` are the thicknesses it is set to, coarse first, metres.
    Jack length 14 in and block 7 in: published plane tables (tests/published); the rest: common practice.
    """

    name: str
    sole: float
    mouth: float
    width: float
    iron: float
    chips: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class PowerPlaner:
    """A power planer: `cutter` width and depth of a `chip` (one pass), metres. Common practice, no source."""

    cutter: float = 0.082
    chip: float = INCH / 16


@dataclass(frozen=True, slots=True)
class Rates:
    """How fast foam comes off, what makes it slower, and how long it takes to look.

    Attributes
    ----------
    stringer
        Minutes per square metre of stringer profile planed (depth times length).
    foam
        Minutes per cubic metre of foam brought down beside it.
    hollow
        Factor on both, at the most, where the face to be cut is hollow along the board.
    hard
        Factor on foam taken from a hard face.
    strip
        Minutes per metre of strip at each foam-down, over what its foam takes: fetching the block, the short
        straight edge every 6 in.
    stop
        Minutes per stop: plane down, shavings off, gauge in hand, the number written.
    reading
        Minutes per reading.
    """

    stringer: float = 900.0
    foam: float = 2600.0
    hollow: float = 1.6
    hard: float = 4.0
    strip: float = 0.5
    stop: float = 0.5
    reading: float = 0.25


@dataclass(frozen=True, slots=True)
class Allowances:
    """What is left on purpose, metres: `saw` outside the outline, `finish` on each face for sanding,
    `run_off` tolerance that a list of strokes may end above its target.
    """

    saw: float = 0.25 * INCH
    finish: float = INCH / 64
    run_off: float = INCH / 32


@dataclass(frozen=True, slots=True)
class Tape:
    """Fraction of an inch a tape is read to (16 means 1/16), and its standard error in metres."""

    fraction: int = 16
    standard_error: float = INCH / 64


@dataclass(frozen=True, slots=True)
class Prices:
    """Labour per hour and the currency of every price in the bay."""

    labour_hour: float = 40.0
    currency: str = "EUR"


@dataclass(frozen=True, slots=True)
class Weights:
    """What a shaper gives up first when the board must be got out of what foam remains.

    The change (metres) of each kind of number that is as bad as any other's: the larger, the sooner it gives.
    """

    rocker: float = INCH / 4
    thickness: float = INCH / 8
    width: float = INCH / 4
    concave: float = INCH / 8


@dataclass(frozen=True, slots=True)
class Habits:
    """How evenly strokes are made here, as standard errors. Common practice, no source; learned from jobs.

    Attributes
    ----------
    start
        Of where a stroke starts and is lifted, metres; an eighth of an inch where starts are marked.
    each
        Of one stroke's chip, a share of it.
    """

    start: float = INCH / 2
    each: float = 0.3


@dataclass(frozen=True, slots=True)
class Bay:
    """A workshop.

    `planes` stand in the order in which run-offs prefer them: the first that reaches makes the walk. The
    short trimming plane, its iron nearly as wide as its body, reaches every hollow of these boards and goes
    down its own trench; a bay that puts a longer plane first has it used where the face bulges.
    """

    name: str = "bay"
    planes: tuple[Plane, ...] = (
        Plane("trimming plane", 0.0889, 0.0206375, 0.03175, 0.0301625, (INCH / 32, INCH / 64)),
        Plane("block plane", 0.1778, 0.04445, 0.0508, 0.0396875, (INCH / 32, INCH / 64)),
        Plane("jack plane", 0.3556, 0.1143, 0.0635, 0.0508, (INCH / 32, INCH / 64)),
    )
    rates: Rates = field(default_factory=Rates)
    allowances: Allowances = field(default_factory=Allowances)
    tape: Tape = field(default_factory=Tape)
    prices: Prices = field(default_factory=Prices)
    rail_bands: int = 3
    power_planer: PowerPlaner | None = None
    rescue: Weights = field(default_factory=Weights)
    hands: Habits = field(default_factory=Habits)


def usual_bay(unit: Unit) -> Bay:
    """Return the usual bay in the sizes that are sold and set where people measure in a unit.

    In millimetres: soles of 90, 180 and 350 mm, chips of 0.8 and 0.4 mm, the saw 6 mm outside.
    """
    if unit in (Unit.INCH, Unit.FOOT):
        return Bay()
    chips = (0.0008, 0.0004)
    return replace(
        Bay(),
        planes=(
            Plane("trimming plane", 0.090, 0.021, 0.032, 0.030, chips),
            Plane("block plane", 0.180, 0.045, 0.050, 0.040, chips),
            Plane("jack plane", 0.350, 0.115, 0.064, 0.050, chips),
        ),
        allowances=Allowances(saw=0.006, finish=0.0004, run_off=0.0008),
        tape=Tape(standard_error=0.0004),
        rescue=Weights(rocker=0.006, thickness=0.003, width=0.006, concave=0.003),
    )
