"""Solids between two height fields over an outline: volume, area, centroid, moments by quadrature.

Nothing is counted from triangles.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import (
    ACROSS_POINTS,
    PANEL_POINTS,
    Nodes,
    Solid,
    core_share,
    face_kinks,
    graded,
    low_share,
    nodes_of,
    stretched,
)
from foamwright.shape.surface import surface_area

__all__ = [
    "MassProperties",
    "Nodes",
    "Solid",
    "graded",
    "mass_properties",
    "nodes_of",
    "section_areas",
    "stretched",
    "surface_area",
    "volume",
]


@dataclass(frozen=True, slots=True)
class MassProperties:
    """Volume (m3), surface area (m2), centroid (x, z in m; y is 0 by symmetry), second moments.

    `inertia` holds the volume integrals of ``y^2+z^2``, ``x^2+z^2``, ``x^2+y^2`` about the centroid, m5.
    """

    volume: float
    area: float
    centroid_x: float
    centroid_z: float
    inertia: tuple[float, float, float]


def _columns(solid: Solid, along: int, across: int) -> tuple[tuple[Nodes, Floats, float], ...]:
    """Both faces as nodes, heights and sign: what is under the bottom is taken from the rest."""
    bottom, deck = (nodes_of(solid, along, across, deck=face) for face in (False, True))
    return (
        (deck, solid.deck_at(deck.x, deck.share), 1.0),
        (bottom, solid.bottom_at(bottom.x, bottom.share), -1.0),
    )


def section_areas(solid: Solid, x: Floats, across: int = ACROSS_POINTS) -> Floats:
    """Return the full cross-section area (N,) at stations `x` (N,), m2."""
    low, core, total = low_share(solid, x)[:, None], core_share(solid, x)[:, None], np.zeros(x.size)
    for deck, field, sign in ((True, solid.deck_at, 1.0), (False, solid.bottom_at, -1.0)):
        kinks = face_kinks(solid, x, deck=deck)
        parts = [np.maximum(kinks, low), *([np.minimum(kinks, core)] if np.any(core > 0.0) else [])]
        for share, weight in (graded(part, across) for part in parts):
            total = total + sign * np.sum(field(x, share) * weight, axis=1)
    return np.asarray(2.0 * solid.half_width(x) * total)


def volume(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> float:
    """Return the volume in m3."""
    x, weight = stretched(solid.panels, along)
    return float(weight @ section_areas(solid, x, across))


def mass_properties(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> MassProperties:
    """Return volume, area, centroid and second moments of a solid, by nodes as in `nodes_of`."""
    faces = _columns(solid, along, across)

    def total(value: Callable[[Floats, Floats, Floats], Floats]) -> float:
        """Integrate over the solid what rises from 0 at ``z = 0`` by `value` of (x, y, z)."""
        return sum(
            sign
            * float(
                np.sum(
                    2.0
                    * nodes.along[:, None]
                    * nodes.across
                    * value(nodes.x[:, None], nodes.share * solid.half_width(nodes.x)[:, None], z)
                )
            )
            for nodes, z, sign in faces
        )

    whole = total(lambda x, y, z: z)
    centre_x, centre_z = total(lambda x, y, z: x * z) / whole, total(lambda x, y, z: z**2 / 2.0) / whole
    xx = total(lambda x, y, z: (x - centre_x) ** 2 * z)
    yy = total(lambda x, y, z: y**2 * z)
    zz = total(lambda x, y, z: ((z - centre_z) ** 3 + centre_z**3) / 3.0)
    inertia = (yy + zz, xx + zz, xx + yy)
    return MassProperties(whole, surface_area(solid, along, across), centre_x, centre_z, inertia)
