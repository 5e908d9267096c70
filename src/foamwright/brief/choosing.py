"""What was chosen for a brief, each with its reason: kind, litres, length, width, rocker, fins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from foamwright.board.numbers import BoardNumbers
from foamwright.brief.families import FAMILIES
from foamwright.brief.kinds import Kind, Pattern, Waves, board_word
from foamwright.brief.law import LAWS, SKILL, Size, is_small, rise_for, suit_litres
from foamwright.sheets.rider import AgeGroup, Experience, RiderNumbers
from foamwright.units import INCH, System, format_with_unit

COMMON = "common practice, no source"
FIXED = "fixed by you"


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that was chosen.

    Attributes
    ----------
    name
        What: ``volume``, ``length`` …
    value, unit
        SI, or litres for a volume; an empty unit for a plain ratio or a word.
    why
        The reason, as a sentence.
    basis
        ``common practice, no source``, or ``fixed by you``.
    """

    name: str
    value: float | str
    unit: str
    why: str
    basis: str


@dataclass(frozen=True)
class Chosen:
    """What the reasons are told from."""

    rider: RiderNumbers
    kind: Kind
    pattern: Pattern
    waves: Waves
    size: Size
    numbers: BoardNumbers
    system: System


def choices_of(chosen: Chosen, asked: Kind | None) -> Iterator[Choice]:
    """Yield what was chosen, and why."""
    kind, numbers = chosen.kind, chosen.numbers
    yield kind_choice(chosen, asked)
    yield volume_choice(chosen)
    yield Choice("length", numbers.length, "m", _length_words(chosen), COMMON)
    yield Choice("wide", numbers.wide, "m", _width_words(chosen), COMMON)
    yield Choice("thickest", numbers.thickest, "m", "it is what the volume leaves.", COMMON)
    yield Choice("rocker", chosen.size.rise, "", _rocker_words(chosen), COMMON)
    fins = FAMILIES[chosen.pattern].fins
    yield Choice("fins", str(fins), "", f"the usual layout of a {board_word(kind)}.", COMMON)


def kind_choice(chosen: Chosen, asked: Kind | None) -> Choice:
    """Return the choice of the kind."""
    board, rider = board_word(chosen.kind), chosen.rider
    if chosen.kind is asked:
        return Choice("kind", str(chosen.kind), "", f"a {board} was asked for.", FIXED)
    who = "a child" if is_small(rider) else f"{_article(rider.experience)} rider"
    why = f"for {who} in {chosen.waves} waves a {board} is the usual start."
    return Choice("kind", str(chosen.kind), "", why, COMMON)


def _article(experience: Experience) -> str:
    return f"{'a' if experience is Experience.BEGINNER else 'an'} {experience}"


def volume_choice(chosen: Chosen) -> Choice:
    """Return the choice of the volume, litres."""
    rider, litres = chosen.rider, 1e3 * chosen.size.volume
    parts = [
        f"{_article(rider.experience)} rider of {rider.mass:.3g} kg has about "
        f"{litres / rider.mass:.2f} litres for each kilogram on a {board_word(chosen.kind)}"
    ]
    if (suit := suit_litres(rider, litres)) > 0.0:
        parts.append(f"{suit:.1f} of them for the suit ({rider.worn})")
    if rider.age is AgeGroup.SENIOR:
        parts.append("a few more from 55 years on")
    return Choice("volume", litres, "l", ", ".join(parts) + ".", COMMON)


def _length_words(chosen: Chosen) -> str:
    row = SKILL[chosen.pattern][chosen.rider.experience]
    usual, inch = (format_with_unit(x * INCH, chosen.system) for x in (row[0], LAWS[chosen.pattern].taller))
    return (
        f"a {board_word(chosen.kind)} for a rider like that of 178 cm and 75 kg is about {usual} long, "
        f"{inch} longer for each inch of stature more; heavy riders get length before width."
        if chosen.pattern is not Pattern.CHILD
        else f"a child's board for 142 cm and 35 kg is about {usual} long, and grows with the child."
    )


def _width_words(chosen: Chosen) -> str:
    cap = format_with_unit(LAWS[chosen.pattern].cap * INCH, chosen.system)
    if chosen.size.capped:
        return f"more than {cap} is no {board_word(chosen.kind)} any more."
    return f"width changes least with the rider, and never beyond {cap}."


def _rocker_words(chosen: Chosen) -> str:
    rise = rise_for(chosen.pattern, chosen.waves)
    more = round(100.0 * abs(rise - 1.0))
    change = f"{more} % {'more' if rise > 1.0 else 'less'}" if more else "it as it is"
    return f"rocker grows with the length; {chosen.waves} waves take {change}."
