"""Rails and deck: thick enough, tuck and roll no wider than the board bears, no hard edge too far forward."""

from __future__ import annotations

import numpy as np

from foamwright.board.board import Board
from foamwright.board.check_places import Places, grid, stretches
from foamwright.board.sections import MOST_TUCK
from foamwright.findings import Finding, Severity, said
from foamwright.shape.curves import Floats
from foamwright.units import INCH

INSET = INCH
"""A rail's thickness is felt this far in from its edge. Common practice, no source."""

THIN_RAIL = INCH / 2
"""Thinnest rail towards the tail, there. Common practice, no source."""

TAIL_STRETCH = (3 * INCH, 1 / 3)
"""Towards the tail: from 3 in off the tip (corners apart) to a third of the length. Our own choice."""

HARD = 0.8
"""Share of its rise that a hard edge's side takes at once. Common practice, no source."""

TIPS = 3 * INCH
"""Within so much of a tip the width itself goes to nothing."""

NOSE_SHARE = 0.65
"""A hard edge forward of this share of the length catches. Common practice, no source."""


def rail_thickness(board: Board, x: Floats) -> Floats:
    """Return the foam (N,) `INSET` in from the edge at stations `x` (halfway in where that is nearer)."""
    half = np.maximum(board.half_width(x), 1e-9)
    share = np.maximum(1.0 - INSET / half, 0.5)[:, None]
    return np.asarray((board.deck_at(x, share) - board.bottom_at(x, share))[:, 0])


def check_rails(board: Board, places: Places) -> list[Finding]:
    """Return what is wrong with the rails."""
    return [
        *_thin(board, places),
        *_hard_nose(board, places),
        *_wide_tuck(board, places),
        *_steep_deck(board, places),
    ]


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
                "Thicken the tail, or give the deck less crown or roll there.",
            ),
        )
    ]


def _hard_nose(board: Board, places: Places) -> list[Finding]:
    x = grid(board)
    x = x[(x >= NOSE_SHARE * board.length) & (x < board.length)]
    steep = board.sections.edges(x)
    runs = stretches(x, steep > HARD)
    if not runs:
        return []
    where = places.between(float(x[runs[0][0]]), float(x[runs[-1][1]]))
    return [
        Finding(
            "edge-hard-nose",
            Severity.WARNING,
            said("where.rails", "rails, {place}", place=where),
            float(np.max(steep)),
            HARD,
            "1",
            said(
                "edge-hard-nose",
                "The lower rail is hard from {place}: an edge so far forward catches.",
                place=where,
            ),
            said(
                "edge-hard-nose.remedy", "Make the edge soft there; it begins 8 in before the next station."
            ),
        )
    ]


def _wide_tuck(board: Board, places: Places) -> list[Finding]:
    """Return a finding for each station, tips apart, whose tuck is more than the width bears."""
    found = []
    for mark in board.numbers.rails:
        if not TIPS <= mark.x <= board.length - TIPS:
            continue
        most = MOST_TUCK * float(board.sections.foam(np.array([mark.x]))[0])
        if mark.tuck > most + 1e-6:
            found.append(
                Finding(
                    "tuck-wide",
                    Severity.WARNING,
                    said("where.rails", "rails, {place}", place=places.at(mark.x)),
                    mark.tuck,
                    most,
                    "m",
                    said(
                        "tuck-wide",
                        "A tuck of {tuck} at {place} is more than {share} of the half-width; {most} is used.",
                        tuck=places.amount(mark.tuck),
                        place=places.at(mark.x),
                        share=f"{MOST_TUCK:.0%}",
                        most=places.amount(most),
                    ),
                    said("tuck-wide.remedy", "Make the tuck {most} or less there.", most=places.amount(most)),
                )
            )
    return found


def _steep_deck(board: Board, places: Places) -> list[Finding]:
    """Return a finding where the crown falls so steeply that the roll cannot go on with its slope."""
    x = grid(board)
    x = x[(x >= TIPS) & (x <= board.length - TIPS)]
    numbers = board.section_numbers(x)
    inner = np.maximum(numbers.half - numbers.roll, 1e-9)
    over = (2.0 * numbers.crown / inner * numbers.roll - numbers.top)[:, 0]
    runs = stretches(x, over > 1e-6)
    if not runs:
        return []
    worst = int(np.argmax(over))
    where = places.between(float(x[runs[0][0]]), float(x[runs[-1][1]]))
    return [
        Finding(
            "deck-steep",
            Severity.WARNING,
            said("where.rails", "rails, {place}", place=where),
            float(over[worst]),
            0.0,
            "m",
            said(
                "deck-steep",
                "The crown is so round that the roll would pass below the apex by {over} ({place}); the deck "
                "has a crease there.",
                over=places.amount(float(over[worst])),
                place=where,
            ),
            said(
                "deck-steep.remedy", "Give the deck less crown or a narrower roll, or the rail a lower apex."
            ),
        )
    ]
