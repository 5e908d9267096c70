"""The board in the blank, from the side and from above, in the blank's frame."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.papers.drawing import Drawing, Text, drawing_of, hatch, line, shape
from foamwright.papers.drawing_box import Points, points_of
from foamwright.papers.drawing_points import thinned_points
from foamwright.papers.job_base import Job
from foamwright.papers.job_views import View, closed, removed, solid
from foamwright.papers.plan_shapes import outline_points
from foamwright.papers.style import Anchor, Face, Hatching, Lettering, Pen
from foamwright.shape.curves import Floats

_POINTS = 401


@dataclass(frozen=True, eq=False)
class Laid:
    """The curves of blank and board from the side, metres, in the blank's frame.

    Attributes
    ----------
    x, bottom, deck
        The blank.
    at, low, high
        The finished board's stations, its bottom before the contours, its deck.
    """

    x: Floats
    bottom: Floats
    deck: Floats
    at: Floats
    low: Floats
    high: Floats


def laid(job: Job) -> Laid:
    """Return the curves of a job."""
    plan, blank = job.plan, job.plan.blank
    x = np.linspace(0.0, blank.length, _POINTS)
    along = np.linspace(0.0, plan.board.length, _POINTS)
    rise = job.rise(along)
    low, high = plan.board.pre_contour(along) + rise, plan.board.deck_line(along) + rise
    return Laid(x, blank.bottom(x), blank.deck(x), along + plan.lay.slide, low, high)


def side_view(view: View, curves: Laid) -> Drawing:
    """Return the blank with the board in it; what leaves each face between them is hatched its own way."""
    under = np.interp(curves.at, curves.x, curves.bottom)
    over = np.interp(curves.at, curves.x, curves.deck)
    return drawing_of(
        [
            removed(view, curves.at, under, curves.low, Hatching.BOTTOM),
            removed(view, curves.at, curves.high, over, Hatching.DECK),
            solid(view, curves.x, curves.bottom, curves.deck, Pen.CUT),
            solid(view, curves.at, curves.low, curves.high, Pen.OUTLINE),
        ]
    )


def plan_view(job: Job, view: View) -> Drawing:
    """Return blank and board from above, the nose at the right: the offcut hatched, the saw's line dashed."""
    blank, board = blank_outline(job, view), board_outline(job, view)
    saw = saw_outline(job, view)
    return drawing_of(
        [
            hatch(Hatching.SIDE, blank, saw),
            shape(blank, Pen.CUT),
            shape(saw, Pen.TRIM),
            shape(board, Pen.OUTLINE),
            line(
                [(view.x(0.0) - 3.0, view.base), (view.x(job.plan.blank.length) + 3.0, view.base)], Pen.LEVEL
            ),
        ]
    )


def blank_outline(job: Job, view: View) -> Points:
    """Return the blank's outline as a ring on the page."""
    x = np.linspace(0.0, job.plan.blank.length, _POINTS)
    half = job.plan.blank.half_width(x)
    return closed(view, x, -half, half)


def board_outline(job: Job, view: View) -> Points:
    """Return the finished outline as a ring on the page."""
    return _both_sides(view, outline_points(job.plan.board), job.plan.lay.slide)


def saw_outline(job: Job, view: View) -> Points:
    """Return the saw's line: outside the outline by the bay's margin, as a ring on the page."""
    return _both_sides(
        view, _outside(outline_points(job.plan.board), job.plan.bay.allowances.saw), job.plan.lay.slide
    )


def _both_sides(view: View, half: Points, slide: float) -> Points:
    ring = np.vstack((half, half[::-1] * np.array([1.0, -1.0])))
    return thinned_points(view.curve(ring[:, 0] + slide, ring[:, 1]))


def _outside(half: Points, margin: float) -> Points:
    """A half outline grown by `margin`: every point moved out along the normal of the line there."""
    along = np.gradient(half, axis=0)
    size = np.maximum(np.hypot(along[:, 0], along[:, 1]), 1e-12)
    normal = np.stack([-along[:, 1], along[:, 0]], axis=1) / size[:, None]
    grown = half + margin * normal
    ends = np.array([[half[:, 0].min() - margin, 0.0], [half[:, 0].max() + margin, 0.0]])
    return points_of(np.vstack((ends[:1], np.maximum(grown, [-1.0, 0.0]), ends[1:])))


def note(at: tuple[float, float], words: str, anchor: Anchor = Anchor.LEFT) -> Drawing:
    """Return a short label on a view."""
    return Drawing((Text(at, words, Lettering.LABEL, Face.LABEL, anchor),))
