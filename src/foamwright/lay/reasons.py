"""What there is to say of a blank for a board: why it fails, or what to mind if it fits."""

from __future__ import annotations

from foamwright.blank.numbers import Face
from foamwright.findings import Finding, Severity
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
        where=f"blank {choice.id}" if short else words.place(failure.x, choice.board.length),
        measured=failure.missing,
        limit=0.0,
        unit="m",
        sentence=sentence,
        remedy=remedy,
    )


def _too_short(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    return (
        f"Too short by {words.amount(failure.missing)} for the board and the saw's margin of "
        f"{words.length(choice.bay.allowances.saw)} at both tips.",
        "Take a longer blank.",
    )


def _too_narrow(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    place, tail = words.place(failure.x, choice.board.length), words.length(failure.slide)
    return (
        f"Too narrow by {words.amount(failure.missing)} at {place}, wherever the board is slid; least with "
        f"its tail {tail} in from the blank's tail.",
        "Take a wider blank, or one whose outline is fuller there.",
    )


def _too_thin(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    return (
        f"Too thin by {words.amount(failure.missing)} at {words.place(failure.x, choice.board.length)}, "
        "wherever the board is slid and whatever the blank's rocker, with what must come off both faces.",
        "Take a thicker blank, or a thinner board.",
    )


def _hard_face(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    face = choice.numbers.hard_face or Face.DECK
    most, place = words.length(choice.numbers.hard_most), words.place(failure.x, choice.board.length)
    return (
        f"Only {most} may come off its hard {face.value} where the rider stands; the board needs "
        f"{words.amount(failure.missing)} more at {place}.",
        f"Take a blank whose {face.value} is nearer the board's, or a thinner one.",
    )


def _rocker(choice: Choice, failure: Failure, words: Words) -> tuple[str, str]:
    end = "nose" if failure.obstacle is Obstacle.NOSE_ROCKER else "tail"
    little = failure.sense is Sense.LITTLE
    amount = words.amount(failure.missing)
    return (
        f"{'Not enough' if little else 'Too much'} rocker in the {end} by {amount}: thick enough for the "
        f"board, but its {end} stands too {'low' if little else 'high'}.",
        f"Take a blank with {'more' if little else 'less'} {end} rocker, or a thicker one.",
    )


SAY = {
    Obstacle.SHORT: _too_short,
    Obstacle.NARROW: _too_narrow,
    Obstacle.THIN: _too_thin,
    Obstacle.HARD_FACE: _hard_face,
    Obstacle.NOSE_ROCKER: _rocker,
    Obstacle.TAIL_ROCKER: _rocker,
}


def _none_on_hand(choice: Choice) -> Finding:
    days = choice.numbers.lead_time_days
    wait = f"; it takes {days:.0f} days to come" if days > 0 else ""
    return Finding(
        code=NONE_ON_HAND,
        severity=Severity.NOTE,
        where=f"blank {choice.id}",
        measured=0.0,
        limit=1.0,
        unit="1",
        sentence=f"The board lies in it, but none is on hand{wait}.",
        remedy="Order it, or take one that is on hand.",
    )
