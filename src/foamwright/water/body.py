"""A rider's body as numbers: segments with mass, length and centre, the trunk's girth, the air inside."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from foamwright.sheets.rider import Lungs, RiderNumbers
from foamwright.water.body_tables import (
    GIRTHS,
    LUNGS,
    PAIRED,
    SEGMENTS,
    TISSUE_DENSITY,
    Build,
    Girth,
    Part,
    SegmentRow,
)

USUAL_AGE = 30.0
"""Years, for the air in the lungs; a rider sheet asks no one's age."""

LEAST_AIR = 5e-6
"""m3 of air per kilogram below which the lung equations (made for adults) are not followed."""


@dataclass(frozen=True, slots=True)
class Segment:
    """One segment: mass in kg, length and distance of its centre from the upper end in metres."""

    mass: float
    length: float
    centre: float


@dataclass(frozen=True, slots=True)
class Trunk:
    """Half-breadth and half-depth at chest, waist and hip, and half the breadth of the shoulders, metres."""

    chest: tuple[float, float]
    waist: tuple[float, float]
    hip: tuple[float, float]
    shoulder: float


@dataclass(frozen=True, slots=True)
class Body:
    """A rider's body.

    Attributes
    ----------
    mass, stature
        kg and metres.
    density
        kg/m3 of its tissue, without the air in the lungs.
    air
        m3 of air in the lungs.
    segments
        Each part; of paired parts, one.
    trunk
        Girths.
    """

    mass: float
    stature: float
    density: float
    air: float
    segments: dict[Part, Segment]
    trunk: Trunk

    @property
    def volume(self) -> float:
        """Tissue and air together, m3."""
        return self.mass / self.density + self.air

    @property
    def mean_density(self) -> float:
        """Mass over volume with the air that is held, kg/m3."""
        return self.mass / self.volume


def body_of(
    rider: RiderNumbers, build: Build = Build.BETWEEN, density: float = TISSUE_DENSITY, age: float = USUAL_AGE
) -> Body:
    """Return a rider's body.

    Parameters
    ----------
    rider
        Mass, stature and the state of the lungs.
    build
        Whose published proportions it has.
    density
        kg/m3 of its tissue.
    age
        Years; only the air in the lungs depends on it.
    """
    rows = segment_rows(build)
    segments = {
        part: Segment(
            row.mass * rider.mass, row.length * rider.stature, row.centre * row.length * rider.stature
        )
        for part, row in rows.items()
    }
    air = max(lung_air(rider.lungs, rider.stature, build, age), LEAST_AIR * rider.mass)
    trunk = _trunk(girth_of(build), rider)
    return Body(rider.mass, rider.stature, density, air, segments, trunk)


def segment_rows(build: Build) -> dict[Part, SegmentRow]:
    """Return the rows of a build, with mass fractions (pairs counted twice) that add up to 1 exactly."""
    if build is Build.BETWEEN:
        men, women = segment_rows(Build.MALE), segment_rows(Build.FEMALE)
        return {part: _mean_row(men[part], women[part]) for part in men}
    rows = SEGMENTS[build]
    total = sum(row.mass * (2 if part in PAIRED else 1) for part, row in rows.items())
    return {part: SegmentRow(row.mass / total, row.length, row.centre) for part, row in rows.items()}


def _mean_row(one: SegmentRow, other: SegmentRow) -> SegmentRow:
    return SegmentRow(
        0.5 * (one.mass + other.mass), 0.5 * (one.length + other.length), 0.5 * (one.centre + other.centre)
    )


def girth_of(build: Build) -> Girth:
    """Return the girths of a build."""
    if build is not Build.BETWEEN:
        return GIRTHS[build]
    men, women = GIRTHS[Build.MALE], GIRTHS[Build.FEMALE]
    return Girth(
        _mean(men.chest, women.chest),
        _mean(men.waist, women.waist),
        _mean(men.hip, women.hip),
        0.5 * (men.shoulders + women.shoulders),
    )


def _mean(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float]:
    return 0.5 * (one[0] + other[0]), 0.5 * (one[1] + other[1])


def _trunk(girth: Girth, rider: RiderNumbers) -> Trunk:
    half = 0.5 * sqrt(rider.mass / (1000.0 * rider.stature))
    chest, waist, hip = ((half * g[0], half * g[1]) for g in (girth.chest, girth.waist, girth.hip))
    return Trunk(chest, waist, hip, 0.5 * girth.shoulders * rider.stature)


def lung_air(lungs: Lungs, stature: float, build: Build, age: float = USUAL_AGE) -> float:
    """Return the air in the lungs, m3, by the ECSC equations (Quanjer 1993).

    Examples
    --------
    A man of 1.80 m holds 7.99 * 1.80 - 7.08 = 7.302 litres at most.

    >>> round(lung_air(Lungs.FULL, 1.80, Build.MALE) * 1000, 3)
    7.302
    """
    if build is Build.BETWEEN:
        men, women = (lung_air(lungs, stature, one, age) for one in (Build.MALE, Build.FEMALE))
        return 0.5 * (men + women)
    row = LUNGS[build]
    tall, old, constant = {Lungs.FULL: row.full, Lungs.RESTING: row.resting, Lungs.EMPTY: row.empty}[lungs]
    return (tall * stature + old * age + constant) / 1000.0
