"""The simulated cut: what a wire of the kerf's width sweeps along its path, held against the part.

Independent of how the path was made: it looks only at moves with their times (as read back from the
program) and at points of the part's surface.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.bay.machine import Kerf
from foamwright.making.wire_path import Part, WirePath
from foamwright.shape.curves import Floats

TOLERANCE = 1e-4
"""Metres by which the swept part may miss the part anywhere."""

SLICES = 5
"""Places along the wire that are looked at where the cut is tapered."""

ROWS = 2048
"""Surface points measured at once."""


@dataclass(frozen=True, slots=True)
class Sweep:
    """How the swept surface lies to the part: deepest `gouge` into it, most foam `left` on it; metres."""

    gouge: float
    left: float

    @property
    def worst(self) -> float:
        """The larger of the two."""
        return max(self.gouge, self.left)

    @property
    def holds(self) -> bool:
        """Whether the part is met within the tolerance everywhere."""
        return self.worst <= TOLERANCE


def swept(part: Part, path: WirePath, kerf: Kerf) -> Sweep:
    """Return how far the surface left by the wire is from the part's.

    Parameters
    ----------
    part
        What should stand.
    path
        Where the wire went.
    kerf
        Width melted at each speed; beyond its table the nearest row counts.

    Returns
    -------
    Sweep
        The worst over all points of the part's edges, at both faces and, where tapered, between them.
    """
    shares = np.linspace(0.0, 1.0, SLICES) if part.tapered or not path.equal else np.array([0.0])
    signed = np.concatenate([_signed(part, path, kerf, float(share)) for share in shares])
    return Sweep(max(float(-np.min(signed)), 0.0), max(float(np.max(signed)), 0.0))


def _signed(part: Part, path: WirePath, kerf: Kerf, share: float) -> Floats:
    """Distance of edge points from the swept band: above 0 foam is left, below 0 it is cut into."""
    wire = path.near + share * (path.far - path.near)
    lengths = np.hypot(*np.diff(wire, axis=0).T)
    moved = lengths > 0.0
    radii = kerf.at(lengths[moved] / np.maximum(path.seconds[moved], 1e-12)) / 2.0
    starts, runs = wire[:-1][moved], np.diff(wire, axis=0)[moved]
    points = np.concatenate(part.edges_at(share))
    chunks = [
        np.min(_distances(points[i : i + ROWS], starts, runs) - radii, axis=1)
        for i in range(0, points.shape[0], ROWS)
    ]
    return np.concatenate(chunks)


def _distances(points: Floats, starts: Floats, runs: Floats) -> Floats:
    """(N, M) distances of points from segments."""
    gap_x = points[:, None, 0] - starts[None, :, 0]
    gap_y = points[:, None, 1] - starts[None, :, 1]
    share = (gap_x * runs[:, 0] + gap_y * runs[:, 1]) / np.sum(runs**2, axis=1)
    share = np.clip(share, 0.0, 1.0)
    return np.asarray(np.hypot(gap_x - share * runs[:, 0], gap_y - share * runs[:, 1]))
