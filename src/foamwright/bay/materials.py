"""What a workshop glasses with and sells at: cloth, resin, foam, wood, boxes, hours. SI inside.

Prices, hours and coats are common practice, no source; every one is meant to be edited. Densities and moduli
name their source where they stand.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from foamwright.units import INCH

OUNCE_PER_SQUARE_YARD = 0.028349523125 / 0.9144**2
"""Kilograms per square metre in one ounce (avoirdupois) per square yard, exact: 0.0339057."""


@dataclass(frozen=True, slots=True)
class Cloth:
    """A woven glass cloth.

    Attributes
    ----------
    mass
        kg/m2 as it comes off the roll.
    roll_width
        Metres.
    price
        Per square metre.
    """

    name: str
    mass: float
    roll_width: float
    price: float


@dataclass(frozen=True, slots=True)
class Fibre:
    """Fibre: density in kg/m3, Young's modulus along it in Pa."""

    density: float = 2540.0
    modulus: float = 72.4e9


class ResinKind(StrEnum):
    """Chemistry of a resin; polyester dissolves polystyrene."""

    EPOXY = "epoxy"
    POLYESTER = "polyester"


@dataclass(frozen=True, slots=True)
class Resin:
    """Laminating resin.

    Attributes
    ----------
    kind
        ``None``: whichever suits the foam; epoxy where that is not known.
    density, modulus
        kg/m3 and Pa, cured.
    per_fibre
        kg of resin in the laminate for each kg of cloth. By hand on foam, laps and rails stay wet: 1.4, which
        is 58 % resin by mass; common practice, no source.
    scatter
        Standard deviation of `per_fibre`.
    spilt
        Share of what is mixed that ends on the floor, in the pot and on the squeegee.
    price
        Per kg mixed.
    """

    name: str = "epoxy"
    density: float = 1150.0
    modulus: float = 3.1e9
    per_fibre: float = 1.4
    scatter: float = 0.1
    spilt: float = 0.2
    price: float = 14.0
    kind: ResinKind | None = None


POLYESTER = Resin("polyester", 1200.0, 3.4e9, price=6.0, kind=ResinKind.POLYESTER)
"""Laminating polyester: density and modulus of a general-purpose resin (from memory); price common
practice."""


@dataclass(frozen=True, slots=True)
class CoreFoam:
    """Foam of the core, where no blank says it.

    Attributes
    ----------
    density, scatter
        kg/m3 and its standard deviation from block to block.
    modulus
        Pa in compression, from the standards' least stress at 1 % (D6817 EPS22: 50 kPa / 0.01).
    poisson
        Poisson's ratio; assumption, no source.
    strength
        Pa it bears in shear; assumption: half of the least stress at 10 % (EPS22: 135 kPa).
    price
        Of a bought blank, per m3 of the board made from it; raw block foam costs a small part of that.
    """

    name: str = "EPS 22"
    density: float = 22.0
    scatter: float = 1.0
    modulus: float = 5.0e6
    poisson: float = 0.12
    strength: float = 67.5e3
    price: float = 2000.0


@dataclass(frozen=True, slots=True)
class Wood:
    """Wood of the stringer.

    Attributes
    ----------
    gravity
        Specific gravity at 12 % moisture on the oven-dry mass (Wood Handbook); the density of the wood as it
        stands is 1120 kg/m3 times that.
    modulus
        Pa along the grain.
    scatter
        Coefficient of variation of the density; assumption: 0.1, as the Wood Handbook gives for most species
        (from memory).
    width
        Metres.
    """

    name: str = "basswood"
    gravity: float = 0.37
    modulus: float = 1.46e6 * 6894.757293168
    scatter: float = 0.1
    width: float = 0.125 * INCH

    @property
    def density(self) -> float:
        """Kilograms per cubic metre at 12 % moisture: ``gravity * 1000 * 1.12``."""
        return self.gravity * 1120.0


@dataclass(frozen=True, slots=True)
class Coats:
    """Resin beside the cloth's own, kg/m2 on each face.

    Attributes
    ----------
    hot, sanded
        On top of the cloth, and the share of it that is sanded away again.
    scatter
        Standard deviation of what stays.
    seal
        Under the cloth, into the foam's surface; ``None``: as much as the foam takes.
    """

    hot: float = 0.32
    sanded: float = 0.35
    scatter: float = 0.06
    seal: float | None = None


@dataclass(frozen=True, slots=True)
class Fittings:
    """What is set into the board: masses in kg, prices each; a large box is one longer than 8 in."""

    small_box: float = 0.035
    large_box: float = 0.12
    leash_plug: float = 0.025
    small_box_price: float = 6.0
    large_box_price: float = 14.0
    leash_plug_price: float = 3.0
    setting_resin: float = 0.03


@dataclass(frozen=True, slots=True)
class Layup:
    """Cloth on each face, outside last; `lap` round the rail and `overhang` at each tip, metres."""

    bottom: tuple[Cloth, ...]
    deck: tuple[Cloth, ...]
    lap: float = 2.0 * INCH
    overhang: float = 4.0 * INCH


@dataclass(frozen=True, slots=True)
class Hours:
    """Hours of work of one board; each box besides.

    Attributes
    ----------
    shaping
        All of the shaping, where no plan counts it.
    beside_plan
        What a plan's minutes leave out: marking, sawing the outline, contours, edges, the last sanding.
    glassing, coating, sanding, each_box
        After the foam.
    """

    shaping: float = 3.0
    beside_plan: float = 1.25
    glassing: float = 3.5
    coating: float = 1.5
    sanding: float = 2.0
    each_box: float = 0.3


FOUR_OUNCE = Cloth("glass 4 oz", 4.0 * OUNCE_PER_SQUARE_YARD, 30.0 * INCH, 4.0)
SIX_OUNCE = Cloth("glass 6 oz", 6.0 * OUNCE_PER_SQUARE_YARD, 30.0 * INCH, 5.0)


@dataclass(frozen=True, slots=True)
class Materials:
    """All that goes into a board after shaping, with its price."""

    fibre: Fibre = field(default_factory=Fibre)
    resin: Resin = field(default_factory=Resin)
    foam: CoreFoam = field(default_factory=CoreFoam)
    wood: Wood = field(default_factory=Wood)
    coats: Coats = field(default_factory=Coats)
    fittings: Fittings = field(default_factory=Fittings)
    hours: Hours = field(default_factory=Hours)
    short: Layup = field(default_factory=lambda: Layup((FOUR_OUNCE,), (FOUR_OUNCE, FOUR_OUNCE)))
    long: Layup = field(default_factory=lambda: Layup((SIX_OUNCE,), (SIX_OUNCE, SIX_OUNCE)))
    long_from: float = 8.0 * 12.0 * INCH
    share: float = 0.05
    """Of the cost of materials: brushes, tape, gloves, paper."""

    margin: float = 0.0
    """Of the whole, on top."""

    def layup(self, length: float) -> Layup:
        """Return the usual layup of a board of a length in metres."""
        return self.long if length >= self.long_from else self.short
