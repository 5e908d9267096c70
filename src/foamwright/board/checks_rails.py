"""Rails: thick enough towards the tail, and not hard-edged too far forward."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.board.check_places import Places, grid, stretches
from foamwright.findings import Finding, Severity, said
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
    worst, ends = int(np.argmin(thickness)), (float(x[runs[0][0]]), float(x[runs[-1][1]]))
    return [
        Finding(
            "rail-thin",
            Severity.WARNING,
            said("where.rails", "rails, {place}", place=places.between(*ends)),
            float(thickness[worst]),
            THIN_RAIL,
            "m",
            said(
                "rail-thin",
                "Towards the tail the rails are down to {thickness} of foam, {inset} in from the edge "
                "at {place}.",
                thickness=places.amount(float(thickness[worst])),
                inset=places.amount(INSET),
                place=places.at(float(x[worst])),
            ),
            said(
                "rail-thin.remedy",
                "Thicken the tail, or round the deck less there (a larger upper exponent).",
            ),
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
            said("where.rails", "rails, {place}", place=where),
            1.0 / hardest if hardest > 0.0 else None,
            HARD,
            "1",
            said(
                "edge-hard-nose",
                "The lower rail is hard from {place}: an edge so far forward catches.",
                place=where,
            ),
            said(
                "edge-hard-nose.remedy",
                "Let the lower exponent fall under {limit} forward of the middle.",
                limit=f"{HARD:g}",
            ),
        )
    ]
