"""Grids of points on a body's strips: what smooth faces are drawn through."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from foamwright.exchange.solids import NO_WIDTH, Body
from foamwright.exchange.strips import Strip
from foamwright.shape.curves import Floats
from foamwright.shape.quadrature import Solid, low_share

ALONG, ACROSS = 41, 29
"""Points along each panel and across each strip."""

STEEP = 3.0
"""An end where the outline runs steeper than this is round, and points crowd towards it."""

EMPTY = 1e-7
"""Metres: a strip that is nowhere wider is not there."""

SIDES = (np.array([1.0, 1.0, 1.0]), np.array([1.0, -1.0, 1.0]))
"""The two halves of what is symmetric."""


@dataclass(frozen=True, eq=False)
class Grid:
    """Points of one face.

    Attributes
    ----------
    points
        (N, K, 3) metres; rows are stations, columns run along the section.
    across
        (K,) places of the columns, 0 to 1; rows are evenly spaced in the face's own variable.
    weight
        (N,) weights of the corners where each row is a conic: its three points are end, corner and end.
    """

    points: Floats
    across: Floats
    weight: Floats | None = None


@dataclass(frozen=True, eq=False)
class Curve:
    """Points (K, 3) of an edge with their places (K,), 0 to 1; two points are a straight line.

    With the `weight` of its corner it is a conic, and the three points are end, corner and end.
    """

    points: Floats
    places: Floats
    weight: float | None = None


@dataclass(frozen=True, eq=False)
class FlatEnd:
    """One half of a flat end.

    Attributes
    ----------
    ring
        Curves that bound it, in order round the section; the last is the straight line down the stringer.
    normal
        (3,) square to it.
    """

    ring: tuple[Curve, ...]
    normal: Floats


def grids_of(body: Body) -> tuple[tuple[Grid, ...], tuple[FlatEnd, ...]]:
    """Return the faces of a body and the outlines of its flat ends.

    Returns
    -------
    tuple of Grid
        Strips of both halves and walls of notches; neighbours share their boundary points exactly.
    tuple of FlatEnd
        The flat ends, each half by itself.
    """
    half = [grid for start, stop in pairwise(body.solid.panels) for grid in _panel(body, start, stop)]
    faces = [Grid(grid.points * side, grid.across, grid.weight) for grid in half for side in SIDES]
    rings = [ring for x in (body.solid.panels[0], body.solid.panels[-1]) for ring in _end(body, x)]
    forward = body.placed(np.array([1.0, 0.0, 0.0])) - body.placed(np.zeros(3))
    ends = [
        FlatEnd(tuple(Curve(body.placed(c.points * side), c.places, c.weight) for c in ring), forward)
        for ring in rings
        for side in SIDES
    ]
    return tuple(Grid(body.placed(face.points), face.across, face.weight) for face in faces), tuple(ends)


def _panel(body: Body, start: float, stop: float) -> list[Grid]:
    x = panel_stations(body.solid, start, stop)
    grids = [_grid(body, strip, x) for strip in body.strips]
    kept = [grid for grid in grids if np.max(_widths(grid.points)) > EMPTY]
    return [*kept, *_notch_walls(body, x)]


def _grid(body: Body, strip: Strip, x: Floats) -> Grid:
    if strip.conic is None:
        places = strip.crowded.sites(ACROSS)
        return Grid(_points(body, strip.at(x, places), x), places)
    share, height, weight = strip.conic(x)
    return Grid(_points(body, (share, height), x), np.array([0.0, 0.5, 1.0]), weight)


def _points(body: Body, strip: tuple[Floats, Floats], x: Floats) -> Floats:
    share, height = strip
    y = share * body.solid.half_width(x)[:, None]
    return np.stack([np.broadcast_to(x[:, None], share.shape), y, height], axis=-1)


def _widths(points: Floats) -> Floats:
    return np.asarray(np.sum(np.linalg.norm(np.diff(points, axis=1), axis=2), axis=1))


def _notch_walls(body: Body, x: Floats) -> list[Grid]:
    """The upright wall of a notch, from deck to bottom along its inner edge, in as many parts as it needs."""
    low = low_share(body.solid, x)
    if not np.any(low[1:-1] > 0.0):
        return []
    share = low[:, None]
    floor, top = body.solid.bottom_at(x, share), body.solid.deck_at(x, share)
    y, t = (low * body.solid.half_width(x))[:, None], np.linspace(0.0, 1.0, ACROSS)
    walls = []
    for first, last in pairwise(_wall_parts(body)):
        height = top + (floor - top) * (first + (last - first) * t)
        across = np.broadcast_to(y, height.shape)
        walls.append(Grid(np.stack([np.broadcast_to(x[:, None], height.shape), across, height], axis=-1), t))
    return walls


def _wall_parts(body: Body) -> tuple[float, ...]:
    """Shares of a wall's height, from the deck down, at which it is parted.

    Where tips are sharp the wall's first edge lies on the edges of the rail's strips, and each edge of the
    surface must meet exactly one other.
    """
    x = np.array([body.solid.panels[0]])
    outer, inner = float(body.solid.half_width(x)[0]), float(body.solid.inner(x)[0])
    if inner < NO_WIDTH or outer - inner > NO_WIDTH:
        return 0.0, 1.0
    ends = [strip.at(x, np.array([0.0, 1.0]))[1][0] for strip in body.strips]
    floor, top = float(ends[0][0]), float(ends[-1][-1])
    if top - floor < NO_WIDTH:
        # A round end closes to a point there: no wall to part.
        return 0.0, 1.0
    shares = (float((top - z) / (top - floor)) for pair in ends for z in pair)
    inside = sorted({round(share, 12) for share in shares if 1e-6 < share < 1.0 - 1e-6})
    return (0.0, *inside, 1.0)


def panel_stations(solid: Solid, start: float, stop: float) -> Floats:
    """Return the stations of a panel: even, but crowded as a square towards an end where it is round."""
    t = np.linspace(0.0, 1.0, ALONG)
    round_start, round_stop = (_is_round(solid, start, stop), _is_round(solid, stop, start))
    if round_start and round_stop:
        t = (1.0 - np.cos(np.pi * t)) / 2.0
    elif round_start:
        t = t**2
    elif round_stop:
        t = 1.0 - (1.0 - t) ** 2
    x = start + (stop - start) * t
    x[0], x[-1] = start, stop
    return x


def _is_round(solid: Solid, end: float, other: float) -> bool:
    """Whether the outline, or the foam's thickness beside a notch, begins upright at an end of a panel."""
    near = np.array([end, end + (other - end) * 1e-5])
    run = abs(float(near[1] - near[0]))
    outer, inner = solid.half_width(near), solid.inner(near)
    steep = abs(float(outer[1] - outer[0])) > STEEP * run
    return steep or float(outer[0] - inner[0]) < NO_WIDTH < float(inner[0])


def _end(body: Body, at: float) -> list[tuple[Curve, ...]]:
    """The curves round half of a flat end, or none where the end has no width."""
    x = np.array([at])
    outer, inner = float(body.solid.half_width(x)[0]), float(body.solid.inner(x)[0])
    if outer - inner < NO_WIDTH or outer < NO_WIDTH:
        return []
    curves = []
    for strip in body.strips:
        grid = _grid(body, strip, x)
        weight = None if grid.weight is None else float(grid.weight[0])
        curves.append(Curve(grid.points[0], grid.across, weight))
    kept = [curve for curve in curves if _widths(curve.points[None])[0] > EMPTY]
    closing = np.stack([kept[-1].points[-1], kept[0].points[0]])
    return [(*kept, Curve(closing, np.array([0.0, 1.0])))]
