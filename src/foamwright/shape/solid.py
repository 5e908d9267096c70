"""Solids between two height fields over an outline: volume, area, centroid, moments by quadrature.

Everything is integrated in stretched variables: along, ``x = a + (b-a)(1-cos u)/2`` on each panel, in
which round ends are smooth; across, ``share = 1 - (1-t)^4``, in which a Lamé rail is smooth enough for
Gauss to converge fast (spectrally for exponent 2). Nothing is counted from triangles.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol

import numpy as np

from foamwright.shape.curves import Floats

HeightField = Callable[[Floats, Floats], Floats]


class Solid(Protocol):
    """What a solid must say of itself. Arrays of `x` are (N,), of `share` (N, K)."""

    @property
    def panels(self) -> tuple[float, ...]:
        """Stations where the outline or the section may have a kink, both ends included."""

    def half_width(self, x: Floats) -> Floats:
        """Return the outer half-width at `x`."""

    def inner(self, x: Floats) -> Floats:
        """Return the half-width of the notch at `x` (0 where there is none)."""

    def kinks(self, x: Floats) -> Floats:
        """Return (N, J) shares of the half-width where the section may have a kink, 0 and 1 included."""

    def bottom_at(self, x: Floats, share: Floats) -> Floats:
        """Return bottom heights (N, K) at shares of the half-width."""

    def deck_at(self, x: Floats, share: Floats) -> Floats:
        """Return deck heights (N, K) at shares of the half-width."""


@dataclass(frozen=True, slots=True)
class MassProperties:
    """Volume (m3), surface area (m2), centroid (x, z in m; y is 0 by symmetry), second moments.

    `inertia` holds the volume integrals of ``y^2+z^2``, ``x^2+z^2``, ``x^2+y^2`` about the centroid, m5.
    """

    volume: float
    area: float
    centroid_x: float
    centroid_z: float
    inertia: tuple[float, float, float]


@dataclass(frozen=True, eq=False)
class Nodes:
    """Quadrature nodes: stations `x` (N,) with `along` weights; `share` (N, K) with `across` weights.

    The across weights already hold the half-width, so a sum over both is one half of the solid's plan.
    """

    x: Floats
    along: Floats
    share: Floats
    across: Floats


GRADE = 4
PANEL_POINTS = 32
ACROSS_POINTS = 24


def stretched(panels: tuple[float, ...], count: int) -> tuple[Floats, Floats]:
    """Return Gauss nodes and weights in the stretched variable of each panel, as `x` and ``dx``."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    angle = (nodes + 1.0) * np.pi / 2.0
    xs, ws = [], []
    for start, stop in pairwise(panels):
        half = (stop - start) / 2.0
        xs.append(start + half * (1.0 - np.cos(angle)))
        ws.append(half * np.sin(angle) * weights * np.pi / 2.0)
    return np.concatenate(xs), np.concatenate(ws)


def graded(kinks: Floats, count: int) -> tuple[Floats, Floats]:
    """Return nodes and weights across for each row of `kinks` (N, J), graded towards each outer end."""
    nodes, weights = np.polynomial.legendre.leggauss(count)
    t = (nodes + 1.0) / 2.0
    unit, unit_weight = 1.0 - (1.0 - t) ** GRADE, GRADE * (1.0 - t) ** (GRADE - 1) * weights / 2.0
    widths = np.diff(kinks, axis=1)
    share = kinks[:, :-1, None] + widths[:, :, None] * unit
    return share.reshape(len(kinks), -1), (widths[:, :, None] * unit_weight).reshape(len(kinks), -1)


def nodes_of(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> Nodes:
    """Return quadrature nodes for a solid, `along` per panel and `across` per part of the section."""
    x, weight = stretched(solid.panels, along)
    outer, inner = solid.half_width(x), solid.inner(x)
    low = np.divide(inner, outer, out=np.zeros_like(inner), where=outer > 0.0)
    share, across_weight = graded(np.maximum(solid.kinks(x), low[:, None]), across)
    return Nodes(x, weight, share, across_weight * outer[:, None])


def section_areas(solid: Solid, nodes: Nodes) -> Floats:
    """Return the full cross-section area (N,) at the nodes' stations, m2."""
    height = solid.deck_at(nodes.x, nodes.share) - solid.bottom_at(nodes.x, nodes.share)
    return np.asarray(2.0 * np.sum(height * nodes.across, axis=1))


def volume(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> float:
    """Return the volume in m3."""
    nodes = nodes_of(solid, along, across)
    return float(nodes.along @ section_areas(solid, nodes))


def mass_properties(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> MassProperties:
    """Return volume, area, centroid and second moments of a solid."""
    nodes = nodes_of(solid, along, across)
    bottom, deck = solid.bottom_at(nodes.x, nodes.share), solid.deck_at(nodes.x, nodes.share)
    y = nodes.share * solid.half_width(nodes.x)[:, None]
    cell = 2.0 * nodes.along[:, None] * nodes.across
    x = nodes.x[:, None]
    total = float(np.sum(cell * (deck - bottom)))
    centre_x = float(np.sum(cell * (deck - bottom) * x)) / total
    centre_z = float(np.sum(cell * (deck**2 - bottom**2) / 2.0)) / total
    xx = float(np.sum(cell * (deck - bottom) * (x - centre_x) ** 2))
    yy = float(np.sum(cell * (deck - bottom) * y**2))
    zz = float(np.sum(cell * ((deck - centre_z) ** 3 - (bottom - centre_z) ** 3) / 3.0))
    inertia = (yy + zz, xx + zz, xx + yy)
    return MassProperties(total, surface_area(solid, along, across), centre_x, centre_z, inertia)


def surface_area(solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS) -> float:
    """Return the whole surface in m2: bottom, deck, rail walls, and the faces of blocked ends."""
    total = 0.0
    for start, stop in pairwise(solid.panels):
        total += _panel_area(solid, start, stop, (along, across))
    for end in (solid.panels[0], solid.panels[-1]):
        total += _end_face(solid, np.array([end]), across)
    return total


STEP = 2e-4
"""Step of the fourth-order differences in the stretched variables (both run over lengths near 1)."""


@dataclass(frozen=True, eq=False)
class _Panel:
    """One panel of a solid's surface as a map of the stretched variables ``angle`` and ``grade``."""

    solid: Solid
    start: float
    stop: float

    def station(self, angle: Floats) -> Floats:
        half = (self.stop - self.start) / 2.0
        return np.asarray(self.start + half * (1.0 - np.cos(np.clip(angle, 0.0, np.pi))))

    def shares(self, x: Floats, grade: Floats, part: int) -> Floats:
        outer = self.solid.half_width(x)
        low = np.divide(self.solid.inner(x), outer, out=np.zeros_like(outer), where=outer > 0.0)
        kinks = np.maximum(self.solid.kinks(x), low[:, None])
        near, far = kinks[:, part, None], kinks[:, part + 1, None]
        return np.asarray(near + (far - near) * (1.0 - (1.0 - grade[None, :]) ** GRADE))

    def points(self, field: HeightField, part: int, angle: Floats, grade: Floats) -> Floats:
        x = self.station(angle)
        share = self.shares(x, grade, part)
        y = share * self.solid.half_width(x)[:, None]
        return np.stack([np.broadcast_to(x[:, None], share.shape), y, field(x, share)])


def _panel_area(solid: Solid, start: float, stop: float, counts: tuple[int, int]) -> float:
    panel = _Panel(solid, start, stop)
    angle, along = _unit_gauss(counts[0])
    angle, along = angle * np.pi, along * np.pi
    grade, over = _unit_gauss(counts[1])
    total = 0.0
    for part in range(solid.kinks(panel.station(angle)).shape[1] - 1):
        for field in (solid.bottom_at, solid.deck_at):
            element = _element(panel, field, part, (angle, grade))
            total += 2.0 * float(along @ element @ over)
    return total + _wall_area(panel, angle, along)


def _unit_gauss(count: int) -> tuple[Floats, Floats]:
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return (nodes + 1.0) / 2.0, weights / 2.0


def _element(panel: _Panel, field: HeightField, part: int, at: tuple[Floats, Floats]) -> Floats:
    """Return the surface element ``|r_angle x r_grade|`` at the nodes."""
    angle, grade = at
    along = _difference(lambda d: panel.points(field, part, angle + d, grade))
    over = _difference(lambda d: panel.points(field, part, angle, grade + d))
    normal = np.cross(along, over, axis=0)
    return np.asarray(np.sqrt(np.sum(normal**2, axis=0)))


def _wall_area(panel: _Panel, angle: Floats, along: Floats) -> float:
    """Return the area of upright walls at the edge (a hard edge under a raised apex)."""
    x = panel.station(angle)
    edge = np.ones((x.size, 1))
    wall = (panel.solid.deck_at(x, edge) - panel.solid.bottom_at(x, edge))[:, 0]

    def plan(shift: float) -> Floats:
        at = panel.station(angle + shift)
        return np.stack([at, panel.solid.half_width(at)])

    run = _difference(plan)
    return 2.0 * float(along @ (wall * np.hypot(run[0], run[1])))


def _difference(function: Callable[[float], Floats]) -> Floats:
    """Return the fourth-order central difference of a function of a small shift, at 0."""
    near = function(STEP) - function(-STEP)
    far = function(2.0 * STEP) - function(-2.0 * STEP)
    return np.asarray((8.0 * near - far) / (12.0 * STEP))


def _end_face(solid: Solid, at: Floats, across: int) -> float:
    share, weight = graded(solid.kinks(at), across)
    outer, inner = solid.half_width(at), solid.inner(at)
    if outer[0] <= 0.0 or inner[0] > 0.0:
        return 0.0
    height = solid.deck_at(at, share) - solid.bottom_at(at, share)
    return float(2.0 * outer[0] * np.sum(weight * height))
