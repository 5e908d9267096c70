"""How far a solid is from the triangles of its mesh, and the grid that comes near enough.

A grid of twice as many steps holds every place of the mesh and one between each two. What is measured is
how far those lie from the mesh's triangles: from the edge that they halve, or, where a row folds
together (at a blunt tip, beside a step), from whichever triangle of their row is nearest.
"""

from __future__ import annotations

from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.curves import Floats
from foamwright.shape.mesh import Gap, rings_of, rows_of, turned_cells
from foamwright.shape.quadrature import Solid

FIRST = (12, 10)
"""Steps along each panel and across each part to begin with."""

ROUNDS = 8
"""Grids tried at most; errors fall with the square of the steps, so two or three do."""

SHARE = 0.8
"""Of the tolerance that a next grid aims for, so that it is not missed by a hair."""


def chord_error(solid: Solid, along: int, across: int) -> tuple[float, float]:
    """Return how far a solid is from its mesh of `along` by `across` steps, metres: lengthwise, crosswise."""
    x = rows_of(solid.panels, 2 * along)
    fine = rings_of(solid, x, Gap.of(solid, x, 2 * across), 2 * across)
    width = 2 * across * (solid.kinks(x[:1]).shape[1] - 1) + 1
    patches = np.split(fine, fine.shape[1] // width, axis=1)
    coarse = np.concatenate([patch[:, ::2] for patch in patches], axis=1)
    halved = np.concatenate([patch[:, 1::2] for patch in patches], axis=1)
    left = np.concatenate([np.arange(k * (width // 2 + 1), (k + 1) * (width // 2 + 1) - 1)
                           for k in range(len(patches))])  # fmt: skip
    lengthwise = _lengthwise(coarse, halved[1::2], left)
    rows, here = coarse[::2], halved[::2]
    edges = np.stack([rows[:, :-1], rows[:, 1:], rows[:, 1:]], axis=2)
    return lengthwise, _worst(here, rows[:, left], rows[:, left + 1], edges)


def _lengthwise(coarse: Floats, middles: Floats, left: NDArray[np.int64]) -> float:
    """From edges from row to row and from diagonals; else from the triangles between the two rows."""
    rows, between = coarse[::2], coarse[1::2]
    near, far = rows[:-1], rows[1:]
    turned = turned_cells((rows.shape[0], rows.shape[1]))[:, :, None]
    start, stop = np.where(turned, far[:, :-1], near[:, :-1]), np.where(turned, near[:, 1:], far[:, 1:])
    third, fourth = np.where(turned, near[:, :-1], far[:, :-1]), np.where(turned, far[:, 1:], near[:, 1:])
    triangles = np.stack(
        [np.concatenate([v, w], axis=1) for v, w in ((start, start), (stop, stop), (third, fourth))], axis=2
    )
    return max(
        _worst(between, near, far, triangles), _worst(middles, start[:, left], stop[:, left], triangles)
    )


def _worst(points: Floats, start: Floats, stop: Floats, triangles: Floats) -> float:
    """Return the greatest distance of points (N, K, 3) from what they halve, or from their row's triangles.

    Rows are looked at again from the worst down, until the next could not be worse than what was found.
    """
    own = _beside(points, start, stop)
    worst = 0.0
    for row in np.argsort(own.max(axis=1))[::-1]:
        if own[row].max() <= worst:
            break
        here = np.flatnonzero(own[row] > worst)
        others = _from_triangles(points[row, here], triangles[row])
        worst = max(worst, float(np.minimum(own[row, here], others).max()))
    return worst


def _from_triangles(points: Floats, corners: Floats) -> Floats:
    """Distances of points (M, 3) from the nearest of triangles (T, 3, 3)."""
    turned = np.roll(corners, -1, axis=1)
    edges = _beside(points[:, None, None], corners, turned).min(axis=(1, 2))
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    sides = np.cross(normal[:, None], turned - corners)
    # Inside a triangle's three upright walls its plane is nearest; a triangle without area has no inside.
    inside = np.all(np.einsum("tsk,mtsk->mts", sides, points[:, None, None] - corners) >= 0.0, axis=2)
    area = np.linalg.norm(normal, axis=1)
    off = np.abs(np.einsum("tk,mtk->mt", normal, points[:, None] - corners[:, 0]))
    plane = np.where(inside & (area > 0.0), off / np.where(area > 0.0, area, 1.0), np.inf)
    return np.asarray(np.minimum(edges, plane.min(axis=1)))


def _beside(points: Floats, start: Floats, stop: Floats) -> Floats:
    """Distances of points from stretches."""
    chord, off = stop - start, points - start
    square = np.sum(chord * chord, axis=-1)
    share = np.clip(np.sum(off * chord, axis=-1) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    return np.asarray(np.linalg.norm(off - share[..., None] * chord, axis=-1))


def grid_within(solid: Solid, tolerance: float, most: int) -> tuple[int, int, float] | None:
    """Return steps along and across whose mesh is within `tolerance` (metres), and how near it comes.

    Parameters
    ----------
    solid
        The solid.
    tolerance
        Metres.
    most
        Triangles that the mesh may have.

    Returns
    -------
    tuple or None
        Along, across, metres; `None`: it would take more triangles.
    """
    along, across = FIRST
    for _ in range(ROUNDS):
        parts = solid.kinks(np.array(solid.panels[:1])).shape[1] - 1
        if 8 * along * (len(solid.panels) - 1) * across * parts > most:
            return None
        errors = chord_error(solid, along, across)
        if max(errors) <= tolerance:
            return along, across, max(errors)
        growth = [max(1.0, sqrt(error / (SHARE * tolerance))) for error in errors]
        along, across = ceil(along * min(growth[0], 4.0)), ceil(across * min(growth[1], 4.0))
    return None
