"""Views of blank and board on a job sheet: which scale fits, and curves brought onto the paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.papers.drawing import Drawing, hatch, shape
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.style import Hatching, Pen
from foamwright.shape.curves import Floats

SCALES = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30)
"""Denominators of scales that a person can use with a plain rule."""

ENLARGED = (1, 2, 3, 4, 5, 6, 8, 10)
"""How many times heights may be enlarged over lengths."""

_CHORD = 0.01
_THIN = 0.02


@dataclass(frozen=True, slots=True)
class View:
    """A view of the board along its length.

    Attributes
    ----------
    left, base
        Where x = 0 and height 0 stand on the page, mm.
    denominator
        Of the scale along the board (8: 1:8).
    enlarged
        How many times heights are enlarged; negative: drawn bottom up.
    along
        1, or -1 where x runs to the left.
    """

    left: float
    base: float
    denominator: int
    enlarged: int = 1
    along: int = 1

    def x(self, metres: float) -> float:
        """Return where a station stands across the page, mm."""
        return self.left + self.along * metres * 1000.0 / self.denominator

    def y(self, metres: float) -> float:
        """Return where a height stands on the page, mm."""
        return self.base + self.enlarged * metres * 1000.0 / self.denominator

    def curve(self, x: Floats, z: Floats) -> Points:
        """Return a curve, metres, as points on the page, no more of them than it needs."""
        across = self.left + self.along * np.asarray(x) * 1000.0 / self.denominator
        up = self.base + self.enlarged * np.asarray(z) * 1000.0 / self.denominator
        return thinned_points(np.column_stack((across, up)), _CHORD)

    @property
    def scale(self) -> str:
        """The scale as it is written."""
        if abs(self.enlarged) == 1:
            return f"1:{self.denominator}"
        return f"1:{self.denominator}, heights × {abs(self.enlarged)}"


def scale_for(metres: float, room: float, *, choices: Sequence[int] = SCALES) -> int:
    """Return the largest scale's denominator at which a length takes no more than `room` mm."""
    fitting = (d for d in choices if metres * 1000.0 / d <= room)
    return next(fitting, choices[-1])


def enlargement_for(metres: float, denominator: int, room: float) -> int:
    """Return how many times a height may be enlarged to fit into `room` mm; at least once."""
    fitting = [e for e in ENLARGED if e * metres * 1000.0 / denominator <= room]
    return fitting[-1] if fitting else 1


def closed(view: View, x: Floats, low: Floats, high: Floats) -> Points:
    """Return the ring along `low` and back along `high`."""
    return points_of(np.vstack((view.curve(x, low), view.curve(x, high)[::-1])))


def solid(view: View, x: Floats, low: Floats, high: Floats, pen: Pen = Pen.OUTLINE) -> Drawing:
    """Return the closed profile between two curves."""
    return shape(closed(view, x, low, high), pen)


def removed(view: View, x: Floats, low: Floats, high: Floats, hatching: Hatching) -> Drawing:
    """Return hatching between two curves, where they part by more than a fiftieth of a millimetre."""
    gap = np.abs(np.asarray(high) - np.asarray(low)) * abs(view.enlarged) * 1000.0 / view.denominator
    if float(np.max(gap)) < _THIN:
        return Drawing()
    return hatch(hatching, closed(view, x, low, high))
