"""The finished board's mass, part by part, with its scatter."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from foamwright.bay.materials import Materials
from foamwright.blank.numbers import FoamFamily
from foamwright.board.numbers import FinMark
from foamwright.finish.areas import Skin
from foamwright.finish.core import SEAL
from foamwright.finish.laminate import Ply
from foamwright.units import INCH

SEAL_SCATTER = 0.25
"""Share; a filler is scraped off more or less well. Common practice, no source."""

LARGE_BOX = 8.0 * INCH
"""A box longer than this is a large one."""


@dataclass(frozen=True, slots=True)
class MassPart:
    """One part: its name, its mass and standard deviation in kg."""

    name: str
    mass: float
    scatter: float


@dataclass(frozen=True, slots=True)
class FinishedMass:
    """All parts of a finished board."""

    parts: tuple[MassPart, ...]

    @property
    def total(self) -> float:
        """Kilograms."""
        return sum(part.mass for part in self.parts)

    @property
    def scatter(self) -> float:
        """Standard deviation, kg; parts scatter independently."""
        return hypot(*(part.scatter for part in self.parts))

    def of(self, name: str) -> MassPart:
        """Return a part by its name."""
        return next(part for part in self.parts if part.name == name)


def finished_mass(
    volume: float, skin: Skin, plies: tuple[Ply, ...], fins: tuple[FinMark, ...], materials: Materials
) -> FinishedMass:
    """Return the finished board's mass.

    Parameters
    ----------
    volume
        m3 of the core, stringer included.
    skin
        Its areas.
    plies
        Cloth and resin.
    fins
        Its boxes; fins themselves are not counted.
    materials
        Densities, coats, fittings.
    """
    foam, wood, coats, resin = materials.foam, materials.wood, materials.coats, materials.resin
    stringer = skin.stringer * wood.width
    cloth, wet = sum(ply.fibre for ply in plies), sum(ply.resin for ply in plies)
    coat = coats.hot * (1.0 - coats.sanded) * skin.area
    spine = MassPart("stringer", stringer * wood.density, stringer * wood.density * wood.scatter)
    return FinishedMass(
        (
            MassPart("foam", (volume - stringer) * foam.density, (volume - stringer) * foam.scatter),
            *([spine] if stringer > 0.0 else []),
            MassPart("seal coat", sealed := sealing(materials) * skin.area, SEAL_SCATTER * sealed),
            MassPart("cloth", cloth, 0.0),
            MassPart("laminating resin", wet, cloth * resin.scatter),
            MassPart("hot coat", coat, coats.scatter * skin.area),
            MassPart("fittings", _fittings(fins, materials), 0.0),
        )
    )


def sealing(materials: Materials) -> float:
    """Return kg/m2 of the seal coat; that of polystyrene beads where neither shop nor blank says one."""
    seal = materials.coats.seal
    return SEAL[FoamFamily.EPS] if seal is None else seal


def is_large(fin: FinMark) -> bool:
    """Tell whether a box is a large one."""
    return fin.box_length > LARGE_BOX


def _fittings(fins: tuple[FinMark, ...], materials: Materials) -> float:
    fittings = materials.fittings
    boxes = sum(fittings.large_box if is_large(fin) else fittings.small_box for fin in fins)
    return boxes + fittings.setting_resin * (len(fins) + 1) + fittings.leash_plug
