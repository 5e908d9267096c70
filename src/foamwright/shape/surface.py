"""The whole surface of a solid by quadrature on smooth patches: faces, rails, notch walls, blocked ends.

A patch is a strip of one face as a map of ``(x, t)``, ``t`` from 0 to 1 across. The area element is taken
from the tensor grid of the quadrature itself, differentiated through its own interpolating polynomials,
so it converges with the quadrature and no step has to be chosen.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Protocol, runtime_checkable

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import GRADE, Solid, core_share, graded, low_share

Patch = Callable[[Floats, Floats], tuple[Floats, Floats]]
"""From stations (N,) and ``t`` (K,) to shares of the half-width (N, K) and heights (N, K)."""

ALONG, ACROSS = 32, 48
"""Gauss nodes per panel and per patch."""


@runtime_checkable
class Patched(Protocol):
    """A solid that knows patches in which its own rails are smooth."""

    def patches(self) -> tuple[Patch, ...]:
        """Return the patches of one half (both faces, and upright walls at the edge)."""


def surface_area(solid: Solid, along: int = ALONG, across: int = ACROSS) -> float:
    """Return the whole surface in m2: bottom, deck, rails, notch walls, and the faces of blocked ends."""
    patches = solid.patches() if isinstance(solid, Patched) else plain_patches(solid)
    grid = _Grid(solid, along, across)
    faces = sum(grid.patch_area(patch) for patch in patches)
    ends = sum(_end_face(solid, np.array([end]), across) for end in (solid.panels[0], solid.panels[-1]))
    core = sum(grid.patch_area(_Core(solid, field)) for field in (solid.bottom_at, solid.deck_at))
    return (
        faces
        + core
        + grid.wall_area(low_share(solid, grid.x))
        + grid.wall_area(core_share(solid, grid.x))
        + ends
    )


def plain_patches(solid: Solid) -> tuple[Patch, ...]:
    """Return patches for any solid: each part of each face, graded outwards, and the wall at the edge."""
    parts = solid.kinks(np.array(solid.panels[:1])).shape[1] - 1
    faces = [
        _Strip(solid, field, part) for field in (solid.bottom_at, solid.deck_at) for part in range(parts)
    ]
    return (*faces, _Wall(solid))


class _Strip:
    """Part of a face between two kinks of the section, as a patch."""

    def __init__(self, solid: Solid, field: Callable[[Floats, Floats], Floats], part: int) -> None:
        self.solid, self.field, self.part = solid, field, part

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        kinks = np.maximum(self.solid.kinks(x), low_share(self.solid, x)[:, None])
        near, far = kinks[:, self.part, None], kinks[:, self.part + 1, None]
        share = near + (far - near) * (1.0 - (1.0 - t) ** GRADE)
        return share, self.field(x, share)


class _Core:
    """One face of what stands between two notches, as a patch; of no width where there is nothing."""

    def __init__(self, solid: Solid, field: Callable[[Floats, Floats], Floats]) -> None:
        self.solid, self.field = solid, field

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        share = core_share(self.solid, x)[:, None] * t
        return share, self.field(x, share)


class _Wall:
    """The upright wall at the edge from bottom to deck (of no height where the faces meet), as a patch."""

    def __init__(self, solid: Solid) -> None:
        self.solid = solid

    def __call__(self, x: Floats, t: Floats) -> tuple[Floats, Floats]:
        edge = np.ones((x.size, 1))
        low, high = self.solid.bottom_at(x, edge), self.solid.deck_at(x, edge)
        return np.ones((x.size, t.size)), low + (high - low) * t


class _Grid:
    """The tensor grid on which patches are integrated."""

    def __init__(self, solid: Solid, along: int, across: int) -> None:
        self.solid, self.along = solid, along
        unit, weights = _unit_gauss(along)
        starts, stops = np.array(solid.panels[:-1]), np.array(solid.panels[1:])
        half = (stops - starts)[:, None] / 2.0
        self.x = (starts[:, None] + half * (1.0 - np.cos(np.pi * unit))).ravel()
        self.weights = np.tile(weights, starts.size)
        self.t, self.over = _unit_gauss(across)
        self.outer = solid.half_width(self.x)

    def patch_area(self, patch: Patch) -> float:
        share, height = patch(self.x, self.t)
        station = np.broadcast_to(self.x[:, None], share.shape)
        points = np.stack([station, share * self.outer[:, None], height])
        normal = np.cross(self._along(points), points @ _differentiation(self.t.size).T, axis=0)
        element = np.sqrt(np.sum(normal**2, axis=0))
        return 2.0 * float(self.weights @ element @ self.over)

    def wall_area(self, edge: Floats) -> float:
        """The upright walls from bottom to deck along an edge of a notch, a share of the half-width (N,)."""
        at = edge[:, None]
        height = (self.solid.deck_at(self.x, at) - self.solid.bottom_at(self.x, at))[:, 0]
        run = self._along(np.stack([self.x, edge * self.outer])[:, :, None])[:, :, 0]
        walled = np.where(edge > 0.0, height, 0.0)
        return 2.0 * float(self.weights @ (walled * np.hypot(run[0], run[1])))

    def _along(self, points: Floats) -> Floats:
        """Differentiate along each panel by its own nodes; `points` is (3, N, K)."""
        panels = points.reshape(points.shape[0], -1, self.along, points.shape[2])
        return (_differentiation(self.along) @ panels).reshape(points.shape)


def _unit_gauss(count: int) -> tuple[Floats, Floats]:
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return (nodes + 1.0) / 2.0, weights / 2.0


@lru_cache(maxsize=16)
def _differentiation(count: int) -> Floats:
    """Return the matrix that differentiates the polynomial through values at the unit Gauss nodes.

    Source: Berrut and Trefethen, Barycentric Lagrange Interpolation, SIAM Review 46, 2004, section 9.3.
    """
    nodes, _ = _unit_gauss(count)
    gaps = nodes[:, None] - nodes[None, :] + np.eye(count)
    # Divided by the capacity of the interval, 1/4, so that products of many gaps stay near 1.
    products = np.prod(4.0 * gaps, axis=1) / 4.0
    matrix = products[:, None] / products[None, :] / gaps
    np.fill_diagonal(matrix, 0.0)
    np.fill_diagonal(matrix, -np.sum(matrix, axis=1))
    return np.asarray(matrix)


def _end_face(solid: Solid, at: Floats, across: int) -> float:
    outer = solid.half_width(at)
    if outer[0] <= 0.0:
        return 0.0
    share, weight = graded(np.maximum(solid.kinks(at), low_share(solid, at)[:, None]), across)
    height = solid.deck_at(at, share) - solid.bottom_at(at, share)
    return float(2.0 * outer[0] * np.sum(weight * height))
