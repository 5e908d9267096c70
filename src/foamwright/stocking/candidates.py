"""Candidate blanks: block-cut and moulded, spread evenly over length, thickness, width and rocker.

Ranges, forms and prices are our own, of the order that is common in the trade: no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from itertools import count as counting
from itertools import islice

from foamwright.blank.numbers import BlankNumbers, Face, Foam, FoamFamily, Section, Stringer
from foamwright.stations import Mark
from foamwright.units import INCH, Unit

SPOT = 12.0
"""Inches from a tip where numbers are given besides those of the tip."""

HALTON = (2, 3, 5, 7, 11)
"""Bases of the even spread, one for each number that varies (Halton's sequence)."""


class Make(StrEnum):
    """How candidate blanks are made."""

    BLOCK = "block"
    MOULDED = "moulded"


@dataclass(frozen=True, slots=True)
class Pricing:
    """What a blank costs the shop.

    Attributes
    ----------
    handling
        For each blank.
    litre
        For each litre of foam.
    stringer_metre
        For each metre of stringer.
    """

    handling: float
    litre: float
    stringer_metre: float
    currency: str = "EUR"

    def price(self, volume: float, length: float) -> float:
        """Return the price of a blank of a volume (m3) and a length (m), in cents of the currency."""
        return round(self.handling + self.litre * 1000.0 * volume + self.stringer_metre * length, 2)


PRICING = {Make.BLOCK: Pricing(22.0, 0.42, 6.0), Make.MOULDED: Pricing(24.0, 0.85, 6.0)}


@dataclass(frozen=True, slots=True)
class Form:
    """The numbers of one candidate, inches."""

    length: float
    thickness: float
    width: float
    nose: float
    tail: float

    @property
    def name(self) -> str:
        """The name: length, thickness, width, nose and tail rocker, so that like blanks have like names."""
        feet, inches = divmod(self.length, 12.0)
        size = f"{feet:.0f}-{inches:g} x {self.thickness:g} x {self.width:g}"
        return f"{size}, rocker {self.nose:g} x {self.tail:g}"


def generated(count: int, make: Make = Make.BLOCK) -> tuple[BlankNumbers, ...]:
    """Return so many candidates, all different.

    Parameters
    ----------
    count
        How many; the first n of more are the same ones.
    make
        How they are made.

    Returns
    -------
    tuple of BlankNumbers
        Lengths in whole inches, the rest in quarter inches.
    """
    return tuple(blank_numbers(form, make) for form in islice(_different(), count))


def _different() -> Iterator[Form]:
    seen: set[Form] = set()
    for n in counting(1):
        form = _form(tuple(radical_inverse(n, base) for base in HALTON))
        if form not in seen:
            seen.add(form)
            yield form


def radical_inverse(n: int, base: int) -> float:
    """Return n's digits in a base mirrored at the point: Halton's sequence, between 0 and 1.

    Examples
    --------
    >>> [radical_inverse(n, 2) for n in (1, 2, 3, 4)]
    [0.5, 0.25, 0.75, 0.125]
    """
    value, digit = 0.0, 1.0 / base
    while n:
        n, last = divmod(n, base)
        value += last * digit
        digit /= base
    return value


def _form(at: tuple[float, ...]) -> Form:
    """Return the form at a place of the unit cube; long blanks are thicker, wider and flatter in the nose."""
    long = at[0]
    return Form(
        length=float(round(62.0 + 62.0 * long)),
        thickness=_quarter(2.75 + 0.75 * long + 1.25 * at[1]),
        width=_quarter(20.5 + 1.5 * long + 3.0 * at[2]),
        nose=_quarter(4.0 + 2.25 * at[3]),
        tail=_quarter(1.5 + 1.5 * at[4]),
    )


def _quarter(inches: float) -> float:
    return round(4.0 * inches) / 4.0


def _metres(inches: float) -> float:
    """Return inches in metres, rounded once: a sheet in millimetres says 304.8, not 304.79999999999996."""
    return float(Fraction(inches) * Unit.INCH.exact)


def blank_numbers(form: Form, make: Make) -> BlankNumbers:
    """Return the numbers of a candidate, in SI."""
    length = _metres(form.length)
    block = make is Make.BLOCK
    return BlankNumbers(
        id=f"{make} {form.name}",
        foam=Foam(FoamFamily.EPS, 20.0) if block else Foam(FoamFamily.PU, 40.0),
        section=Section.SQUARE if block else Section.DOMED,
        length=length,
        outline=_outline(form, make),
        wide=None if block else _metres(form.width),
        wide_at=None if block else length / 2.0,
        rocker=_rocker(form),
        thickness=_thickness(form, make),
        dome=() if block else _dome(form),
        stringer=Stringer("basswood", INCH / 8),
        price=PRICING[make].price(_about_volume(form, make), length),
        currency=PRICING[make].currency,
        on_hand=0,
        lead_time_days=14.0,
        hard_face=None if block else Face.DECK,
        hard_most=math.inf if block else INCH / 4,
        skim_bottom=INCH / 32,
        skim_deck=INCH / 32,
    )


def _marks(form: Form, tail: float, near_tail: float, near_nose: float, nose: float) -> tuple[Mark, ...]:
    """Marks at the tips and 12 in from them; inches in, metres out."""
    places = (
        (0.0, tail, "tail"),
        (SPOT, near_tail, "12 in from tail"),
        (form.length - SPOT, near_nose, "12 in from nose"),
        (form.length, nose, "nose"),
    )
    return tuple(Mark(_metres(x), _metres(value), place) for x, value, place in places)


def _dome(form: Form) -> tuple[Mark, ...]:
    """Thickness at the edge as a share of that at the stringer.

    A mould's hard deck is crowned like the boards that it is made for, by 5/16 in or a little more out to
    where their rails roll: no source.
    """
    places = _marks(form, 0.0, 0.0, 0.0, 0.0)
    return tuple(
        replace(one, value=share) for one, share in zip(places, (0.86, 0.88, 0.86, 0.84), strict=True)
    )


def _rocker(form: Form) -> tuple[Mark, ...]:
    """Numbers read off power curves that touch the level line at 46 % of the length."""
    apex = 0.46 * form.length
    near_tail = form.tail * (1.0 - SPOT / apex) ** 2.1
    near_nose = form.nose * (1.0 - SPOT / (form.length - apex)) ** 2.4
    return _marks(form, form.tail, _sixteenth(near_tail), _sixteenth(near_nose), form.nose)


def _sixteenth(inches: float) -> float:
    return round(16.0 * inches) / 16.0


def _outline(form: Form, make: Make) -> tuple[Mark, ...]:
    if make is Make.BLOCK:
        width = _metres(form.width)
        return (Mark(0.0, width, "tail"), Mark(_metres(form.length), width, "nose"))
    shares = (0.5, 0.82, 0.74, 0.28)
    return _marks(form, *(_quarter(form.width * share) for share in shares))


def _thickness(form: Form, make: Make) -> tuple[Mark, ...]:
    if make is Make.BLOCK:
        thick = _metres(form.thickness)
        return (Mark(0.0, thick, "tail"), Mark(_metres(form.length), thick, "nose"))
    tail, near_tail, near_nose, nose = _marks(
        form,
        *(_sixteenth(share * form.thickness) for share in (0.48, 0.80, 0.77, 0.46)),
    )
    middle = Mark(_metres(form.length) / 2.0, _metres(form.thickness), "centre")
    return (tail, near_tail, middle, near_nose, nose)


def _about_volume(form: Form, make: Make) -> float:
    """The volume that is paid for, m3: the block, or nearly the mould."""
    share = 1.0 if make is Make.BLOCK else 0.66
    return share * form.length * form.thickness * form.width * INCH**3
