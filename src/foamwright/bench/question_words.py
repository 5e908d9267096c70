"""Why readings are questioned, in words: each wording with the key that other languages know it by."""

from __future__ import annotations

from collections.abc import Mapping

from foamwright.bench.readings import Measured

BELOW_ZERO = ("question.below-zero", "A length below zero cannot be measured.")
SPACER = (
    "question.below-zero.spacer",
    "A length below zero cannot be measured: the spacer is higher than the reading.",
)
OUTSIDE = (
    "question.outside",
    "Outside the blank: it was only {had} there. Look at the station and the tape again.",
)
SQUARED_EDGE = (
    "question.squared-edge",
    "The squared edge is cut away with the rails; measure at the stringer with calipers.",
)
AS_SIXTEENTHS = (
    "question.as-sixteenths",
    "Likely inches and sixteenths mixed up: as sixteenths it would be as expected.",
)
AS_INCHES = (
    "question.as-inches",
    "Likely inches and sixteenths mixed up: as whole inches it would be as expected.",
)
OTHER_TIP = (
    "question.other-tip",
    "Likely the tips confused: the same distance from the other tip it would be as expected.",
)
TENFOLD = (
    "question.tenfold",
    "Likely a digit dropped or doubled: ten times that, or a tenth, would be as expected.",
)
DROPPED = (
    "question.dropped",
    "Likely a digit dropped: with whole inches before it, it would be as expected.",
)
WRONG_WAY_ROUND = (
    "question.wrong-way-round",
    "Likely the stick lay the wrong way round: turned, it would be as expected. "
    "Lay it with its tip at the tip.",
)
GROWN = (
    "question.grown",
    "Foam does not grow: about {expected} was expected. Measure again; twice the same is believed.",
)
GONE = (
    "question.gone",
    "More is gone than the strokes told could take: about {expected} was expected. "
    "Measure again; twice the same is believed.",
)

OFF_THE_BOARD = (
    "question.off-the-board",
    "The board is shorter than that. Look at the station again.",
)
BEYOND: Mapping[str, tuple[str, str]] = {
    Measured.ROCKER: (
        "question.beyond.rocker",
        "A rocker of {value} is beyond any board. Read the tape again.",
    ),
    Measured.THICKNESS: (
        "question.beyond.thickness",
        "A thickness of {value} is beyond any board. Read the tape again.",
    ),
    Measured.WIDTH: (
        "question.beyond.width",
        "A width of {value} is beyond any board. Read the tape again.",
    ),
}
TOO_THICK = (
    "question.too-thick",
    "The blank was only {had} thick there. Read the caliper and the station again.",
)
GROWN_SINCE = (
    "question.grown-since",
    "It was {before} there before, and foam does not grow. Read it again.",
)

QUESTIONS: Mapping[str, str] = dict(
    (
        *(BELOW_ZERO, SPACER, OUTSIDE, SQUARED_EDGE, AS_SIXTEENTHS, AS_INCHES, OTHER_TIP, TENFOLD, DROPPED),
        *(WRONG_WAY_ROUND, GROWN, GONE, OFF_THE_BOARD, *BEYOND.values(), TOO_THICK, GROWN_SINCE),
    )
)
"""Every wording by its key: a reason is kept as plain text, and known again by its wording."""
