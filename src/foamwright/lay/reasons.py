"""What there is to say of a blank for a board: why it fails, or what to mind if it fits."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.findings import Finding, Severity, said
from foamwright.lay.choice import Choice
from foamwright.lay.failure import Failure, Obstacle, Sense, failures_of
from foamwright.lay.words import Words

NONE_ON_HAND = "lay-none-on-hand"


def reasons_for(choice: Choice, words: Words | None = None) -> tuple[Finding, ...]:
    """Return why a blank fails, with the amount that is missing, or what to mind where it fits.

    Parameters
    ----------
    choice
        A choice of a survey.
    words
        How lengths are said; inches to a sixteenth by default.

    Returns
    -------
    tuple of Finding
        ``stop`` for each thing in the way (`measured` is what is missing, metres, `limit` 0), a ``note`` for
        a blank that fits and is not on hand; empty for one that fits and is.
    """
    words = words or Words(fraction=choice.bay.tape.fraction)
    found = [_finding(choice, failure, words) for failure in failures_of(choice)]
    if choice.fits and choice.numbers.on_hand <= 0:
        found.append(_none_on_hand(choice))
    return tuple(found)


def _finding(choice: Choice, failure: Failure, words: Words) -> Finding:
    sentence, remedy = SAY[failure.obstacle](choice, failure, words)
    short = failure.obstacle is Obstacle.SHORT
    return Finding(
        code=failure.obstacle.value,
        severity=Severity.STOP,
        where=_blank(choice) if short else words.place(failure.x, choice.board.length),
        measured=failure.missing,
        limit=0.0,
        unit="m",
        sentence=sentence,
        remedy=remedy,
    )


def _blank(choice: Choice) -> str:
    return said("where.blank", "blank {name}", name=choice.id)


def _too_short(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    return (
        said(
            "lay-too-short",
            "Too short by {missing} for the board and the saw's margin of {saw} at both tips.",
            missing=words.amount(failure.missing),
            saw=words.length(choice.bay.allowances.saw),
        ),
        said("lay-too-short.remedy", "Take a longer blank."),
    )


def _too_narrow(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    return (
        said(
            "lay-too-narrow",
            "Too narrow by {missing} at {place}, wherever the board is slid; least with its tail {tail} in "
            "from the blank's tail.",
            missing=words.amount(failure.missing),
            place=words.place(failure.x, choice.board.length),
            tail=words.length(failure.slide),
        ),
        said("lay-too-narrow.remedy", "Take a wider blank, or one whose outline is fuller there."),
    )


def _too_thin(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    return (
        said(
            "lay-too-thin",
            "Too thin by {missing} at {place}, wherever the board is slid and whatever the blank's rocker, "
            "with what must come off both faces.",
            missing=words.amount(failure.missing),
            place=words.place(failure.x, choice.board.length),
        ),
        said("lay-too-thin.remedy", "Take a thicker blank, or a thinner board."),
    )


def _hard_face(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    face = choice.numbers.hard_face or Face.DECK
    return (
        said(
            *HARD[face],
            most=words.length(choice.numbers.hard_most),
            missing=words.amount(failure.missing),
            place=words.place(failure.x, choice.board.length),
        ),
        said(*HARD_REMEDY[face]),
    )


def _rocker(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    case = failure.obstacle, failure.sense or Sense.MUCH
    return said(*ROCKER[case], missing=words.amount(failure.missing)), said(*ROCKER_REMEDY[case])


HARD = {
    Face.DECK: (
        "lay-hard-face.deck",
        "Only {most} may come off its hard deck where the rider stands; the board needs {missing} more at "
        "{place}.",
    ),
    Face.BOTTOM: (
        "lay-hard-face.bottom",
        "Only {most} may come off its hard bottom where the rider stands; the board needs {missing} more at "
        "{place}.",
    ),
}
HARD_REMEDY = {
    Face.DECK: (
        "lay-hard-face.deck.remedy",
        "Take a blank whose deck is nearer the board's, or a thinner one.",
    ),
    Face.BOTTOM: (
        "lay-hard-face.bottom.remedy",
        "Take a blank whose bottom is nearer the board's, or a thinner one.",
    ),
}
ROCKER = {
    (Obstacle.NOSE_ROCKER, Sense.LITTLE): (
        "lay-rocker-nose.little",
        "Not enough rocker in the nose by {missing}: thick enough for the board, but its nose stands "
        "too low.",
    ),
    (Obstacle.NOSE_ROCKER, Sense.MUCH): (
        "lay-rocker-nose.much",
        "Too much rocker in the nose by {missing}: thick enough for the board, but its nose stands too high.",
    ),
    (Obstacle.TAIL_ROCKER, Sense.LITTLE): (
        "lay-rocker-tail.little",
        "Not enough rocker in the tail by {missing}: thick enough for the board, but its tail stands "
        "too low.",
    ),
    (Obstacle.TAIL_ROCKER, Sense.MUCH): (
        "lay-rocker-tail.much",
        "Too much rocker in the tail by {missing}: thick enough for the board, but its tail stands too high.",
    ),
}
ROCKER_REMEDY = {
    (Obstacle.NOSE_ROCKER, Sense.LITTLE): (
        "lay-rocker-nose.little.remedy",
        "Take a blank with more nose rocker, or a thicker one.",
    ),
    (Obstacle.NOSE_ROCKER, Sense.MUCH): (
        "lay-rocker-nose.much.remedy",
        "Take a blank with less nose rocker, or a thicker one.",
    ),
    (Obstacle.TAIL_ROCKER, Sense.LITTLE): (
        "lay-rocker-tail.little.remedy",
        "Take a blank with more tail rocker, or a thicker one.",
    ),
    (Obstacle.TAIL_ROCKER, Sense.MUCH): (
        "lay-rocker-tail.much.remedy",
        "Take a blank with less tail rocker, or a thicker one.",
    ),
}
"""Wordings by what is in the way: every one a whole sentence, because other languages bend the parts."""

SAY = {
    Obstacle.SHORT: _too_short,
    Obstacle.NARROW: _too_narrow,
    Obstacle.THIN: _too_thin,
    Obstacle.HARD_FACE: _hard_face,
    Obstacle.NOSE_ROCKER: _rocker,
    Obstacle.TAIL_ROCKER: _rocker,
}


NONE = ("lay-none-on-hand", "The board lies in it, but none is on hand.")
NONE_BUT = (
    "lay-none-on-hand.days",
    "The board lies in it, but none is on hand; it takes {days} days to come.",
)


def _none_on_hand(choice: Choice) -> Finding:
    days = choice.numbers.lead_time_days
    return Finding(
        code=NONE_ON_HAND,
        severity=Severity.NOTE,
        where=_blank(choice),
        measured=0.0,
        limit=1.0,
        unit="1",
        sentence=said(*NONE_BUT, days=f"{days:.0f}") if days > 0 else said(*NONE),
        remedy=said("lay-none-on-hand.remedy", "Order it, or take one that is on hand."),
    )
