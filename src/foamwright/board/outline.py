"""The outline of a board: the fair side, its wings, and what the tail form does to its end."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from foamwright.board.numbers import BoardNumbers, Tail, TailKind
from foamwright.board.tail_ends import PLAIN, TailEnd, side_start, tail_end
from foamwright.board.wings import Wings
from foamwright.errors import Problem
from foamwright.findings import said
from foamwright.shape.curves import Floats
from foamwright.shape.fade import fade
from foamwright.shape.fillets import NoFilletError
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
        The fair curve of the side without wings, from the corners of the tail to the nose tip.
    wings
        What wings change of it.
    tail
        The tail form.
    end
        What the tail form makes of the outline's end: everything aft of ``corner``.
    wide_at
        Station of the widest point.
    length
        Tail tip to nose tip.
    """

    side: StretchedCurve
    wings: Wings
    tail: Tail
    end: TailEnd
    wide_at: float
    length: float

    @property
    def corner(self) -> float:
        """Station forward of which the tail form changes nothing."""
        return self.end.stop

    @property
    def start(self) -> float:
        """Station at which the foam begins: 0, but for tips that are rounded."""
        return self.end.start

    @property
    def foot(self) -> float:
        """Station of the foot of the notch; 0 where there is none."""
        return self.end.foot

    @property
    def spine(self) -> float:
        """Station where the foam at the stringer begins: a notch's foot, a bat's middle point, or the tip."""
        return self.tail.point if self.end.core else max(self.foot, self.start)

    @property
    def rounding(self) -> float:
        """Radius of the corners; 0 where they are sharp or there are none."""
        return self.tail.corner_radius

    @cached_property
    def panels(self) -> tuple[float, ...]:
        """Stations of kinks in the outline, ends included."""
        faded = (self.foot + self.tail.depth,) if self.end.core else ()
        inner = {x for x in (*self.end.kinks, *self.wings.kinks, *faded) if self.start < x < self.length}
        return (self.start, *sorted(inner), self.length)

    def half_width(self, x: Floats) -> Floats:
        """Return the outer half-width at stations `x` from the tail tip (0 off the board)."""
        at = np.asarray(x, dtype=float)
        side = self.end.outside(at, self.drawn(at))
        inside = (at >= self.start) & (at <= self.length)
        return np.where(inside, np.maximum(side, 0.0), 0.0)

    def drawn(self, x: Floats) -> Floats:
        """Return the half-width of the side with its wings, as if it ended at the corners."""
        side = self.side(np.maximum(x, self.side.start))
        return side + self.wings(x) if self.wings.wings else side

    def inner(self, x: Floats) -> Floats:
        """Return the outer edge of the tail's notch at `x`; 0 where there is none."""
        return self.end.notched(np.asarray(x, dtype=float))

    def core(self, x: Floats) -> Floats:
        """Return the half-width of a bat's middle point between its notches at `x`; 0 elsewhere."""
        return self.end.middle(np.asarray(x, dtype=float))

    def parted(self, x: Floats) -> Floats:
        """Return the notch as rails feel it: its outer edge, fading out forward of a bat's foot.

        The two notches of a bat end away from the stringer; rails must not jump where they do.
        """
        at = np.asarray(x, dtype=float)
        inner, foot = self.inner(at), self.foot
        if not self.end.core:
            return inner
        last = float(self.inner(np.array([np.nextafter(foot, 0.0)]))[0])
        return np.where(at < foot, inner, last * (1.0 - fade((at - foot) / self.tail.depth)))

    def slope(self, x: Floats) -> Floats:
        """Return the slope of the side, dw/dx."""
        at = np.asarray(x, dtype=float)
        return self.side.slope(at) + self.wings.slope(at)


def outline_of(numbers: BoardNumbers) -> Outline:
    """Return the outline through a board's widths.

    Raises
    ------
    UnfairError
        No fair outline passes through the widths.
    """
    start, wings = side_start(numbers.tail), Wings(numbers.wings)
    marks = [m for m in numbers.outline if m.x > start + 1e-6]
    first = Point(start, numbers.outline[0].value / 2.0, "tail")
    points = (first, *(Point(m.x, m.value / 2.0 - _taken(wings, m.x), m.place) for m in marks))
    widest = numbers.wide / 2.0
    if numbers.wide_at is not None:
        widest -= _taken(wings, numbers.wide_at)
    side, wide_at = outline(points, widest, numbers.wide_at, (_tail_end(numbers.tail), None))
    drawn = Outline(side, wings, numbers.tail, PLAIN, wide_at, numbers.length)
    return Outline(side, wings, numbers.tail, _ended(drawn, numbers), wide_at, numbers.length)


def _taken(wings: Wings, x: float) -> float:
    """What wings change of the half-width at a station: a tape reads it with them, the fair side has none."""
    return float(wings(np.array(x)))


def _ended(drawn: Outline, numbers: BoardNumbers) -> TailEnd:
    """The tail's end; corners that do not fit (the sheet's own checks note them) are left sharp."""
    for tail in (numbers.tail, replace(numbers.tail, corner_radius=0.0)):
        try:
            return tail_end(tail, numbers.outline[0].value, drawn.drawn, drawn.slope)
        except NoFilletError:
            continue
    return PLAIN


def stray_widths(numbers: BoardNumbers) -> list[Problem]:
    """Return a problem for every width given aft of the corners of a tail, where its own line runs."""
    start = side_start(numbers.tail)
    stray = [m for m in numbers.outline if 0.0 < m.x <= start + 1e-6]
    key = "tail_depth" if numbers.tail.kind is TailKind.DIAMOND else "tail_bow"
    return [
        Problem(
            f"{numbers.name}, [outline] {mark.place}",
            said(
                "curve.stray-width",
                "lies aft of the corners of the {kind} tail, on the line that its form draws to the tip.",
                kind=str(numbers.tail.kind),
            ),
            said(
                "curve.stray-width.remedy",
                "Leave this width away, or make {key} shorter; tail is the width at the corners.",
                key=key,
            ),
        )
        for mark in stray
    ]


def _tail_end(tail: Tail) -> float | None:
    return {TailKind.PIN: POINTED, TailKind.ROUNDED_PIN: ROUNDED_PIN}.get(tail.kind)
