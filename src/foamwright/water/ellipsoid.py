"""Ellipsoids in the water: what a plane cuts off each, in closed form, all of them at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.water.pool import Pool, Surface


@dataclass(frozen=True, eq=False)
class Ellipsoid:
    """All points ``centre + axes @ s`` with ``|s| <= 1``.

    Attributes
    ----------
    centre
        (3,), metres, in the board's frame.
    axes
        (3, 3), its columns the half-axes, metres.
    """

    centre: Floats
    axes: Floats

    @property
    def volume(self) -> float:
        """In m3."""
        return float(4.0 / 3.0 * np.pi * abs(np.linalg.det(self.axes)))

    def reach(self, direction: Floats) -> float:
        """Return how far it reaches from its centre in a unit direction (3,), metres."""
        return float(np.linalg.norm(self.axes.T @ direction))


class Ellipsoids:
    """Several ellipsoids as one rigid body; where they overlap, the room counts twice."""

    def __init__(self, shapes: Sequence[Ellipsoid]) -> None:
        self._centres = np.array([shape.centre for shape in shapes])
        self._axes = np.array([shape.axes for shape in shapes])

    @cached_property
    def _sizes(self) -> Floats:
        return np.asarray(np.pi * np.abs(np.linalg.det(self._axes)))

    @property
    def volume(self) -> float:
        """All of their volume, m3."""
        return float(4.0 / 3.0 * np.sum(self._sizes))

    def pool(self, surface: Surface) -> Pool:
        """Return what of them is under water.

        In the frame of its own axes each is a ball of radius 1, and the water cuts a cap off it at height
        `t`; a cap's volume and first moment are those of any textbook (pi (2/3 + t - t^3/3) and
        -pi (1 - t^2)^2 / 4).
        """
        normal = np.array([-surface.along, -surface.across, 1.0])
        pull = np.einsum("nij,i->nj", self._axes, normal)
        radius = np.sqrt(np.sum(pull**2, axis=1))
        cut = np.clip((surface.height - self._centres @ normal) / radius, -1.0, 1.0)
        toward = np.einsum("nij,nj->ni", self._axes, pull / radius[:, None])
        volumes = self._sizes * (2.0 / 3.0 + cut - cut**3 / 3.0)
        lever = self._sizes * (1.0 - cut**2) ** 2 / 4.0
        moment = volumes @ self._centres - lever @ toward
        areas = self._sizes * (1.0 - cut**2) / radius
        middles = (self._centres + cut[:, None] * toward)[:, :2]
        return Pool(
            float(np.sum(volumes)),
            moment,
            float(np.sum(areas)),
            areas @ middles,
            self._second(areas, cut, toward, middles),
        )

    def _second(self, areas: Floats, cut: Floats, toward: Floats, middles: Floats) -> Floats:
        """Return the second moments of the cut discs: their middles', and a quarter of their spreads'."""
        spread = self._axes @ np.swapaxes(self._axes, 1, 2) - toward[:, :, None] * toward[:, None, :]
        quarter = (areas * (1.0 - cut**2) / 4.0)[:, None, None] * spread[:, :2, :2]
        return np.asarray(
            np.sum(areas[:, None, None] * middles[:, :, None] * middles[:, None, :] + quarter, axis=0)
        )
