"""Bottom contours: not deeper than the board bears."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.board.check_places import Places, grid, stretches
from foamwright.findings import Finding, Severity, said
from foamwright.units import INCH

DEEP_CONCAVE = 5 * INCH / 16
"""Deepest usual concave. Common practice, no source."""

DEEP_SHARE = 1 / 3
"""Contours together as a share of the thickness there. Common practice, no source."""


def check_bottom(board: Board, places: Places) -> list[Finding]:
    """Return contours that are too deep."""
    return [*_deep_concave(board, places), *_deep_contours(board, places)]


def _deep_concave(board: Board, places: Places) -> list[Finding]:
    x = grid(board)
    depth = np.maximum(board.sections.concave(x), board.sections.double(x))
    runs = stretches(x, depth > DEEP_CONCAVE + 1e-6)
    if not runs:
        return []
    where = places.between(float(x[runs[0][0]]), float(x[runs[-1][1]]))
    deepest = float(np.max(depth))
    return [
        Finding(
            "concave-deep",
            Severity.WARNING,
            said("where.bottom", "bottom, {place}", place=where),
            deepest,
            DEEP_CONCAVE,
            "m",
            said(
                "concave-deep",
                "The concave is {depth} deep ({place}); over {limit} is rare, and is held back in the "
                "thickness until it is cut.",
                depth=places.amount(deepest),
                place=where,
                limit=places.amount(DEEP_CONCAVE),
            ),
            said(
                "concave-deep.remedy",
                "Make it {limit} or less, or be sure of it.",
                limit=places.amount(DEEP_CONCAVE),
            ),
        )
    ]


def _deep_contours(board: Board, places: Places) -> list[Finding]:
    """Return one finding where what vee, roll and concave take leaves too little board at the rail."""
    x, sections = grid(board), board.sections
    taken = sections.concave(x) + sections.double(x) + sections.vee(x) + sections.rolled(x)
    share = taken / board.thickness(x)
    runs = stretches(x, share > DEEP_SHARE)
    if not runs:
        return []
    where, worst = places.between(float(x[runs[0][0]]), float(x[runs[-1][1]])), int(np.argmax(share))
    return [
        Finding(
            "contour-deep",
            Severity.WARNING,
            said("where.bottom", "bottom, {place}", place=where),
            float(share[worst]),
            DEEP_SHARE,
            "1",
            said(
                "contour-deep",
                "Contours of {depth} are {share} of the thickness at {place}: too deep for the rail.",
                depth=places.amount(float(taken[worst])),
                share=f"{share[worst]:.0%}",
                place=places.at(float(x[worst])),
            ),
            said("contour-deep.remedy", "Make the contour shallower towards the tip, or the tip thicker."),
        )
    ]
