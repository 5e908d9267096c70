"""The outline of a board: the fair half-width and what each tail form does to its end."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.board.numbers import BoardNumbers, Tail, TailKind
from foamwright.errors import Problem
from foamwright.findings import said
from foamwright.shape.curves import Floats
from foamwright.shape.trade_curves import Point, StretchedCurve, outline

POINTED = 0.0
ROUNDED_PIN = 0.5
"""A rounded pin keeps half of the roundness that the fairest free tip would have. Our own choice."""


@dataclass(frozen=True, eq=False)
class Outline:
    """Half-widths of a board from tail tip to nose tip.

    Attributes
    ----------
    side
        The fair curve of the side, from the corners of the tail to the nose tip.
    tail
        The tail form, which owns everything aft of ``corner``.
    wide_at
        Station of the widest point.
    length
        Tail tip to nose tip.
    """

    side: StretchedCurve
    tail: Tail
    wide_at: float
    length: float

    @property
    def corner(self) -> float:
        """Station forward of which the tail form changes nothing."""
        if self.tail.kind in (TailKind.SWALLOW, TailKind.DIAMOND):
            return self.tail.depth
        return self.rounding

    @property
    def rounding(self) -> float:
        """Radius of the corners of a blocked tail; 0 for every other form."""
        blocked = self.tail.kind in (TailKind.SQUARE, TailKind.SQUASH)
        return self.tail.corner_radius if blocked else 0.0

    @property
    def panels(self) -> tuple[float, ...]:
        """Stations of kinks in the outline, ends included."""
        inner = (self.corner,) if self.corner > 0.0 else ()
        return (0.0, *inner, self.length)

    def half_width(self, x: Floats) -> Floats:
        """Return the outer half-width at stations `x` from the tail tip (0 off the board)."""
        at = np.asarray(x, dtype=float)
        side = self.side(np.maximum(at, self.side.start))
        if self.tail.kind is TailKind.DIAMOND:
            side = np.where(at < self.tail.depth, side * at / max(self.tail.depth, 1e-12), side)
        radius = self.rounding
        if radius > 0.0:
            back = np.clip(radius - at, 0.0, radius)
            side = side - (radius - np.sqrt(radius**2 - back**2))
        inside = (at >= 0.0) & (at <= self.length)
        return np.where(inside, np.maximum(side, 0.0), 0.0)

    def inner(self, x: Floats) -> Floats:
        """Return the half-width of a swallow's notch at `x`; 0 elsewhere."""
        at = np.asarray(x, dtype=float)
        if self.tail.kind is not TailKind.SWALLOW:
            return np.zeros_like(at)
        tip = float(self.side(np.array(0.0)))
        return np.asarray(tip * np.clip(1.0 - at / self.tail.depth, 0.0, 1.0))

    def slope(self, x: Floats) -> Floats:
        """Return the slope of the side, dw/dx."""
        return self.side.slope(np.asarray(x, dtype=float))


def outline_of(numbers: BoardNumbers) -> Outline:
    """Return the outline through a board's widths.

    Raises
    ------
    UnfairError
        No fair outline passes through the widths.
    """
    start = numbers.tail.depth if numbers.tail.kind is TailKind.DIAMOND else 0.0
    marks = [m for m in numbers.outline if m.x > start + 1e-6]
    first = Point(start, numbers.outline[0].value / 2.0, "tail")
    points = (first, *(Point(m.x, m.value / 2.0, m.place) for m in marks))
    side, wide_at = outline(points, numbers.wide / 2.0, numbers.wide_at, (_tail_end(numbers.tail), None))
    return Outline(side, numbers.tail, wide_at, numbers.length)


def stray_widths(numbers: BoardNumbers) -> list[Problem]:
    """Return a problem for every width given on the point of a diamond tail, which is straight."""
    if numbers.tail.kind is not TailKind.DIAMOND:
        return []
    stray = [m for m in numbers.outline if 0.0 < m.x <= numbers.tail.depth + 1e-6]
    return [
        Problem(
            f"{numbers.name}, [outline] {mark.place}",
            said(
                "curve.stray-width",
                "lies on the point of the diamond tail, which runs straight from its corners to the tip.",
            ),
            said(
                "curve.stray-width.remedy",
                "Leave this width away, or make tail_depth shorter; tail is the width at the corners.",
            ),
        )
        for mark in stray
    ]


def _tail_end(tail: Tail) -> float | None:
    return {TailKind.PIN: POINTED, TailKind.ROUNDED_PIN: ROUNDED_PIN}.get(tail.kind)
