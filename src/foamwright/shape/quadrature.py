"""What a solid says of itself, and where to look at it: quadrature nodes in stretched variables.

Along, ``x = a + (b-a)(1-cos u)/2`` on each panel, in which round ends are smooth; across,
``share = 1 - (1-t)^4`` on each part of a face, in which a conic rail is smooth. A solid that knows the kinks
of each of its faces (`TwoFaced`) has each face integrated by itself: what one face does near the edge is no
concern of the other.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol, runtime_checkable

import numpy as np

from foamwright.shape.curves import Floats


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


@runtime_checkable
class TwoFaced(Protocol):
    """A solid that knows the kinks of each of its faces."""

    def bottom_kinks(self, x: Floats) -> Floats:
        """Return (N, J) shares where the bottom may have a kink, 0 and 1 included."""

    def deck_kinks(self, x: Floats) -> Floats:
        """Return (N, J) shares where the deck may have a kink, 0 and 1 included."""


def face_kinks(solid: Solid, x: Floats, *, deck: bool) -> Floats:
    """Return the kinks of one face of a solid: its own where they are known, else those of both."""
    if isinstance(solid, TwoFaced):
        return solid.deck_kinks(x) if deck else solid.bottom_kinks(x)
    return solid.kinks(x)


@runtime_checkable
class Cored(Protocol):
    """A solid with material between two notches: out to `core`, then nothing as far as `inner`."""

    def core(self, x: Floats) -> Floats:
        """Return the half-width of what stands between the notches at `x` (0 where nothing does)."""


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
"""Power by which nodes across crowd towards the outer end of each part."""

PANEL_POINTS, ACROSS_POINTS = 32, 24
"""Gauss nodes along each panel and across each part of the section."""


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


def nodes_of(
    solid: Solid, along: int = PANEL_POINTS, across: int = ACROSS_POINTS, *, deck: bool = False
) -> Nodes:
    """Return quadrature nodes for a face of a solid, `along` per panel and `across` per part."""
    x, weight = stretched(solid.panels, along)
    kinks = np.maximum(face_kinks(solid, x, deck=deck), low_share(solid, x)[:, None])
    share, across_weight = graded(kinks, across)
    core = core_share(solid, x)
    if np.any(core > 0.0):
        inside, inside_weight = graded(np.minimum(face_kinks(solid, x, deck=deck), core[:, None]), across)
        share = np.concatenate([inside, share], axis=1)
        across_weight = np.concatenate([inside_weight, across_weight], axis=1)
    return Nodes(x, weight, share, across_weight * solid.half_width(x)[:, None])


def low_share(solid: Solid, x: Floats) -> Floats:
    """Return the notch's share of the half-width (N,) at stations `x`; 0 where there is no notch."""
    return _share(solid, solid.inner(x), x)


def core_share(solid: Solid, x: Floats) -> Floats:
    """Return the share (N,) of the half-width that stands between two notches; 0 where nothing does."""
    return _share(solid, solid.core(x), x) if isinstance(solid, Cored) else np.zeros_like(x)


def _share(solid: Solid, y: Floats, x: Floats) -> Floats:
    outer = solid.half_width(x)
    return np.minimum(np.divide(y, outer, out=np.zeros_like(y), where=outer > 0.0), 1.0)
