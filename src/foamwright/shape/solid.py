"""Solids between two height fields over an outline: volume, area, centroid, moments by quadrature.

Nothing is counted from triangles.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import (
    ACROSS_POINTS,
    PANEL_POINTS,
    Nodes,
    Solid,
    graded,
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


def section_areas(solid: Solid, nodes: Nodes) -> Floats:
    """Return the full cross-section area (N,) at the nodes' stations, m2."""
    height = solid.deck_at(nodes.x, nodes.share) - solid.bottom_at(nodes.x, nodes.share)
    return np.asarray(2.0 * np.sum(height * nodes.across, axis=1))


def volume(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> float:
    """Return the volume in m3."""
    nodes = nodes_of(solid, along, across)
    return float(nodes.along @ section_areas(solid, nodes))


def mass_properties(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> MassProperties:
    """Return volume, area, centroid and second moments of a solid."""
    nodes = nodes_of(solid, along, across)
    bottom, deck = solid.bottom_at(nodes.x, nodes.share), solid.deck_at(nodes.x, nodes.share)
    y = nodes.share * solid.half_width(nodes.x)[:, None]
    cell = 2.0 * nodes.along[:, None] * nodes.across
    x = nodes.x[:, None]
    total = float(np.sum(cell * (deck - bottom)))
    centre_x = float(np.sum(cell * (deck - bottom) * x)) / total
    centre_z = float(np.sum(cell * (deck**2 - bottom**2) / 2.0)) / total
    xx = float(np.sum(cell * (deck - bottom) * (x - centre_x) ** 2))
    yy = float(np.sum(cell * (deck - bottom) * y**2))
    zz = float(np.sum(cell * ((deck - centre_z) ** 3 - (bottom - centre_z) ** 3) / 3.0))
    inertia = (yy + zz, xx + zz, xx + yy)
    return MassProperties(total, surface_area(solid), centre_x, centre_z, inertia)
