"""Rocker: too little, too much, and where it sits."""

from __future__ import annotations

from foamwright.board.board import Board
from foamwright.board.check_places import TIP, Places
from foamwright.findings import Finding, Severity, said
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


EXCESS = {
    "nose": ("rocker-excess.nose", "{rocker} of nose rocker is more than {most}: it pushes water."),
    "tail": ("rocker-excess.tail", "{rocker} of tail rocker is more than {most}: it pushes water."),
}


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
        said(*TIP[end]),
        rocker,
        most,
        "m",
        said(*EXCESS[end], rocker=places.amount(rocker), most=places.amount(most)),
        said(
            "rocker-excess.remedy",
            "Check the number; rocker is measured from the level line at the apex, not from a straight edge "
            "end to end.",
        ),
    )


def _low(nose: float, places: Places) -> Finding | None:
    if nose >= LOW_NOSE:
        return None
    return Finding(
        "rocker-low",
        Severity.NOTE,
        said(*TIP["nose"]),
        nose,
        LOW_NOSE,
        "m",
        said(
            "rocker-low",
            "The nose has {rocker} of rocker; under {least} it goes under easily on a steep wave.",
            rocker=places.amount(nose),
            least=places.amount(LOW_NOSE),
        ),
        said("rocker-low.remedy", "Give the nose more rocker, unless the board is for flat waves only."),
    )


def _flat(tail: float, places: Places) -> Finding | None:
    if tail >= FLAT_TAIL:
        return None
    return Finding(
        "rocker-flat",
        Severity.NOTE,
        said(*TIP["tail"]),
        tail,
        FLAT_TAIL,
        "m",
        said(
            "rocker-flat",
            "The tail has {rocker} of rocker; under {least} it is fast and hard to turn.",
            rocker=places.amount(tail),
            least=places.amount(FLAT_TAIL),
        ),
        said("rocker-flat.remedy", "Give the tail more rocker if the board should turn from it."),
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
        said(
            "rocker-sudden",
            "{share} of the nose rocker comes in the last {last}: the nose has no reserve before it, and few "
            "blanks bend so late.",
            share=f"{share:.0%}",
            last=places.amount(LAST),
        ),
        said(
            "rocker-sudden.remedy",
            "Raise the rocker {last} from the nose, or lower it at the tip.",
            last=places.amount(LAST),
        ),
    )
