"""Rocker: too little, too much, and where it sits."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import Places
from foamwright.findings import Finding, Severity
from foamwright.units import INCH

LOW_NOSE = 2.75 * INCH
"""A nose with less rocker goes under easily on a steep wave. Common practice, no source."""

MOST_NOSE, MOST_TAIL = 6.75 * INCH, 3.5 * INCH
"""More rocker than this pushes water. Common practice, no source."""

FLAT_TAIL = 0.75 * INCH
"""A tail with less rocker is hard to turn. Common practice, no source."""

LAST = 12 * INCH
"""The stretch before the tip in which a rocker may be too sudden."""

SUDDEN = 0.75
"""Share of the nose rocker that may lie in the last stretch. Common practice, no source."""


def check_rocker(board: Board, places: Places) -> list[Finding]:
    """Return what is unusual in the rocker."""
    nose, tail = float(board.rocker(board.length)), float(board.rocker(0.0))
    found = [_excess("nose", nose, MOST_NOSE, places), _excess("tail", tail, MOST_TAIL, places)]
    found += [_low(nose, places), _flat(tail, places), _sudden(board, nose, places)]
    return [finding for finding in found if finding is not None]


def _excess(end: str, rocker: float, most: float, places: Places) -> Finding | None:
    if rocker <= most:
        return None
    return Finding(
        "rocker-excess",
        Severity.WARNING,
        f"{end} tip",
        rocker,
        most,
        "m",
        f"{places.amount(rocker)} of {end} rocker is more than {places.amount(most)}: it pushes water.",
        "Check the number; rocker is measured from the level line at the apex, not from a straight edge end "
        "to end.",
    )


def _low(nose: float, places: Places) -> Finding | None:
    if nose >= LOW_NOSE:
        return None
    return Finding(
        "rocker-low",
        Severity.NOTE,
        "nose tip",
        nose,
        LOW_NOSE,
        "m",
        f"The nose has {places.amount(nose)} of rocker; under {places.amount(LOW_NOSE)} it goes under easily "
        "on a steep wave.",
        "Give the nose more rocker, unless the board is for flat waves only.",
    )


def _flat(tail: float, places: Places) -> Finding | None:
    if tail >= FLAT_TAIL:
        return None
    return Finding(
        "rocker-flat",
        Severity.NOTE,
        "tail tip",
        tail,
        FLAT_TAIL,
        "m",
        f"The tail has {places.amount(tail)} of rocker; under {places.amount(FLAT_TAIL)} it is fast and hard "
        "to turn.",
        "Give the tail more rocker if the board should turn from it.",
    )


def _sudden(board: Board, nose: float, places: Places) -> Finding | None:
    share = 1.0 - float(board.rocker(board.length - LAST)) / nose if nose > 0.0 else 0.0
    if share <= SUDDEN:
        return None
    return Finding(
        "rocker-sudden",
        Severity.WARNING,
        places.between(board.length - LAST, board.length),
        share,
        SUDDEN,
        "1",
        f"{share:.0%} of the nose rocker comes in the last {places.amount(LAST)}: the nose has no reserve "
        "before it, and few blanks bend so late.",
        f"Raise the rocker {places.amount(LAST)} from the nose, or lower it at the tip.",
    )
