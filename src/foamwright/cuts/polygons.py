"""Convex outlines of a half-section: support, clipping by a flat, areas. Points are rows (y, z), metres."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def polygon_area(points: Array) -> float:
    """Return the area of a polygon whose corners run counter-clockwise (negative: clockwise), m2."""
    y, z = points[:, 0], points[:, 1]
    return float(0.5 * np.sum(y * np.roll(z, -1) - np.roll(y, -1) * z))


def support(points: Array, angle: float | Array) -> Array:
    """Return how far `points` reach in the direction of `angle` (radians, 0 outwards, pi/2 up), metres."""
    turned = np.atleast_1d(np.asarray(angle, dtype=np.float64))
    reach = np.cos(turned)[:, None] * points[:, 0] + np.sin(turned)[:, None] * points[:, 1]
    return np.asarray(reach.max(axis=1).reshape(np.shape(angle)), dtype=np.float64)


def outside(points: Array, angle: float, reach: float) -> Array:
    """Return how far each point stands outside the flat with outward normal `angle` at `reach`, metres."""
    return np.asarray(np.cos(angle) * points[:, 0] + np.sin(angle) * points[:, 1] - reach)


def hull(points: Array) -> Array:
    """Return the corners of the convex hull, counter-clockwise, without points on its edges."""
    order = points[np.lexsort((points[:, 1], points[:, 0]))]
    lower, upper = _chain(order), _chain(order[::-1])
    return np.array(lower[:-1] + upper[:-1])


def _chain(points: Array) -> list[tuple[float, float]]:
    chain: list[tuple[float, float]] = []
    for y, z in points.tolist():
        while len(chain) > 1 and _turn(chain[-2], chain[-1], (y, z)) <= 0.0:
            chain.pop()
        chain.append((y, z))
    return chain


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
