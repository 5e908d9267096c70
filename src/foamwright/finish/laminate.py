"""Laminate: cloth cut and lapped, resin by fibre fraction, stiffness of a ply by the rules of mixtures.

Rules of mixtures, as in any textbook of materials: longitudinal modulus ``E = Vf Ef + (1 - Vf) Em`` (equal
strain), transverse ``1/E = Vf/Ef + (1 - Vf)/Em`` (equal stress); worked examples in tests/published. A woven
ply has half of its fibres each way; its modulus along one of them is taken as the mean of both, which leaves
out the crimp and is a little high.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import ceil

from foamwright.bay.materials import Cloth, Fibre, Layup, Resin
from foamwright.finish.areas import Skin


class LaminatedFace(StrEnum):
    """A face that is glassed."""

    BOTTOM = "bottom"
    DECK = "deck"


@dataclass(frozen=True, slots=True)
class Ply:
    """One layer of cloth on a board.

    Attributes
    ----------
    face, cloth
        Where, and what.
    area
        m2 that end up on the board, laps included.
    cut_length, strips
        Metres to cut off the roll, and how many strips of the roll's width lie side by side.
    fibre, resin
        kg on the board.
    """

    face: LaminatedFace
    cloth: Cloth
    area: float
    cut_length: float
    strips: int
    fibre: float
    resin: float

    @property
    def mass(self) -> float:
        """Fibre and resin, kg."""
        return self.fibre + self.resin

    @property
    def cut_area(self) -> float:
        """m2 cut off the roll."""
        return self.cut_length * self.cloth.roll_width * self.strips


def volume_fraction(per_fibre: float, fibre: Fibre, resin: Resin) -> float:
    """Return the share of the laminate's volume that is fibre.

    Parameters
    ----------
    per_fibre
        kg of resin for each kg of fibre.
    fibre, resin
        Their densities.

    Examples
    --------
    Equal masses of glass and epoxy are 31 % glass by volume, not half:

    >>> round(volume_fraction(1.0, Fibre(), Resin()), 3)
    0.312
    """
    return 1.0 / (1.0 + per_fibre * fibre.density / resin.density)


def resin_per_fibre(fraction: float, fibre: Fibre, resin: Resin) -> float:
    """Return kg of resin for each kg of fibre at a volume fraction of fibre (0 to 1, ends excluded)."""
    return (1.0 - fraction) / fraction * resin.density / fibre.density


def ply_thickness(cloth: Cloth, fibre: Fibre, resin: Resin) -> float:
    """Return the cured thickness of a ply, metres."""
    return cloth.mass / fibre.density / volume_fraction(resin.per_fibre, fibre, resin)


def modulus_along(fraction: float, fibre: Fibre, resin: Resin) -> float:
    """Return Young's modulus along straight fibres, Pa (equal strain)."""
    return fraction * fibre.modulus + (1.0 - fraction) * resin.modulus


def modulus_across(fraction: float, fibre: Fibre, resin: Resin) -> float:
    """Return Young's modulus across straight fibres, Pa (equal stress)."""
    return 1.0 / (fraction / fibre.modulus + (1.0 - fraction) / resin.modulus)


def woven_modulus(fraction: float, fibre: Fibre, resin: Resin) -> float:
    """Return Young's modulus of a balanced woven ply along one of its directions, Pa."""
    return 0.5 * (modulus_along(fraction, fibre, resin) + modulus_across(fraction, fibre, resin))


def plies_of(skin: Skin, layup: Layup, resin: Resin) -> tuple[Ply, ...]:
    """Return the plies of a board, bottom first, in the order they are laid.

    The bottom is glassed first and laps onto the deck, the deck onto the bottom; each lap runs round the
    outline. Upright edges of the rails take one half from each face.
    """
    return (
        *(_ply(LaminatedFace.BOTTOM, cloth, skin, layup, resin) for cloth in layup.bottom),
        *(_ply(LaminatedFace.DECK, cloth, skin, layup, resin) for cloth in layup.deck),
    )


def _ply(face: LaminatedFace, cloth: Cloth, skin: Skin, layup: Layup, resin: Resin) -> Ply:
    bottom = face is LaminatedFace.BOTTOM
    own, across = (skin.bottom, skin.across_bottom) if bottom else (skin.deck, skin.across_deck)
    area = own + 0.5 * skin.walls + layup.lap * skin.around
    fibre = area * cloth.mass
    return Ply(
        face=face,
        cloth=cloth,
        area=area,
        cut_length=skin.along + 2.0 * layup.overhang,
        strips=ceil((across + 2.0 * layup.lap) / cloth.roll_width),
        fibre=fibre,
        resin=fibre * resin.per_fibre,
    )
