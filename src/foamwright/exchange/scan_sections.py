"""Sections of a scan: width, rail and contour at a station, by fitting a board's own section to the points.

The section is that of `board.section`: a contour, then Lamé curves below and above the apex. Distances are
those to the curve, to first order (the implicit function over its slope), so points on rail, deck and
bottom count alike, and noise outwards does not widen the board.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from foamwright.board.numbers import BottomShape
from foamwright.board.section import SCOOP_SHARE
from foamwright.exchange.scan_lines import Lines
from foamwright.shape.curves import Floats
from foamwright.shape.lame import lame_height

MOST_POINTS = 800
FEWEST_POINTS = 40
NARROW = 0.06
"""Metres: where a board is narrower on either side, its rails take the whole bottom."""

FLAT = 0.0007
"""Metres: a contour that is shallower counts as none."""

_START = np.array([-1.0, 0.0, 0.35, 0.4, 0.48, 0.1])
_LOW = np.array([0.3, -8.0, 0.001, 0.02, 0.2, 0.0])
_HIGH = np.array([1.4, 8.0, 0.85, 0.6, 0.6, 0.85])
"""Half-width (below 0: as it seems; limits as shares of that), its slope, apex as a share of the thickness,
inverse exponents below and above it, share that is dished: where a fit begins, and between what it looks."""

CLEARLY = 0.97
"""A contour must lower the distances to this share, or there is none: a soft rail looks much like a roll."""


class Basis(Enum):
    """Shapes of a bottom across, relative to the stringer, per metre of depth."""

    CONCAVE = BottomShape.CONCAVE
    DOUBLE = BottomShape.DOUBLE_CONCAVE
    VEE = BottomShape.VEE
    ROLLED = BottomShape.ROLLED

    def __call__(self, share: Floats, scoop: float) -> Floats:
        """Return the heights over the stringer's at shares of the half-width, for a depth of 1.

        `scoop` is the share of the half-width that is dished.
        """
        across = np.minimum(share / max(scoop, 1e-3), 1.0)
        return {
            Basis.CONCAVE: (1.0 - across**2) ** 2 - 1.0,
            Basis.DOUBLE: 16.0 * across**2 * (1.0 - across) ** 2,
            Basis.VEE: share,
            Basis.ROLLED: share**2,
        }[self]


@dataclass(frozen=True, slots=True)
class Contour:
    """A bottom contour: its basis (``None``: flat) and depth in metres."""

    basis: Basis | None
    depth: float

    def __call__(self, share: Floats, scoop: float) -> Floats:
        """Return the heights over the stringer's, with that share of the half-width dished."""
        return np.zeros_like(share) if self.basis is None else self.depth * self.basis(share, scoop)

    def edge(self, scoop: float) -> float:
        """Height of the contour at the edge over the stringer's."""
        return float(self(np.array([1.0]), scoop)[0])

    @property
    def shape(self) -> BottomShape:
        """Its word."""
        return BottomShape.FLAT if self.basis is None else self.basis.value


@dataclass(frozen=True, slots=True)
class Section:
    """A fitted section.

    Attributes
    ----------
    x
        Its station in the frame, metres.
    half_width, slope
        Half-width, and how it changes along the board.
    apex
        Height of the apex as a share of the edge thickness.
    lower, upper
        Inverse exponents of the rail.
    contour
        The bottom's.
    misfit
        Root mean square distance of the points, metres.
    """

    x: float
    half_width: float
    slope: float
    apex: float
    lower: float
    upper: float
    contour: Contour
    misfit: float


def section_at(points: Floats, lines: Lines, x: float, reach: float) -> Section | None:
    """Return the section fitted at a station, or ``None`` where there are too few points.

    Parameters
    ----------
    points
        (N, 3) the scan in its frame, sorted along it.
    lines
        Its stringer lines.
    x
        The station.
    reach
        Metres to either side whose points count.
    """
    first, last = np.searchsorted(points[:, 0], [x - reach, x + reach])
    slab = points[first : last : max(1, (last - first) // MOST_POINTS)]
    if slab.shape[0] < FEWEST_POINTS:
        return None
    fit = _Fit(slab, lines, x)
    return fit.solved()


class _Fit:
    """One fit: points as (along, away from the stringer, above the bottom line)."""

    def __init__(self, slab: Floats, lines: Lines, x: float) -> None:
        self.x, self.along, self.away = x, slab[:, 0] - x, np.abs(slab[:, 1])
        bottom = lines.bottom(slab[:, 0])
        self.height = slab[:, 2] - bottom
        self.thick = np.maximum(lines.deck(slab[:, 0]) - bottom, 1e-4)
        self.half = max(float(np.quantile(self.away, 0.995)), 1e-3)
        self.contour = Contour(None, 0.0)

    def solved(self) -> Section | None:
        """The section without a contour, unless one shows clearly."""
        plain = self._least(_START)
        start = _START.copy()
        start[[0, 5]] = plain[0][0], SCOOP_SHARE
        self.contour = self._contour(start)
        best, contour = plain, Contour(None, 0.0)
        for _ in range(2 if self.contour.basis is not None else 0):
            tried = self._least(start)
            if tried[1] < CLEARLY * best[1]:
                best, contour = tried, self.contour
            start, self.contour = tried[0], self._contour(tried[0])
        self.contour = contour
        half, slope, apex, lower, upper, _ = (float(v) for v in best[0])
        misfit = float(np.sqrt(np.mean(self.distances(best[0]) ** 2)))
        return Section(self.x, half, slope, apex, lower, upper, contour, misfit)

    def _least(self, start: Floats) -> tuple[Floats, float]:
        """The numbers with the least distances for the contour at hand, and how large those are."""
        from scipy.optimize import least_squares

        scale = np.array([self.half, 1.0, 1.0, 1.0, 1.0, 1.0])
        low, high = _LOW * scale, _HIGH * scale
        begin = np.where(start[0] < 0.0, np.array([self.half, *start[1:]]), start)
        found = least_squares(
            self.distances,
            np.clip(begin, low + 1e-9, high - 1e-9),
            bounds=(low, high),
            loss="soft_l1",
            f_scale=0.001,
            x_scale=[0.1, 0.5, 0.3, 0.3, 0.3, 0.3],
            xtol=1e-6,
            ftol=1e-6,
            max_nfev=40,
        )
        return found.x, float(found.cost)

    def distances(self, numbers: Floats) -> Floats:
        """Signed distance of every point from the section, to first order."""
        half, slope, apex, lower, upper, scoop = numbers
        width = np.maximum(half + slope * self.along, 1e-4)
        share = self.away / width
        flat, edge = self.contour(np.minimum(share, 1.0), scoop), self.contour.edge(scoop)
        level = edge + apex * (self.thick - edge)
        # Inboard the faces part halfway between them, at the rail at its apex.
        rim = np.minimum(share, 1.0) ** 8
        above = self.height >= level * rim + (1.0 - rim) * (flat + self.thick) / 2.0
        out = (share - scoop) / (1.0 - scoop)
        off = flat - self.height
        railed = ~above & (out > 0.0)
        off[above] = _lame(
            (share[above], width[above]), (self.height - level, self.thick - level), upper, above
        )
        off[railed] = _lame(
            (out[railed], width[railed] * (1.0 - scoop)),
            (level - self.height, np.maximum(level - flat, 1e-5)),
            lower,
            railed,
        )
        return off

    def _contour(self, numbers: Floats) -> Contour:
        """The contour that the flat of the bottom shows best, if it is one at all."""
        half, slope, apex, lower, _, scoop = (float(v) for v in numbers)
        share = self.away / np.maximum(half + slope * self.along, 1e-4)
        out = np.clip((share - scoop) / (1.0 - scoop), 0.0, 1.0)
        # What the rail leaves of the contour: all of it inboard, nothing at the edge.
        left = lame_height(out, lower)
        edge = self.contour.edge(scoop)
        level = edge + apex * (self.thick - edge)
        bottom = (share < max(0.9 * scoop, 0.45)) & (self.height < 0.4 * self.thick)
        if np.count_nonzero(bottom) < FEWEST_POINTS or half < NARROW:
            return Contour(None, 0.0)
        share, left = share[bottom], left[bottom]
        height = self.height[bottom] - level[bottom] * (1.0 - left)
        best, depth, least = None, 0.0, _spread(height)
        for basis in Basis:
            value = left * basis(share, scoop)
            amount = float(value @ height / max(float(value @ value), 1e-12))
            spread = _spread(height - amount * value)
            if amount > FLAT and spread < 0.97 * least:
                best, depth, least = basis, amount, spread
        return Contour(best, depth)


def _spread(values: Floats) -> float:
    return float(np.mean(np.minimum(np.abs(values), 0.003)))


def _lame(
    across: tuple[Floats, Floats], up: tuple[Floats, Floats], inverse: float, of: NDArray[np.bool_]
) -> Floats:
    """Distance from a Lamé curve: (share, metres of a share of 1) across, (metres, metres of 1) up.

    Of the heights only those `of` which it is asked are looked at.

    Source: first-order distance to an implicit curve, value over slope (Taubin, IEEE PAMI 13, 1991, eq. 3.2).
    """
    power = 1.0 / inverse
    share, width, unit = np.abs(across[0]), across[1], up[1][of]
    height = np.abs(up[0][of] / unit)
    largest = np.maximum(np.maximum(share, height), 1e-9)
    reach = largest * ((share / largest) ** power + (height / largest) ** power) ** inverse
    with np.errstate(under="ignore"):
        by_width = (share / reach) ** (power - 1.0) / width
        by_height = (height / reach) ** (power - 1.0) / unit
    return np.asarray((reach - 1.0) / np.hypot(by_width, by_height))
