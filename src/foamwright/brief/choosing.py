"""What a rider's brief asks for: the kind, the litres, the length, the rocker; each with its reason."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.brief.families import FAMILIES, Kind, Waves, inches
from foamwright.sheets.rider import Experience, RiderNumbers
from foamwright.units import System, format_with_unit

USUAL_STATURE = inches(70.0)
"""Stature to which the reference boards are made."""

COMMON = "common practice, no source"

VOLUME_IN = {Waves.SMALL: 1.04, Waves.MEDIUM: 1.0, Waves.LARGE: 1.02, Waves.HUGE: 1.06}
ROCKER_IN = {Waves.SMALL: 0.92, Waves.MEDIUM: 1.0, Waves.LARGE: 1.06, Waves.HUGE: 1.1}
"""Factors on volume and rocker by size of waves. Common practice, no source."""


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


def usual_kind(experience: Experience, waves: Waves) -> Kind:
    """Return the kind that suits, where none is asked for."""
    if experience is Experience.BEGINNER:
        return Kind.LONG_BOARD
    if waves in (Waves.LARGE, Waves.HUGE):
        return Kind.STEP_UP if waves is Waves.LARGE else Kind.GUN
    if experience is Experience.INTERMEDIATE:
        return Kind.MID_LENGTH
    return Kind.SMALL_WAVE if waves is Waves.SMALL else Kind.PERFORMANCE


def board_word(kind: Kind) -> str:
    """Return a kind as the noun it is in a sentence."""
    nouns = (Kind.LONG_BOARD, Kind.MID_LENGTH, Kind.FISH, Kind.STEP_UP, Kind.GUN)
    return str(kind) if kind in nouns else f"{kind} board"


def kind_choice(kind: Kind, asked: bool, rider: RiderNumbers, waves: Waves) -> Choice:
    """Return the choice of the kind."""
    board = board_word(kind)
    usual = f"for {_article(rider.experience)} rider in {waves} waves a {board} is the usual start."
    why = f"a {board} was asked for." if asked else usual
    return Choice("kind", str(kind), "", why, "fixed by you" if asked else COMMON)


def _article(experience: Experience) -> str:
    return f"{'a' if experience is Experience.BEGINNER else 'an'} {experience}"


def target_volume(rider: RiderNumbers, kind: Kind, waves: Waves) -> float:
    """Return the volume that suits a rider, m3."""
    return rider.mass * FAMILIES[kind].litres_per_kg[rider.experience] * VOLUME_IN[waves] / 1000.0


def volume_choice(rider: RiderNumbers, kind: Kind, waves: Waves) -> Choice:
    """Return the choice of the volume, litres."""
    per_kg = FAMILIES[kind].litres_per_kg[rider.experience]
    more = f", times {VOLUME_IN[waves]:g} in {waves} waves" if VOLUME_IN[waves] != 1.0 else ""
    return Choice(
        "volume",
        target_volume(rider, kind, waves) * 1000.0,
        "l",
        f"{_article(rider.experience)} rider has about {per_kg:g} litres for each kilogram "
        f"(here {rider.mass:.3g}) on a {board_word(kind)}{more}.",
        COMMON,
    )


def usual_length(stature: float, kind: Kind) -> float:
    """Return the length that suits a stature (m) before the volume stretches it, m."""
    family = FAMILIES[kind]
    return inches(family.length) + family.stretch * (stature - USUAL_STATURE)


def size_choice(kind: Kind, length: float, system: System = System.INCH) -> Choice:
    """Return the choice of the length, explained in inches or millimetres."""
    family = FAMILIES[kind]
    stature, long = (format_with_unit(size, system) for size in (USUAL_STATURE, inches(family.length)))
    return Choice(
        "length",
        length,
        "m",
        f"a {board_word(kind)} for {stature} of stature is {long} long, and {family.stretch:g} {system} "
        f"longer for each {'inch' if system is System.INCH else 'mm'} more; the volume moves it a little.",
        COMMON,
    )


def _share(factor: float) -> str:
    more = round(100.0 * (factor - 1.0))
    return f"{abs(more)} % {'more' if more > 0 else 'less'}" if more else "it as it is"


def rocker_choice(waves: Waves) -> Choice:
    """Return the choice of the rocker."""
    return Choice(
        "rocker",
        ROCKER_IN[waves],
        "",
        f"rocker grows with the length; {waves} waves take {_share(ROCKER_IN[waves])}.",
        COMMON,
    )
