"""A close-cut blank as the numbers of a stock sheet, safe on every side."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike

from foamwright.blank.blank import Blank, blank_of
from foamwright.blank.numbers import BlankNumbers, Foam, FoamFamily, Section, Stringer
from foamwright.errors import FoamwrightError, InputError, Problem
from foamwright.shape.curves import Floats
from foamwright.sheets.stations import parse_station
from foamwright.stations import Mark
from foamwright.units import Unit

SPARE = 1e-4
"""Metres added so that the written blank is on the safe side of the cut one."""


@dataclass(frozen=True, slots=True)
class Pricing:
    """Price of one blank and the days until it is there."""

    price: float = 0.0
    currency: str = "EUR"
    lead_time_days: float = 0.0


class Cut(Protocol):
    """What is asked of the blank that is cut."""

    @property
    def id(self) -> str: ...  # noqa: D102
    @property
    def length(self) -> float: ...  # noqa: D102
    @property
    def width(self) -> float: ...  # noqa: D102
    def bottom(self, x: ArrayLike) -> Floats: ...  # noqa: D102
    def deck(self, x: ArrayLike) -> Floats: ...  # noqa: D102


def numbers_around(cut: Cut, foam: Foam, stringer: Stringer, pricing: Pricing) -> BlankNumbers:
    """Return numbers whose fair blank holds the cut blank, and is hardly larger.

    The fair curves through a few stations are not quite the curves that were cut. What they lack is added
    to the thickness, evenly; if no fair foil passes through the thicknesses, one thickness stands for all.

    Raises
    ------
    InputError
        The rocker is no fair one at any set of stations.
    """
    failures: list[FoamwrightError] = []
    for stations in (_stations(cut.length, 1), _stations(cut.length, 2)):
        for even in (False, True):
            try:
                return _numbers(cut, (foam, stringer, pricing), stations, even=even)
            except InputError as failure:
                failures.append(failure)
    raise InputError(Problem(cut.id, f"no fair blank comes near it ({failures[0]}).", "Check the rocker."))


def _stations(length: float, thinning: int) -> dict[str, float]:
    names = ("12 from tail", "24 from tail", "centre", "24 from nose", "12 from nose")[::thinning]
    kept = {name: parse_station(name, length, Unit.INCH) for name in names}
    return {"tail": 0.0, **kept, "nose": length}


def _numbers(
    cut: Cut, made_of: tuple[Foam, Stringer, Pricing], stations: dict[str, float], *, even: bool
) -> BlankNumbers:
    foam, stringer, pricing = made_of
    x = np.array(list(stations.values()))
    low, high = cut.bottom(x), cut.deck(x)
    thickness = np.full(x.size, np.max(high - low)) if even else high - low
    names = {"tail": 0.0, "nose": cut.length} if even else stations
    first = BlankNumbers(
        id=cut.id,
        foam=foam,
        section=Section.SQUARE,
        length=cut.length,
        outline=(Mark(0.0, cut.width, "tail"), Mark(cut.length, cut.width, "nose")),
        wide=None,
        wide_at=None,
        rocker=tuple(Mark(at, float(z), name) for (name, at), z in zip(stations.items(), low, strict=True)),
        thickness=tuple(Mark(at, float(np.interp(at, x, thickness)), name) for name, at in names.items()),
        dome=(),
        stringer=stringer,
        price=pricing.price,
        currency=pricing.currency,
        on_hand=0,
        lead_time_days=pricing.lead_time_days,
        hard_face=None,
        hard_most=0.0,
        skim_bottom=0.0,
        skim_deck=0.0,
    )
    return _thickened(first, _lack(cut, blank_of(first)))


def _lack(cut: Cut, fair: Blank) -> float:
    """Thickness that the fair blank lacks to hold the cut one, whatever its height."""
    x = np.linspace(0.0, cut.length, 801)
    return float(np.max(fair.bottom(x) - cut.bottom(x)) + np.max(cut.deck(x) - fair.deck(x))) + SPARE


def _thickened(numbers: BlankNumbers, by: float) -> BlankNumbers:
    marks = tuple(replace(mark, value=mark.value + by) for mark in numbers.thickness)
    return replace(numbers, thickness=marks)


def refuse_polyurethane(foam: Foam, where: str) -> None:
    """Refuse to plan a hot wire through polyurethane.

    Raises
    ------
    InputError
        The foam is polyurethane.
    """
    if foam.family is FoamFamily.PU:
        raise InputError(
            Problem(
                where,
                "polyurethane is never cut by hot wire: heated polyurethane gives off isocyanates and "
                "hydrogen cyanide, which can maim and kill in small amounts.",
                "Saw and plane it, or order the blank in EPS or XPS.",
            )
        )
