"""Rails: thick enough towards the tail, and not hard-edged too far forward."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.board.check_places import Places, grid, stretches
from foamwright.findings import Finding, Severity
from foamwright.shape.curves import Floats
from foamwright.units import INCH

INSET = INCH
"""A rail's thickness is felt this far in from its edge. Common practice, no source."""

THIN_RAIL = INCH / 2
"""Thinnest rail towards the tail, there. Common practice, no source."""

TAIL_STRETCH = (3 * INCH, 1 / 3)
"""Towards the tail: from 3 in off the tip (corners apart) to a third of the length. Our own choice."""

HARD = 5.0
"""Lower rail exponent from which an edge feels hard. Common practice, no source."""

NOSE_SHARE = 0.65
"""A hard edge forward of this share of the length catches. Common practice, no source."""


def rail_thickness(board: Board, x: Floats) -> Floats:
    """Return the foam (N,) `INSET` in from the edge at stations `x` (halfway in where that is nearer)."""
    half = np.maximum(board.half_width(x), 1e-9)
    share = np.maximum(1.0 - INSET / half, 0.5)[:, None]
    return np.asarray((board.deck_at(x, share) - board.bottom_at(x, share))[:, 0])


def check_rails(board: Board, places: Places) -> list[Finding]:
    """Return what is wrong with the rails."""
    return [*_thin(board, places), *_hard_nose(board, places)]


def _thin(board: Board, places: Places) -> list[Finding]:
    x = grid(board)
    x = x[(x >= TAIL_STRETCH[0]) & (x <= TAIL_STRETCH[1] * board.length)]
    thickness = rail_thickness(board, x)
    runs = stretches(x, thickness < THIN_RAIL)
    if not runs:
        return []
    worst = int(np.argmin(thickness))
    return [
        Finding(
            "rail-thin",
            Severity.WARNING,
            f"rails, {places.between(float(x[runs[0][0]]), float(x[runs[-1][1]]))}",
            float(thickness[worst]),
            THIN_RAIL,
            "m",
            f"Towards the tail the rails are down to {places.amount(float(thickness[worst]))} of foam, "
            f"{places.amount(INSET)} in from the edge at {places.at(float(x[worst]))}.",
            "Thicken the tail, or round the deck less there (a larger upper exponent).",
        )
    ]


def _hard_nose(board: Board, places: Places) -> list[Finding]:
    x = grid(board)
    x = x[(x >= NOSE_SHARE * board.length) & (x < board.length)]
    inverse = board.sections.lower(x)
    runs = stretches(x, inverse < 1.0 / HARD)
    if not runs:
        return []
    where = places.between(float(x[runs[0][0]]), float(x[runs[-1][1]]))
    hardest = float(np.min(inverse))
    return [
        Finding(
            "edge-hard-nose",
            Severity.WARNING,
            f"rails, {where}",
            1.0 / hardest if hardest > 0.0 else None,
            HARD,
            "1",
            f"The lower rail is hard from {where}: an edge so far forward catches.",
            f"Let the lower exponent fall under {HARD:g} forward of the middle.",
        )
    ]
