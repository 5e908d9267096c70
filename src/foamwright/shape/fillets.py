"""True fillets: arcs of a given radius that touch two lines of an outline."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foamwright.shape.curves import Floats
from foamwright.shape.end_lines import Crack, EndLine

STEPS = 60
"""Most steps of a search. Newton's settles in four or five; halving needs fifty for rounding."""

SETTLED = 1e-13
"""Metres to which a touching point is settled."""


class NoFilletError(ValueError):
    """An arc of this radius does not fit into the corner."""


@dataclass(frozen=True, slots=True)
class Fillet:
    """An arc between two lines.

    Attributes
    ----------
    x, y
        Its centre, metres.
    radius
        Metres, above 0.
    first, last
        Stations at which it leaves the line across the end, and meets the side.
    """

    x: float
    y: float
    radius: float
    first: float
    last: float

    @property
    def aftmost(self) -> float:
        """Station of its last point towards the end."""
        return self.x - self.radius

    def over(self, x: Floats) -> Floats:
        """Return the outer `y` of the circle at `x`."""
        return np.asarray(self.y + self._half_chord(x))

    def under(self, x: Floats) -> Floats:
        """Return the inner `y` of the circle at `x`."""
        return np.asarray(self.y - self._half_chord(x))

    def _half_chord(self, x: Floats) -> Floats:
        return np.sqrt(np.maximum(self.radius**2 - (x - self.x) ** 2, 0.0))


Curve = Callable[[Floats], Floats]


def corner_fillet(end: EndLine, side: Curve, slope: Curve, half: float, radius: float) -> Fillet:
    """Return the arc in the corner between a line across the end and the side, at ``y = half``.

    Raises
    ------
    NoFilletError
        It does not fit: it would leave the line beyond the middle.
    """

    def misfit(at: Floats) -> Floats:
        y, x = float(at[0]), float(at[1])
        lean, rise = end.slope(y), float(slope(np.array(x)))
        ahead = radius / np.hypot(1.0, lean)
        inside = radius / np.hypot(1.0, rise)
        from_end = np.array([end.at(y) + ahead, y - lean * ahead])
        from_side = np.array([x + rise * inside, float(side(np.array(x))) - inside])
        return np.asarray(from_end - from_side)

    y, x = _newton(misfit, np.array([half - radius, end.at(half) + radius]), (half, radius))
    if not 0.0 <= y <= half:
        raise NoFilletError(f"an arc of {radius} does not fit")
    lean = end.slope(y)
    ahead = radius / float(np.hypot(1.0, lean))
    return Fillet(end.at(y) + ahead, y - lean * ahead, radius, end.at(y), x)


def _newton(misfit: Curve, at: Floats, limits: tuple[float, float]) -> tuple[float, float]:
    half, radius = limits
    for _ in range(STEPS):
        off = misfit(at)
        moves = 1e-7 * np.eye(2)
        matrix = np.stack([(misfit(at + m) - misfit(at - m)) / 2e-7 for m in moves], axis=1)
        step = np.clip(np.linalg.solve(matrix, off), -radius, radius)
        at = np.array([np.clip(at[0] - step[0], -half, half), at[1] - step[1]])
        if float(np.max(np.abs(step))) < SETTLED:
            break
    if float(np.max(np.abs(misfit(at)))) > 1e-9:
        raise NoFilletError(f"an arc of {radius} does not fit")
    return float(at[0]), float(at[1])


def point_fillet(end: EndLine, widest: float, radius: float) -> Fillet:
    """Return the arc over the middle line that rounds a point, touching the end line on either side.

    Raises
    ------
    NoFilletError
        It does not fit within `widest` of the middle.
    """

    def off(y: float) -> float:
        lean = end.slope(y)
        return y - radius * lean / float(np.hypot(1.0, lean))

    y = _halved(off, 0.0, widest)
    return Fillet(end.at(y) + radius / float(np.hypot(1.0, end.slope(y))), 0.0, radius, end.at(y), end.at(y))


def mouth_fillet(crack: Crack, radius: float) -> Fillet:
    """Return the arc between the level end at ``x = 0`` and the side of a crack, on the material's side.

    Raises
    ------
    NoFilletError
        It does not fit into the crack's depth.
    """

    def off(x: float) -> float:
        rise = crack.slope(x)
        return x - radius * rise / float(np.hypot(1.0, rise)) - radius

    x = _halved(off, 0.0, crack.depth)
    y = float(crack.at(np.array(x))) + radius / float(np.hypot(1.0, crack.slope(x)))
    return Fillet(radius, y, radius, 0.0, x)


def foot_fillet(crack: Crack, radius: float) -> Fillet:
    """Return the arc that rounds a crack's foot, its centre on the middle line.

    Raises
    ------
    NoFilletError
        The crack is nowhere so wide.
    """

    def off(x: float) -> float:
        return radius / float(np.hypot(1.0, crack.slope(x))) - float(crack.at(np.array(x)))

    x = _halved(off, 0.0, crack.depth)
    rise = crack.slope(x)
    centre = x + radius * rise / float(np.hypot(1.0, rise))
    return Fillet(centre, 0.0, radius, x, centre + radius)


def _halved(off: Callable[[float], float], low: float, high: float) -> float:
    """Return where a growing function crosses 0 between two places."""
    if off(low) > 0.0 or off(high) < 0.0:
        raise NoFilletError("the arc does not fit")
    for _ in range(STEPS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if off(middle) < 0.0 else (low, middle)
    return (low + high) / 2.0
