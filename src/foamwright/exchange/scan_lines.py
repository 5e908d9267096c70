"""The stringer lines of a scan: bottom and deck along y = 0 as smooth curves, noise averaged away.

Both are penalised splines (Eilers and Marx, Flexible smoothing with B-splines and penalties, Statistical
Science 11, 1996) through the points of a strip beside the stringer, with terms in the distance from it (a vee
rises at once, a dome with the square), so the curve is that of the stringer itself. The penalty is that of a
fair curve; where there are points it hardly shows, across a hole it carries the curve.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from foamwright.errors import InputError, Problem
from foamwright.shape.curves import Floats

STRIP = 0.35
"""Share of the half-width beside the stringer that is looked at."""

SPACING, BESIDE = 0.03, 0.06
"""Metres between the knots of a line, and of what happens beside it."""

FAIR, EVEN = 2e-5, 6e-4
"""Metres: usual third difference of a line's coefficients, second difference of those beside it."""

BOTTOM_POWERS, DECK_POWERS = (1, 2, 4), (2, 4)
"""Powers of the distance from the stringer that a face may follow: vees and double concaves, domes."""

CELL, CELLS = 0.008, 12
"""Metres along the board, and pieces across the strip, of the cells whose means are fitted."""

EXTREME = 1e-4
"""Share of the points at each end that may lie anywhere."""

END_FACE = 0.004
"""Metres at each tip that may belong to the end's own face."""

ROUNDS = 4
BIN = 0.02
BOTH_FACES = 0.006
"""Metres between the lowest and the highest point of a short piece that shows both faces."""


@dataclass(frozen=True, eq=False)
class Along:
    """A spline along the board that goes on straight beyond its ends."""

    spline: Any
    first: float
    last: float

    def __call__(self, x: ArrayLike, derivative: int = 0) -> Floats:
        """Return its value, or its slope, at `x`."""
        at = np.asarray(x, dtype=float)
        inside = np.clip(at, self.first, self.last)
        value = np.asarray(self.spline(inside, derivative))
        if derivative == 0:
            value = value + (at - inside) * self.spline(inside, 1)
        return np.asarray(value)

    def moved(self, x: float, z: float) -> Along:
        """Return the spline in a frame whose origin lies at (x, z)."""
        from scipy.interpolate import BSpline

        moved = BSpline(self.spline.t - x, self.spline.c - z, self.spline.k)
        return Along(moved, self.first - x, self.last - x)

    def tilted(self, lift: float, slope: float) -> Along:
        """Return the spline less the straight line ``lift + slope * x``, which splines hold exactly."""
        from scipy.interpolate import BSpline

        knots, degree = self.spline.t, self.spline.k
        # Coefficients of x itself: means of as many neighbouring knots as the degree (Greville's abscissae).
        places = np.convolve(knots[1:-1], np.full(degree, 1.0 / degree), "valid")
        return Along(BSpline(knots, self.spline.c - lift - slope * places, degree), self.first, self.last)


@dataclass(frozen=True, eq=False)
class Lines:
    """Bottom and deck at the stringer, and about how wide the board is along it (metres, the frame's x)."""

    bottom: Along
    deck: Along
    rough_x: Floats
    rough_half: Floats

    def half_width(self, x: Floats) -> Floats:
        """Return a rough half-width at `x`, good to some millimetres."""
        return np.asarray(np.interp(x, self.rough_x, self.rough_half, left=0.0, right=0.0))

    def moved(self, x: float, z: float) -> Lines:
        """Return the lines in a frame whose origin lies at (x, z)."""
        return Lines(self.bottom.moved(x, z), self.deck.moved(x, z), self.rough_x - x, self.rough_half)

    def tilted(self, lift: float, slope: float) -> Lines:
        """Return the lines less a straight line."""
        bottom, deck = (line.tilted(lift, slope) for line in (self.bottom, self.deck))
        return Lines(bottom, deck, self.rough_x, self.rough_half)


def extent_of(points: Floats) -> tuple[float, float]:
    """Return about where a scan begins and ends along x, without its few farthest points; metres."""
    low, high = np.quantile(points[:, 0], [EXTREME, 1.0 - EXTREME])
    return float(low), float(high)


def lines_of(points: Floats) -> Lines:
    """Return the stringer lines of points (N, 3) in a frame that is symmetric about y = 0.

    The last millimetres at each tip are left out: the end's own face stands there.

    Raises
    ------
    InputError
        A face is missing along much of the stringer.
    """
    low, high = extent_of(points)
    points = points[(points[:, 0] > low + END_FACE) & (points[:, 0] < high - END_FACE)]
    x, half = _rough_outline(points)
    share = np.abs(points[:, 1]) / np.maximum(np.interp(points[:, 0], x, half), 1e-3)
    strip, share = points[share < STRIP], share[share < STRIP]
    upper = strip[:, 2] > np.interp(strip[:, 0], *_middle(strip[share < STRIP / 3.0]))
    faces = ("bottom", ~upper, BOTTOM_POWERS), ("deck", upper, DECK_POWERS)
    bottom, deck = (_fitted(strip[mine], share[mine], powers, face) for face, mine, powers in faces)
    return Lines(bottom, deck, x, half)


def _rough_outline(points: Floats) -> tuple[Floats, Floats]:
    low, high = np.min(points[:, 0]), np.max(points[:, 0])
    count = max(int((high - low) / BIN), 8)
    place = np.clip(((points[:, 0] - low) / (high - low) * count).astype(int), 0, count - 1)
    half = np.zeros(count)
    np.maximum.at(half, place, np.abs(points[:, 1]))
    return low + (np.arange(count) + 0.5) * (high - low) / count, half


def _middle(strip: Floats) -> tuple[Floats, Floats]:
    """Height halfway between the two faces along the strip, from pieces that show both."""
    order = np.argsort(strip[:, 0], kind="stable")
    pieces = np.array_split(strip[order], max(strip.shape[0] // 60, 8))
    low = np.array([np.min(piece[:, 2]) for piece in pieces])
    high = np.array([np.max(piece[:, 2]) for piece in pieces])
    both = high - low > BOTH_FACES
    if np.count_nonzero(both) < 4:
        raise _lacking("second face")
    x = np.array([np.mean(piece[:, 0]) for piece in pieces])
    return x[both], (low + high)[both] / 2.0


def _fitted(points: Floats, share: Floats, powers: tuple[int, ...], face: str) -> Along:
    from scipy.interpolate import BSpline

    _check_covered(points[:, 0], face)
    first, last = float(np.min(points[:, 0])), float(np.max(points[:, 0]))
    x, height, share, count = _means(points, share)
    knots, beside = _knots(first, last, SPACING), _knots(first, last, BESIDE)
    line = BSpline.design_matrix(x, knots, 3).toarray()
    across = BSpline.design_matrix(x, beside, 3).toarray()
    matrix = np.hstack([line, *(across * (share[:, None] / STRIP) ** power for power in powers)])
    penalty = _penalty(line.shape[1], across.shape[1], len(powers))
    found = _robust(matrix, (height, np.sqrt(count)), penalty)
    return Along(BSpline(knots, found[: line.shape[1]], 3), first, last)


def _check_covered(x: Floats, face: str) -> None:
    if x.size < 200 or float(np.max(np.diff(np.sort(x)))) > 0.4 * float(np.ptp(x)):
        raise _lacking(f"{face} along the stringer")


def _lacking(what: str) -> InputError:
    return InputError(Problem("scan", f"lacks the {what}.", "Scan both faces from tail to nose."))


def _knots(first: float, last: float, spacing: float) -> Floats:
    """Even knots of a cubic spline, some of them beyond the ends (the penalty wants them even)."""
    count = max(round((last - first) / spacing), 2)
    knots = first + (last - first) / count * np.arange(-3, count + 4)
    knots[3], knots[-4] = first, last
    return np.asarray(knots)


def _penalty(line: int, across: int, powers: int) -> Floats:
    """Rows that should vanish, each over its usual size."""
    blocks = [np.diff(np.eye(line), 3, axis=0) / FAIR]
    blocks += [np.diff(np.eye(across), 2, axis=0) / EVEN] * powers
    rows, columns = sum(b.shape[0] for b in blocks), line + powers * across
    whole, row, column = np.zeros((rows, columns)), 0, 0
    for block in blocks:
        whole[row : row + block.shape[0], column : column + block.shape[1]] = block
        row, column = row + block.shape[0], column + block.shape[1]
    return whole


def _means(points: Floats, share: Floats) -> tuple[Floats, ...]:
    """Mean station, height and share of the points in each cell of the strip, and how many there are."""
    low = np.min(points[:, 0])
    along = ((points[:, 0] - low) / CELL).astype(np.int64)
    across = np.minimum((share / STRIP * CELLS).astype(np.int64), CELLS - 1)
    _, cell, count = np.unique(along * CELLS + across, return_inverse=True, return_counts=True)
    means = (np.bincount(cell, values) / count for values in (points[:, 0], points[:, 2], share))
    return (*means, count.astype(float))


def _robust(matrix: Floats, told: tuple[Floats, Floats], penalty: Floats) -> Floats:
    """Least squares that a few stray values do not pull (Huber's weights), with the penalty in its units.

    `told` are the values and the trust in each.
    """
    values, trust = told
    weight = trust / np.mean(trust)
    stiff, noise = penalty.T @ penalty, 5e-4
    found: Floats = np.zeros(matrix.shape[1])
    for _ in range(ROUNDS):
        weighted = matrix * weight[:, None]
        left = weighted.T @ matrix + noise**2 * stiff + 1e-9 * np.eye(stiff.shape[0])
        found = np.asarray(np.linalg.solve(left, weighted.T @ values), dtype=np.float64)
        off = np.abs(values - matrix @ found)
        noise = 1.4826 * float(np.median(off)) + 1e-7
        weight = np.minimum(1.0, 1.5 * noise / np.maximum(off, 1e-12)) * trust / np.mean(trust)
    return np.asarray(found)
