"""A solid ready to be dipped: its two faces as polynomials, and how much of it lies under a surface."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.shape.kernels.submerged import wet_sums
from foamwright.shape.kernels.submerged_section import Field
from foamwright.shape.quadrature import core_share, low_share, stretched
from foamwright.shape.solid import Solid
from foamwright.water.pool import Pool, Surface

ALONG, ACROSS = 25, 25
"""Nodes of the polynomials, per panel and per part; checked by docs/water.md's table of errors."""

GAUSS_ALONG, GAUSS_ACROSS = 20, 20


@dataclass(frozen=True, eq=False)
class Columns:
    """A solid as two fields of columns: what is under its deck is taken from what is under its bottom."""

    bottom: Field
    deck: Field
    volume: float

    def pool(self, surface: Surface) -> Pool:
        """Return what of the solid is under water."""
        return pool_of(wet_sums(self.bottom, surface.numbers) - wet_sums(self.deck, surface.numbers))


def pool_of(sums: Floats) -> Pool:
    """Return the sums of the kernel as a pool."""
    second = np.array([[sums[7], sums[8]], [sums[8], sums[9]]])
    return Pool(float(sums[0]), sums[1:4], float(sums[4]), sums[5:7], second)


def columns_of(solid: Solid, along: int = ALONG, across: int = ACROSS) -> Columns:
    """Return a solid ready to be dipped.

    Parameters
    ----------
    solid
        Symmetric about y = 0; its deck nowhere below its bottom.
    along, across
        Nodes of the polynomials per panel and per part of the section.
    """
    bottom, deck = (_field(solid, deck, (along, across)) for deck in (False, True))
    high = Surface(1e3)
    volume = float(wet_sums(bottom, high.numbers)[0] - wet_sums(deck, high.numbers)[0])
    return Columns(bottom, deck, volume)


def _field(solid: Solid, deck: bool, counts: tuple[int, int]) -> Field:
    nodes, weights = _lobatto(counts[0])
    steps, _ = _lobatto(counts[1])
    ends = np.array(list(pairwise(solid.panels)))
    sections = [_sections(solid, deck, _stations(pair, nodes), steps) for pair in ends]
    half, kinks, heights = (np.array([s[i] for s in sections]) for i in range(3))
    series = heights @ _to_series(steps)
    rules = [_gauss(count) for count in (GAUSS_ALONG, GAUSS_ACROSS)]
    return Field(ends, nodes, weights, half, kinks, steps, heights, series, *rules)


def _stations(ends: Floats, nodes: Floats) -> Floats:
    return np.asarray(ends[0] + (ends[1] - ends[0]) * 0.5 * (1.0 - np.cos(np.pi * nodes)))


def _sections(solid: Solid, deck: bool, x: Floats, steps: Floats) -> tuple[Floats, Floats, Floats]:
    """Return half-widths (N,), kinks (N, Q+1) and heights (Q, N, K)."""
    kinks, gap = _parts(solid, x)
    graded = 1.0 - (1.0 - steps) ** 4
    parts = []
    for q in range(kinks.shape[1] - 1):
        # In the gap between two notches' foam both fields are the bottom, so nothing lies between them.
        field = solid.deck_at if deck and q != gap else solid.bottom_at
        parts.append(field(x, kinks[:, q, None] + (kinks[:, q + 1] - kinks[:, q])[:, None] * graded))
    return solid.half_width(x), kinks, np.array(parts)


def _parts(solid: Solid, x: Floats) -> tuple[Floats, int | None]:
    """Return the kinks (N, Q+1) between parts of the section, and which part is a notch's gap."""
    outer = np.maximum(solid.kinks(x), low_share(solid, x)[:, None])
    if not _has_core(solid):
        return outer, None
    inside = np.minimum(solid.kinks(x), core_share(solid, x)[:, None])
    return np.concatenate([inside, outer], axis=1), inside.shape[1] - 1


def _has_core(solid: Solid) -> bool:
    """Whether foam stands between two notches anywhere."""
    x, _ = stretched(solid.panels, ALONG)
    return bool(np.any(core_share(solid, x) > 0.0))


def _lobatto(count: int) -> tuple[Floats, Floats]:
    """Return Chebyshev points on [0, 1], ends included, and their barycentric weights."""
    angle = np.pi * np.arange(count) / (count - 1)
    weights: Floats = np.array([(-1.0) ** k for k in range(count)])
    weights[[0, -1]] *= 0.5
    return 0.5 * (1.0 - np.cos(angle)), weights


def _to_series(steps: Floats) -> Floats:
    """Return the matrix (K, K) that turns values at the points into Chebyshev coefficients (row times it)."""
    basis = np.polynomial.chebyshev.chebvander(2.0 * steps - 1.0, steps.size - 1)
    return np.ascontiguousarray(np.linalg.inv(basis).T)


def _gauss(count: int) -> Floats:
    nodes, weights = np.polynomial.legendre.leggauss(count)
    return np.stack([(nodes + 1.0) / 2.0, weights / 2.0])
