"""Drawings of two boards side by side as plain paths, in millimetres: side view, plan view.

Heights run downwards, as SVG has them. The board is drawn in its own frame and moved by one matrix, so a
page can move it along without asking for another path.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from foamwright.blank.blank import Blank
from foamwright.board.board import Board
from foamwright.lay.limits import Lay
from foamwright.shape.curves import Floats

POINTS = 97
MM = 1000.0
FAR = 600.0
"""Millimetres; beyond anything drawn."""


@dataclass(frozen=True, slots=True)
class SideView:
    """The blank from the side with the board in it.

    Attributes
    ----------
    length, top, height
        Of the view: x from 0 to `length`, y from `top` over `height`.
    blank, board
        Closed outlines, the board's in its own frame.
    deck_side, bottom_side
        In the board's frame: everything above its deck, and everything below its bottom.
    matrix
        Brings the board's frame into the blank's.
    """

    length: float
    top: float
    height: float
    blank: str
    board: str
    deck_side: str
    bottom_side: str
    matrix: str


def side_view(board: Board, blank: Blank, lay: Lay) -> SideView:
    """Return the side view of a board in a blank."""
    x = np.linspace(0.0, blank.length, POINTS)
    low, high = blank.bottom(x), blank.deck(x)
    at = _crowded(board.length)
    rocker, deck = board.rocker(at), board.deck_line(at)
    top, foot = -float(high.max()) * MM, -float(low.min()) * MM
    return SideView(
        length=blank.length * MM,
        top=top - 3.0,
        height=foot - top + 6.0,
        blank=closed(x, high, low),
        board=closed(at, deck, rocker),
        deck_side=closed(at, np.full_like(at, FAR / MM), deck),
        bottom_side=closed(at, rocker, np.full_like(at, -FAR / MM)),
        matrix=matrix_of(lay),
    )


def matrix_of(lay: Lay) -> str:
    """Return the SVG matrix of a lay: the board's frame into the blank's, heights downwards."""
    return f"matrix(1 {-lay.tilt:.6f} 0 1 {lay.slide * MM:.3f} {-lay.lift * MM:.3f})"


@dataclass(frozen=True, slots=True)
class PlanView:
    """The board from above and from the side, for the head of the page."""

    length: float
    width: float
    outline: str
    profile: str
    profile_top: float
    profile_height: float


def plan_view(board: Board) -> PlanView:
    """Return the views of a board alone."""
    x = _crowded(board.length)
    half = board.half_width(x)
    at = _crowded(board.length)
    rocker, deck = board.rocker(at), board.deck_line(at)
    top = -float(deck.max()) * MM
    return PlanView(
        length=board.length * MM,
        width=2.0 * float(half.max()) * MM,
        outline=closed(x, half, -half),
        profile=closed(at, deck, rocker),
        profile_top=top - 2.0,
        profile_height=-top + 4.0,
    )


def closed(x: Floats, there: Floats, back: Floats) -> str:
    """Return a closed path: along `x` at the heights `there`, and back at the heights `back`; metres."""
    across = np.concatenate([x, x[::-1]])
    return polyline(across, np.concatenate([there, back[::-1]])) + "Z"


def polyline(x: ArrayLike, height: ArrayLike) -> str:
    """Return an open path in millimetres through places in metres, heights upwards."""
    points = np.stack([np.asarray(x) * MM, -np.asarray(height) * MM], axis=1)
    return plain_path(points)


def plain_path(points: Floats) -> str:
    """Return an open path through (N, 2) points as they are, to a tenth."""
    return "M" + "L".join(f"{a:.1f} {b:.1f}" for a, b in points.tolist())


def _crowded(length: float) -> Floats:
    return np.asarray(0.5 * length * (1.0 - np.cos(np.linspace(0.0, np.pi, POINTS))))
