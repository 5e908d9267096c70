"""What each tail form does to the end of an outline: lines across it, corners, notches."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from foamwright.board.numbers import Tail, TailKind
from foamwright.shape.curves import Floats
from foamwright.shape.end_lines import Bowed, Crack, EndLine, Level, Scalloped, Slanted
from foamwright.shape.fillets import (
    Curve,
    Fillet,
    NoFilletError,
    corner_fillet,
    foot_fillet,
    mouth_fillet,
    point_fillet,
)
from foamwright.units import INCH

FOOT = 3 * INCH / 8
"""Radius at the foot of a swallow's crack: cloth and saw must turn there. Common practice, no source."""

FOOT_SHARE = 0.8
"""A crack narrower than the foot's circle gets a smaller one: this share of its mouth."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A half-width between two stations."""

    start: float
    stop: float
    at: Callable[[Floats], Floats]


@dataclass(frozen=True, slots=True)
class TailEnd:
    """The end of an outline.

    Attributes
    ----------
    start
        Where the foam begins: 0, or as far forward as rounded tips lie.
    outer
        Half-widths aft of the plain side, from the end forward.
    inner
        Outer edge of what a notch takes, per station; nothing where there is no stretch.
    core
        Half-width of the middle point that stands between two notches (a bat's).
    """

    start: float
    outer: tuple[Stretch, ...] = ()
    inner: tuple[Stretch, ...] = ()
    core: tuple[Stretch, ...] = ()

    @property
    def stop(self) -> float:
        """Station forward of which the tail changes nothing."""
        return max([s.stop for s in (*self.outer, *self.inner)], default=0.0)

    @property
    def foot(self) -> float:
        """Station of the foot of the notch; 0 where there is none."""
        return max([s.stop for s in self.inner], default=0.0)

    @property
    def kinks(self) -> tuple[float, ...]:
        """Stations at which the outline changes its formula, the start included."""
        ends = [x for s in (*self.outer, *self.inner, *self.core) for x in (s.start, s.stop)]
        return tuple(sorted({self.start, *ends}))

    def outside(self, x: Floats, side: Floats) -> Floats:
        """Return the outer half-width at `x`, where the plain side is `side`; 0 aft of the foam."""
        if not self.outer or not np.any(x < self.stop):
            return side
        return np.where(x < self.start, 0.0, _along(self.outer, x, side))

    def notched(self, x: Floats) -> Floats:
        """Return the outer edge of the notch at `x`; 0 where there is none."""
        return _along(self.inner, x, np.zeros_like(x))

    def middle(self, x: Floats) -> Floats:
        """Return the half-width of the middle point between two notches at `x`; 0 elsewhere."""
        return _along(self.core, x, np.zeros_like(x))


PLAIN = TailEnd(0.0)
"""A tail that is no more than the end of the side: pins and rounds."""


def _along(stretches: tuple[Stretch, ...], x: Floats, beyond: Floats) -> Floats:
    found = np.asarray(beyond, dtype=float)
    for part in stretches:
        inside = (x >= part.start) & (x < part.stop)
        if np.any(inside):
            found = np.where(inside, part.at(np.clip(x, part.start, part.stop)), found)
    return found


def side_start(tail: Tail) -> float:
    """Return the station of the corners, where the side of the outline ends."""
    return {TailKind.DIAMOND: tail.depth, TailKind.SQUASH: tail.bow}.get(tail.kind, 0.0)


def tail_end(tail: Tail, width: float, side: Curve, slope: Curve) -> TailEnd:
    """Return the end of an outline.

    Parameters
    ----------
    tail
        The form.
    width
        Full width at the corners, or from tip to tip.
    side, slope
        The side's half-width and its slope over stations.

    Raises
    ------
    NoFilletError
        The corners do not fit.
    """
    half = width / 2.0
    if tail.kind is TailKind.SWALLOW:
        return _swallow(tail, half, side, slope)
    line = end_line(tail, width)
    if line is None:
        return PLAIN
    if tail.corner_radius <= 0.0:
        return _sharp(tail, line, half)
    corner = corner_fillet(line, side, slope, half, tail.corner_radius)
    if isinstance(line, Scalloped):
        return _hollowed(line, corner)
    return _convex(tail, line, corner)


def end_line(tail: Tail, width: float) -> EndLine | None:
    """Return the line across a tail of that full width, before corners are rounded; ``None`` for a point."""
    half = width / 2.0
    match tail.kind:
        case TailKind.SQUARE | TailKind.SWALLOW:
            return Level() if tail.bow <= 0.0 else Bowed(half, tail.bow)
        case TailKind.SQUASH:
            return Bowed(half, tail.bow) if tail.bow > 0.0 else Level()
        case TailKind.DIAMOND:
            return Slanted(half, tail.depth)
        case TailKind.CRESCENT:
            return Scalloped(-half, half, tail.depth)
        case TailKind.BAT:
            return Scalloped(0.0, half, tail.depth, tail.point)
    return None


def _sharp(tail: Tail, line: EndLine, half: float) -> TailEnd:
    """The end with nothing rounded."""
    if not isinstance(line, Scalloped):
        return TailEnd(0.0, (Stretch(0.0, line.deepest, line.inverse),) if line.deepest > 0.0 else ())
    inner = (Stretch(0.0, line.deepest, line.inverse),)
    if tail.kind is not TailKind.BAT:
        return TailEnd(0.0, inner=inner)
    return TailEnd(0.0, inner=inner, core=(_middle(line, tail.point),))


def _middle(line: Scalloped, start: float) -> Stretch:
    return Stretch(start, line.deepest, lambda x: np.maximum(line.crossings(x)[0], 0.0))


def _convex(tail: Tail, line: EndLine, corner: Fillet) -> TailEnd:
    """Squares, squashes, diamonds: from the middle along the line, over the corner, to the side."""
    start, outer = 0.0, []
    if tail.kind is TailKind.DIAMOND:
        point = point_fillet(line, corner.y, tail.corner_radius)
        start = point.aftmost
        outer.append(Stretch(start, point.first, point.over))
    begun = outer[-1].stop if outer else 0.0
    if corner.first > begun:
        outer.append(Stretch(begun, corner.first, line.inverse))
    return TailEnd(start, (*outer, Stretch(corner.first, corner.last, corner.over)))


def _hollowed(line: Scalloped, corner: Fillet) -> TailEnd:
    """Crescents: rounded tips and the hollow between them."""
    tip = Stretch(corner.aftmost, corner.last, corner.over)
    inner = (
        Stretch(corner.aftmost, corner.first, corner.under),
        Stretch(corner.first, line.deepest, line.inverse),
    )
    return TailEnd(corner.aftmost, (tip,), inner)


def _swallow(tail: Tail, half: float, side: Curve, slope: Curve) -> TailEnd:
    crack = Crack(half - tail.tip_width, tail.depth, tail.crack_bow)
    if crack.mouth <= 0.0:
        raise NoFilletError("the tips leave no crack")
    foot = foot_fillet(crack, min(FOOT, FOOT_SHARE * crack.mouth))
    outer, inner = [], []
    if tail.corner_radius > 0.0:
        corner = corner_fillet(Level(), side, slope, half, tail.corner_radius)
        outer.append(Stretch(0.0, corner.last, corner.over))
        mouth = mouth_fillet(crack, tail.corner_radius)
        inner.append(Stretch(0.0, mouth.last, mouth.under))
    begun = inner[-1].stop if inner else 0.0
    inner += [Stretch(begun, foot.first, crack.at), Stretch(foot.first, foot.last, foot.over)]
    return TailEnd(0.0, tuple(outer), tuple(inner))
