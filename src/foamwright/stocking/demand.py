"""The boards that are expected: sampled riders, each with a board of a family in its size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeVar

import numpy as np

from foamwright.board.numbers import BoardNumbers
from foamwright.brief.drafting import INCHES, Draft, Grid, Number, drafted
from foamwright.brief.kinds import Kind, Waves, pattern_of
from foamwright.brief.law import Size, size_for
from foamwright.brief.sizing import LIMITS, fill_of
from foamwright.sheets.rider import AgeGroup, Experience, Lungs, RiderNumbers, Suit, Water
from foamwright.stocking.population import MEN, WOMEN, Bodies, Population

T = TypeVar("T")

WAVES_FOR = {Kind.SMALL_WAVE: Waves.SMALL, Kind.STEP_UP: Waves.LARGE, Kind.GUN: Waves.LARGE}
"""Kinds that are made for one size of waves; the others ride small and medium ones alike."""


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
    """Size the rider's board: the law's length, width and litres, each by taste; thickness takes the rest."""
    more, longer, wider, curved = np.clip(dice.standard_normal(4), -2.5, 2.5).tolist()
    taste, pattern = who.taste, pattern_of(rider.kind, rider.waves)
    usual = size_of(rider)
    length = Grid.on(_within(Number.LENGTH, usual.length * (1.0 + taste.length * longer)), INCHES.length)
    wide = Grid.on(usual.wide * float(np.exp(taste.width_for_thickness * wider)), INCHES.width)
    volume = usual.volume * float(np.exp(taste.volume * more))
    thick = _within(Number.THICKEST, volume / (fill_of(pattern) * length * wide))
    rise = usual.rise * (1.0 + taste.rocker * curved)
    return Draft(pattern, length, wide, Grid.on(thick, INCHES.thickness), rise)


def size_of(rider: Sampled) -> Size:
    """Return the law's size for a sampled rider, without a suit."""
    person = RiderNumbers(
        "sampled",
        rider.mass,
        rider.stature,
        rider.experience,
        Lungs.RESTING,
        WATER,
        AgeGroup.ADULT,
        Suit.NONE,
    )
    pattern = pattern_of(rider.kind, rider.waves)
    return size_for(person, pattern, rider.waves, fill_of(pattern))


WATER = Water(20.0, 35.0)
"""Plays no part in the size of a board whose rider wears nothing."""


def _within(number: Number, value: float) -> float:
    low, high = LIMITS[number]
    return min(max(value, low), high)
