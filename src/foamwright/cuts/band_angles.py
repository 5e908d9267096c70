"""Which flats leave least foam around a convex section: exact on a fan of angles, then polished.

A flat with outward normal at angle t touches the section at its support h(t). The area inside a chain of
flats is a sum over neighbours: with d the angle between two of them, the part of flat i from the foot of
the perpendicular to the meeting point is ``s = (h_j - h_i cos d) / sin d``, and the two triangles to the
origin have area ``(h_i s_ij + h_j s_ji) / 2``. So the best n flats are a shortest path of n steps.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

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


Fan = tuple[Array, Array]
"""Flats of one layer: angles and reaches."""


def _shortest_path(section: Array, ends: tuple[Flat, Flat], layers: list[Array]) -> Array:
    """Return one angle of each layer, rising, such that the chain with its two ends has the least area."""
    first, last = ((np.array([end.angle]), np.array([end.reach])) for end in ends)
    fans = _fans(section, layers)
    cost, choices = np.zeros(1), []
    for areas in _areas_between([first, *fans]):
        total = cost[:, None] + areas
        choices.append(np.argmin(total, axis=0))
        cost = total.min(axis=0)
    place = int(np.argmin(cost + _pairs(fans[-1], last)[:, 0]))
    path = []
    for layer, choice in zip(reversed(layers), reversed(choices), strict=True):
        path.append(float(layer[place]))
        place = int(choice[place])
    return np.array(path[::-1])


def _fans(section: Array, layers: list[Array]) -> list[Fan]:
    """Return the layers with their reaches; those that are one array are worked out once."""
    fans: list[Fan] = []
    for layer in layers:
        same = bool(fans) and fans[-1][0] is layer
        fans.append(fans[-1] if same else (layer, support(section, layer)))
    return fans


def _areas_between(fans: list[Fan]) -> Iterator[Array]:
    """Yield the areas between the flats of each fan and the next; where one fan follows itself, once."""
    own: Array | None = None
    for before, after in pairwise(fans):
        if before is not after:
            yield _pairs(before, after)
            own = None
            continue
        own = _pairs(before, after) if own is None else own
        yield own


def _pairs(before: tuple[Array, Array], after: tuple[Array, Array]) -> Array:
    """Return the areas between every two flats, infinite where the second does not turn further."""
    one = (before[0][:, None], before[1][:, None])
    other = (after[0][None, :], after[1][None, :])
    rising = other[0] - one[0] > 1e-9
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(rising, area_between(one, other), np.inf)
