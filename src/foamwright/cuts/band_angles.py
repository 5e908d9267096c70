"""Which flats leave least foam around a convex section: exact on a fan of angles, then polished.

A flat with outward normal at angle t touches the section at its support h(t). The area inside a chain of
flats is a sum over neighbours: with d the angle between two of them, the part of flat i from the foot of
the perpendicular to the meeting point is ``s = (h_j - h_i cos d) / sin d``, and the two triangles to the
origin have area ``(h_i s_ij + h_j s_ji) / 2``. So the best n flats are a shortest path of n steps.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from foamwright.cuts.polygons import support

Array = NDArray[np.float64]

FAN = 181
"""Angles tried between the first and the last flat."""
NEAR = 33
"""Angles tried around each flat in every later round, eight times finer than the round before."""
ROUNDS = 6


@dataclass(frozen=True, slots=True)
class Flat:
    """A flat: `angle` of its outward normal (radians, 0 outwards, pi/2 up) and its `reach`, metres."""

    angle: float
    reach: float


def area_between(one: tuple[Array, Array], other: tuple[Array, Array]) -> Array:
    """Return the area (m2) that two neighbouring flats, given as angles and reaches, add to the chain."""
    turn = other[0] - one[0]
    sine, cosine = np.sin(turn), np.cos(turn)
    along_one = (other[1] - one[1] * cosine) / sine
    along_other = (one[1] - other[1] * cosine) / sine
    return np.asarray(0.5 * (one[1] * along_one + other[1] * along_other))


def best_angles(section: Array, first: Flat, last: Flat, count: int, within: tuple[float, float]) -> Array:
    """Return the normals' angles of the `count` flats between two given ones that leave least foam.

    Parameters
    ----------
    section
        Points (k, 2) of a convex section, metres.
    first, last
        The faces between which the flats lie, in order of their angles, less than pi apart.
    count
        Number of flats, >= 0.
    within
        Least and greatest angle allowed, radians, between those of `first` and `last`.
    """
    if count == 0 or within[1] - within[0] < 1e-9:
        return np.empty(0)
    fan = np.linspace(within[0], within[1], FAN + 2)[1:-1]
    angles = _shortest_path(section, (first, last), [fan] * count)
    step = float(fan[1] - fan[0])
    for _ in range(ROUNDS):
        near = np.linspace(-2.0 * step, 2.0 * step, NEAR)
        layers = [np.clip(angle + near, within[0], within[1]) for angle in angles]
        angles = _shortest_path(section, (first, last), layers)
        step = 4.0 * step / (NEAR - 1)
    return angles


def _shortest_path(section: Array, ends: tuple[Flat, Flat], layers: list[Array]) -> Array:
    """Return one angle of each layer, rising, such that the chain with its two ends has the least area."""
    before = (np.array([ends[0].angle]), np.array([ends[0].reach]))
    cost = np.zeros(1)
    choices = []
    for layer in layers:
        here = (layer, support(section, layer))
        total = cost[:, None] + _pairs(before, here)
        choices.append(np.argmin(total, axis=0))
        cost, before = total.min(axis=0), here
    last = (np.array([ends[1].angle]), np.array([ends[1].reach]))
    place = int(np.argmin(cost + _pairs(before, last)[:, 0]))
    path = []
    for layer, choice in zip(reversed(layers), reversed(choices), strict=True):
        path.append(float(layer[place]))
        place = int(choice[place])
    return np.array(path[::-1])


def _pairs(before: tuple[Array, Array], after: tuple[Array, Array]) -> Array:
    """Return the areas between every two flats, infinite where the second does not turn further."""
    one = (before[0][:, None], before[1][:, None])
    other = (after[0][None, :], after[1][None, :])
    rising = other[0] - one[0] > 1e-9
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(rising, area_between(one, other), np.inf)
