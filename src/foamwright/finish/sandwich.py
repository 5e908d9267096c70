"""Bending of the sandwich under a load, by the textbook: thin faces, a core that takes the shear.

For faces thin against the core the bending stiffness is ``D = Ef b t d^2 / 2`` and the shear stiffness
``S = G b d^2 / c``, with `d` between the middles of the faces; the deflection under a load in the middle of
a span with free ends is ``P L^3 / (48 D) + P L / (4 S)`` (Allen 1969, Zenkert 1995; worked in
tests/published).
Faces of unlike thickness: ``D = E b d^2 t1 t2 / (t1 + t2)``, which is the same where they are alike.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.bay.materials import Layup, Materials
from foamwright.board.board import Board
from foamwright.finish.laminate import ply_thickness, volume_fraction, woven_modulus
from foamwright.shape.solid import section_areas


@dataclass(frozen=True, slots=True)
class Sandwich:
    """A straight sandwich beam of one section.

    Attributes
    ----------
    width
        Metres.
    core
        Thickness of the core, metres.
    faces
        Thickness of the lower and the upper face, metres.
    face_modulus, core_shear
        Young's modulus of the faces and shear modulus of the core, Pa.
    spine
        Bending stiffness of a wood spine beside them, N m2 (0: none).
    """

    width: float
    core: float
    faces: tuple[float, float]
    face_modulus: float
    core_shear: float
    spine: float = 0.0

    @property
    def between(self) -> float:
        """Distance between the middles of the faces, metres."""
        return self.core + 0.5 * sum(self.faces)

    @property
    def bending(self) -> float:
        """Bending stiffness, N m2."""
        low, high = self.faces
        skins = self.face_modulus * self.width * self.between**2 * low * high / (low + high)
        return skins + self.spine

    @property
    def shear(self) -> float:
        """Shear stiffness, N."""
        return self.core_shear * self.width * self.between**2 / self.core


@dataclass(frozen=True, slots=True)
class Bent:
    """A sandwich on two supports with a load in the middle.

    Attributes
    ----------
    by_bending, by_shear
        Parts of the deflection, metres.
    face_stress
        In the thinner face, Pa.
    core_stress
        Shear in the core, Pa.
    """

    by_bending: float
    by_shear: float
    face_stress: float
    core_stress: float

    @property
    def deflection(self) -> float:
        """All of it, metres."""
        return self.by_bending + self.by_shear


def three_point(beam: Sandwich, span: float, load: float) -> Bent:
    """Return what a load (N) in the middle of a span (m) with free ends does to a sandwich."""
    moment, force = load * span / 4.0, load / 2.0
    skins = (beam.bending - beam.spine) / beam.bending
    return Bent(
        by_bending=load * span**3 / (48.0 * beam.bending),
        by_shear=load * span / (4.0 * beam.shear),
        face_stress=skins * moment / (beam.width * min(beam.faces) * beam.between),
        core_stress=force / (beam.width * beam.between),
    )


def sandwich_at(board: Board, x: float, materials: Materials, layup: Layup) -> Sandwich:
    """Return the sandwich that a board is at a station: its full width, its mean thickness there."""
    station = np.array([x])
    half = float(board.half_width(station)[0])
    area = float(section_areas(board, station)[0])
    fibre, resin, foam, wood = materials.fibre, materials.resin, materials.foam, materials.wood
    low, high = (sum(ply_thickness(c, fibre, resin) for c in face) for face in (layup.bottom, layup.deck))
    deep = float(board.thickness(x))
    return Sandwich(
        width=2.0 * half,
        core=area / (2.0 * half),
        faces=(low, high),
        face_modulus=woven_modulus(volume_fraction(resin.per_fibre, fibre, resin), fibre, resin),
        core_shear=foam.modulus / (2.0 * (1.0 + foam.poisson)),
        spine=wood.modulus * wood.width * deep**3 / 12.0,
    )


SPAN = 1.0
"""Metres between the supports of the worked load. Common practice, no source."""

JOLT = 3.0
"""Times the rider's weight in the middle; common practice, no source."""
