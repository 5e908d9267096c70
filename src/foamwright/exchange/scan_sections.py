"""Sections of a scan: width, rail, deck and contour at a station, by fitting a board's own section.

The section is that of `board.section` with parabolas for its rails: a contour, the tuck, the roll, the crown.
Distances are those to the curve, so points on rail, deck and bottom count alike, and noise outwards does not
widen the board.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

import numpy as np

from foamwright.exchange.scan_lines import Lines
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.section_distance import (
    BOWL,
    DISH,
    NONE,
    TWIN,
    WEDGE,
    Slab,
    cost_of,
    distances_into,
    normal_into,
)
from foamwright.units import INCH

MOST_POINTS = 800
FEWEST_POINTS = 40
NARROW = 0.06
"""Metres: where a board is narrower on either side, its rails take the whole bottom."""

FLAT = 0.0007
"""Metres: a contour that is shallower counts as none."""

_START = np.array([1.0, 0.0, 0.4, 0.4 * INCH, 0.1, 0.3 * INCH, 2.0 * INCH])
_LOW = np.array([0.3, -8.0, 0.001, 1e-4, 0.0, 0.0, 0.25 * INCH])
_HIGH = np.array([1.4, 8.0, 0.85, 2.0 * INCH, 1.0, INCH, 4.0 * INCH])
"""Half-width (as shares of what it seems), its slope, apex, tuck, steepness of the edge, crown, roll: where a
fit begins, and between what it looks."""

MOST_TUCK, MOST_ROLL = 0.45, 0.6
"""Most that tuck and roll take of the half-width."""

INSIDE = 0.97
"""Share of the flat within which points tell of its contour."""

DIFFERENCE = 1e-7
"""Step of the fitted numbers over which distances are differenced: half the digits of theirs."""

CLOSE = 0.001
"""Metres: points that are farther off pull less than by their square."""

SETTLED, MOST_STEPS = 1e-4, 25
"""A step that lowers the cost by a smaller share is the last (a share of 1e-3 is within the noise of 800
points); and how many there are at most."""

CLEARLY = 0.97
"""A contour must lower the distances to this share, or there is none: a soft rail looks much like a roll."""


class Basis(Enum):
    """Shapes of a bottom across, relative to the stringer, per metre of depth."""

    CONCAVE = "concave"
    DOUBLE = "double concave"
    VEE = "vee"
    ROLLED = "roll"

    def __call__(self, share: Floats) -> Floats:
        """Return the heights over the stringer's at shares of the flat, for a depth of 1."""
        return {
            Basis.CONCAVE: -(np.minimum(share, 1.0) ** 2),
            Basis.DOUBLE: 4.0 * share * np.maximum(1.0 - share, 0.0),
            Basis.VEE: share,
            Basis.ROLLED: share**2,
        }[self]


_KERNEL_SHAPES = {None: NONE, Basis.CONCAVE: DISH, Basis.DOUBLE: TWIN, Basis.VEE: WEDGE, Basis.ROLLED: BOWL}


@dataclass(frozen=True, slots=True)
class Contour:
    """A bottom contour: its basis (``None``: flat) and depth in metres."""

    basis: Basis | None
    depth: float


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
        Share of the rail's thickness below the apex.
    tuck, steep
        How far in from the edge the flat ends, and the share of the rise that its tangent takes there.
    crown, roll
        How much lower the deck is where the roll begins, and how far in from the edge that is.
    contour
        The bottom's.
    misfit
        Root mean square distance of the points, metres.
    """

    x: float
    half_width: float
    slope: float
    apex: float
    tuck: float
    steep: float
    crown: float
    roll: float
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
    return _Fit(slab, lines, x).solved()


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
        plain = self._least(self._begin())
        best, contour = plain, Contour(None, 0.0)
        self.contour = self._contour(plain[0])
        for _ in range(2 if self.contour.basis is not None else 0):
            tried = self._least(best[0])
            if tried[1] < CLEARLY * best[1]:
                best, contour = tried, self.contour
            self.contour = self._contour(tried[0])
        self.contour = contour
        misfit = float(np.sqrt(np.mean(self.distances(best[0]) ** 2)))
        half, slope, apex, tuck, steep, crown, roll = (float(value) for value in best[0])
        return Section(self.x, half, slope, apex, tuck, steep, crown, roll, contour, misfit)

    def _begin(self) -> Floats:
        return np.asarray(_START * np.array([self.half, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0]))

    def _least(self, start: Floats) -> tuple[Floats, float]:
        """The numbers with the least cost of distances for the contour at hand, and that cost.

        Source: Gauss and Newton's steps, damped (Marquardt, SIAM Journal 11, 1963), held within limits.
        """
        low, high = self._limits()
        numbers, slab, damping = np.clip(start, low, high), self._slab(), 1e-3
        cost, normal = cost_of(slab, numbers, CLOSE), _normal(slab, numbers, high)
        for _ in range(MOST_STEPS):
            tried = np.clip(numbers + _step(numbers, normal, (low, high), damping), low, high)
            costs = cost_of(slab, tried, CLOSE)
            if costs >= cost:
                damping *= 10.0
                continue
            settled = cost - costs < SETTLED * cost
            numbers, cost, damping = tried, costs, damping / 10.0
            if settled:
                break
            normal = _normal(slab, numbers, high)
        return numbers, cost

    def _limits(self) -> tuple[Floats, Floats]:
        scale = np.array([self.half, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0])
        high = _HIGH * scale
        high[3], high[6] = min(high[3], MOST_TUCK * self.half), min(high[6], MOST_ROLL * self.half)
        return np.minimum(_LOW * scale, high), high

    def distances(self, numbers: Floats) -> Floats:
        """Signed distance of every point from the section, to first order."""
        out = np.empty(self.away.size)
        distances_into(self._slab(), numbers, out)
        return out

    def _slab(self) -> Slab:
        shape = _KERNEL_SHAPES[self.contour.basis]
        return Slab(self.along, self.away, self.height, self.thick, shape, self.contour.depth)

    def _contour(self, numbers: Floats) -> Contour:
        """The contour that the flat of the bottom shows best, if it is one at all."""
        half, slope, tuck = (float(numbers[k]) for k in (0, 1, 3))
        share = (self.away - slope * self.along) / max(half - tuck, 1e-4)
        bottom = (share < INSIDE) & (self.height < 0.4 * self.thick)
        if np.count_nonzero(bottom) < FEWEST_POINTS or half < NARROW:
            return Contour(None, 0.0)
        share, height = share[bottom], self.height[bottom]
        best, depth, least = None, 0.0, _spread(height)
        for basis in Basis:
            value = basis(share)
            amount = float(value @ height / max(float(value @ value), 1e-12))
            spread = _spread(height - amount * value)
            if amount > FLAT and spread < 0.97 * least:
                best, depth, least = basis, amount, spread
        return Contour(best, depth)


def _normal(slab: Slab, numbers: Floats, high: Floats) -> tuple[Floats, Floats]:
    """The normal equations at the numbers; no difference leads over a limit."""
    gram, pull = np.empty((numbers.size, numbers.size)), np.empty(numbers.size)
    steps = np.where(numbers + DIFFERENCE < high, DIFFERENCE, -DIFFERENCE)
    normal_into(slab, numbers, steps, CLOSE, gram, pull)
    return gram, pull


def _step(
    numbers: Floats, normal: tuple[Floats, Floats], limits: tuple[Floats, Floats], damping: float
) -> Floats:
    """One damped step of the numbers that are not held at a limit."""
    (gram, pull), (low, high) = normal, limits
    free = ~(((numbers <= low) & (pull < 0.0)) | ((numbers >= high) & (pull > 0.0)))
    free &= np.diag(gram) > 0.0
    step = np.zeros(numbers.size)
    inner = gram[np.ix_(free, free)]
    step[free] = np.linalg.solve(inner + damping * np.diag(np.diag(inner)), pull[free])
    return step


def _spread(values: Floats) -> float:
    return float(np.mean(np.minimum(np.abs(values), 0.003)))
