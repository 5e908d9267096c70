"""Real offsets of a part's outline: where the middle of the wire runs so that its kerf just meets the part.

An outline is a chain of smooth edges walked with the part on the right hand and the offcut on the left.
Each edge is moved to the left by half the kerf along its own normals. At an outside corner the wire runs
on straight into the offcut, turns there and comes back in line with the next edge, so its lag while
turning never touches the part; at a slight corner it is led around.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.errors import InputError, Problem
from foamwright.shape.curves import Floats

SLIGHT = np.radians(15.0)
"""Corners that turn by less are led around on an arc."""

INSIDE = np.radians(2.0)
"""Inside corners that turn by more cannot be cut: the wire is round."""


@dataclass(frozen=True, eq=False)
class Edge:
    """A smooth edge of a part.

    Attributes
    ----------
    name
        What a person calls it: ``deck``, ``nose end``.
    points
        (N, 2) metres along and up, walked with the offcut on the left.
    """

    name: str
    points: Floats

    @property
    def tangents(self) -> Floats:
        """(N, 2) unit directions of travel, second order in the spacing."""
        along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(self.points, axis=0).T))])
        if self.points.shape[0] == 2:
            run = np.tile(self.points[1] - self.points[0], (2, 1))
        else:
            run = np.gradient(self.points, along, axis=0, edge_order=2)
        return np.asarray(run / np.hypot(run[:, 0], run[:, 1])[:, None])


def left_of(directions: Floats) -> Floats:
    """Return (N, 2) unit normals to the left of unit directions."""
    return np.stack([-directions[..., 1], directions[..., 0]], axis=-1)


def offset_edge(edge: Edge, radii: Floats) -> Floats:
    """Return (N, 2) the edge moved to its left by `radii` (N,), metres.

    Raises
    ------
    InputError
        The edge is hollow with a radius below the offset: its offset would cross itself.
    """
    moved = edge.points + left_of(edge.tangents) * radii[:, None]
    steps, kept = np.diff(edge.points, axis=0), np.diff(moved, axis=0)
    back = np.sum(steps * kept, axis=1) <= 0.0
    if np.any(back):
        at = edge.points[:-1][back][0]
        raise InputError(
            Problem(
                f"{edge.name}, {at[0] * 1000:.0f} mm from the tail",
                f"the hollow there is tighter than half the kerf ({np.max(radii) * 1000:.2f} mm): the wire's "
                "path would cross itself.",
                "Use a thinner or faster wire, or a larger allowance.",
            )
        )
    return np.asarray(moved)


def corner(edges: tuple[Edge, Edge], radii: tuple[float, float], overshoots: tuple[float, float]) -> Floats:
    """Return (K, 2) points of the path between two offset edges, at their common corner.

    Parameters
    ----------
    edges
        The edges that meet, in order.
    radii
        Half the kerf at the end of the first and at the start of the second, metres.
    overshoots
        How far the wire runs on past the corner, and how far before it it comes back in line; metres.

    Raises
    ------
    InputError
        The corner points inwards.
    """
    before, after = edges
    first, second = before.tangents[-1], after.tangents[0]
    turn = float(np.arctan2(first[0] * second[1] - first[1] * second[0], first @ second))
    place = before.points[-1]
    if turn > INSIDE:
        raise InputError(
            Problem(
                f"the corner between {before.name} and {after.name}",
                f"points inwards by {np.degrees(turn):.0f} degrees; a round wire cannot cut it.",
                "Round that corner, or cut it by hand.",
            )
        )
    if turn > -SLIGHT:
        return _led_around(place, (first, second), radii)
    out = place + left_of(first) * radii[0] + first * overshoots[0]
    back = place + left_of(second) * radii[1] - second * overshoots[1]
    return np.stack([out, back])


def _led_around(place: Floats, directions: tuple[Floats, Floats], radii: tuple[float, float]) -> Floats:
    share = np.linspace(0.0, 1.0, 5)[1:-1, None]
    normals = left_of(directions[0]) * (1.0 - share) + left_of(directions[1]) * share
    normals /= np.hypot(normals[:, 0], normals[:, 1])[:, None]
    return np.asarray(place + normals * (radii[0] * (1.0 - share) + radii[1] * share))


def self_crossing(path: Floats) -> Floats | None:
    """Return the place where a path crosses itself, or ``None``; neighbours do not count."""
    start, run = path[:-1], np.diff(path, axis=0)
    near = run.shape[0]
    cross = run[:, None, 0] * run[None, :, 1] - run[:, None, 1] * run[None, :, 0]
    gap = start[None, :, :] - start[:, None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        mine = (gap[..., 0] * run[None, :, 1] - gap[..., 1] * run[None, :, 0]) / cross
        theirs = (gap[..., 0] * run[:, None, 1] - gap[..., 1] * run[:, None, 0]) / cross
    meets = (mine >= 0.0) & (mine <= 1.0) & (theirs >= 0.0) & (theirs <= 1.0)
    meets &= np.triu(np.ones((near, near), dtype=bool), 2)
    if not np.any(meets):
        return None
    one, other = np.argwhere(meets)[0]
    return np.asarray(start[one] + run[one] * mine[one, other])
