"""The boards that are expected: sampled riders, each with a board of a family in its size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

import numpy as np

from foamwright.board.numbers import BoardNumbers
from foamwright.brief.choosing import ROCKER_IN, VOLUME_IN, usual_length
from foamwright.brief.drafting import INCHES, Draft, Grid, Number, drafted, reference
from foamwright.brief.families import FAMILIES, Kind, Waves
from foamwright.brief.sizing import LIMITS, guessed_volume
from foamwright.sheets.rider import Experience
from foamwright.stocking.population import MEN, WOMEN, Bodies, Population
from foamwright.units import INCH

T = TypeVar("T")

WAVES_FOR = {Kind.SMALL_WAVE: Waves.SMALL, Kind.STEP_UP: Waves.LARGE, Kind.GUN: Waves.HUGE}
"""Kinds that are made for one size of waves; the others ride small and medium ones alike."""

GIVES = {Number.WIDE: 0.35, Number.LENGTH: 0.4}
"""Powers of a change of volume that the width takes, and of what is left that the length takes; the
thickness takes the rest. Our own: heavy riders get longer boards, not only wider ones."""

WIDER = (-1.5 * INCH, 1.75 * INCH)
"""How far a width goes from its family's. Our own."""


@dataclass(frozen=True, slots=True)
class Expected:
    """A board that is expected, `weight` times (a count, or a share of one)."""

    board: BoardNumbers
    weight: float = 1.0
    kind: str = ""


@dataclass(frozen=True, slots=True)
class Sampled:
    """A rider drawn from a population: `mass` kg, `stature` metres, and what is wanted."""

    mass: float
    stature: float
    experience: Experience
    kind: Kind
    waves: Waves


def expected_boards(count: int, seed: int, population: Population | None = None) -> tuple[Expected, ...]:
    """Return so many expected boards.

    Parameters
    ----------
    count
        How many.
    seed
        Of the draws. The n-th board depends on seed and n only, so more boards are the same ones and more.
    population
        Who rides (default: `Population()`).

    Returns
    -------
    tuple of Expected
        Boards with all their numbers on the tape.
    """
    who = Population() if population is None else population
    return tuple(_expected(np.random.default_rng([seed, n]), who, n) for n in range(count))


def _expected(dice: np.random.Generator, who: Population, number: int) -> Expected:
    rider = sampled_rider(dice, who)
    draft = _draft(dice, rider, who)
    return Expected(drafted(draft, INCHES, f"{rider.kind} {number + 1}"), 1.0, str(rider.kind))


def sampled_rider(dice: np.random.Generator, who: Population) -> Sampled:
    """Return a rider drawn from a population."""
    bodies = WOMEN if dice.random() < who.women else MEN
    stature, mass = _body(dice, bodies)
    experience = _one_of(dice, who.experience)
    kind = _one_of(dice, who.mix[experience])
    either = Waves.SMALL if dice.random() < 0.5 else Waves.MEDIUM
    return Sampled(mass, stature, experience, kind, WAVES_FOR.get(kind, either))


def _body(dice: np.random.Generator, bodies: Bodies) -> tuple[float, float]:
    """Draw stature and mass; draws beyond three standard deviations stop there."""
    tall, heavy = np.clip(dice.standard_normal(2), -3.0, 3.0).tolist()
    stature = bodies.stature + bodies.stature_spread * tall
    index = float(np.exp(bodies.log_index + bodies.log_index_spread * heavy))
    return stature, index * stature**2


def _one_of(dice: np.random.Generator, shares: Mapping[T, float]) -> T:
    edges = np.cumsum(list(shares.values()))
    place = int(np.searchsorted(edges, dice.random() * edges[-1], side="right"))
    return list(shares)[min(place, len(shares) - 1)]


def _draft(dice: np.random.Generator, rider: Sampled, who: Population) -> Draft:
    """Size the rider's board: a usual length, then `_grown` to the volume that is wanted."""
    more, longer, wider, curved = np.clip(dice.standard_normal(4), -2.5, 2.5).tolist()
    taste, ref = who.taste, reference(rider.kind).numbers
    width = float(np.exp(taste.width_for_thickness * wider))
    usual = usual_length(rider.stature, rider.kind) * (1.0 + taste.length * longer)
    rise = ROCKER_IN[rider.waves] * (1.0 + taste.rocker * curved)
    first = Draft(rider.kind, usual, ref.wide * width, ref.thickest / width, rise)
    return _grown(first, wanted_volume(rider) * float(np.exp(taste.volume * more)))


def _grown(draft: Draft, target: float) -> Draft:
    """Return the draft on the tape near a volume: width gives within `WIDER`, then length, then thickness."""
    ref = reference(draft.kind).numbers
    low, high = (ref.wide + change for change in WIDER)
    ratio = target / guessed_volume(draft)
    wide = Grid.on(min(max(draft.wide * ratio ** GIVES[Number.WIDE], low), high), INCHES.width)
    rest = target / guessed_volume(replace(draft, wide=wide))
    length = _within(Number.LENGTH, draft.length * rest ** GIVES[Number.LENGTH])
    sized = replace(draft, wide=wide, length=Grid.on(length, INCHES.length))
    thick = _within(Number.THICKEST, draft.thickest * target / guessed_volume(sized))
    return replace(sized, thickest=Grid.on(thick, INCHES.thickness))


def wanted_volume(rider: Sampled) -> float:
    """Return the usual volume for a rider, m3."""
    per_kg = FAMILIES[rider.kind].litres_per_kg[rider.experience]
    return rider.mass * per_kg * VOLUME_IN[rider.waves] / 1000.0


def _within(number: Number, value: float) -> float:
    low, high = LIMITS[number]
    return min(max(value, low), high)
