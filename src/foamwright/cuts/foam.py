"""The foam beside the stringer, brought down to the planed wood: how many strips and layers."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil
from typing import Any

import numpy as np
from numpy.typing import NDArray

from foamwright.bay.bay import Plane
from foamwright.errors import FaultError

Array = NDArray[np.float64]

OVERLAP = 0.15
"""Share of the iron that a strip lies over the one before. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class FoamWork:
    """How the foam of one face comes down beside the stringer.

    Attributes
    ----------
    strips
        Strips side by side from stringer to rail at the widest, on each side.
    layers
        Layers of one chip at the deepest.
    chip
        Thickness of a layer, metres.
    path
        Length the iron travels in the foam in all, both sides, metres.
    volume
        Foam that comes off, both sides, m3.
    direction
        How to go, in words.
    """

    strips: int
    layers: int
    chip: float
    path: float
    volume: float
    direction: str

    def as_json(self) -> dict[str, Any]:
        """Return the estimate as plain values."""
        return {
            "strips": self.strips,
            "layers": self.layers,
            "chip_m": self.chip,
            "path_m": self.path,
            "volume_m3": self.volume,
            "direction": self.direction,
        }


DIRECTION = (
    "With the coarse block, its inner end beside the stringer and never on it: from the stringer outwards "
    "and towards the tip, left and right in turn. The wood is the gauge: when you hear wood, lift."
)
"""Common practice, no source."""


def plan_foam(x: Array, half_width: Array, depth: Array, plane: Plane, iron: float) -> FoamWork:
    """Return the strips and layers that bring the foam of one face down to the planed stringer.

    Parameters
    ----------
    x, half_width, depth
        Stations, half-widths of the foam there and depth planed off the stringer, metres, shape (n,).
    plane
        The plane that scrubs; its coarsest chip is a layer.
    iron
        Width of its iron, metres, at most the plane's width.
    """
    if iron <= 0.0 or iron > plane.width:
        raise FaultError("An iron must be narrower than its plane.")
    chip = max(plane.chips)
    strip = iron * (1.0 - OVERLAP)
    cut = np.maximum(depth, 0.0)
    section = 2.0 * half_width * cut
    widest = float(half_width[cut > 0.0].max()) if (cut > 0.0).any() else 0.0
    return FoamWork(
        strips=ceil(widest / strip - 1e-9),
        layers=ceil(float(cut.max()) / chip - 1e-9),
        chip=chip,
        path=float(np.trapezoid(section, x)) / (chip * strip),
        volume=float(np.trapezoid(section, x)),
        direction=DIRECTION,
    )
