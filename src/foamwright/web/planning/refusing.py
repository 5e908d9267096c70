"""What a plan is refused for before it is made: a blank that is not in the stock, a slide that cannot be."""

from __future__ import annotations

from collections.abc import Sequence

from foamwright.errors import InputError, Problem
from foamwright.jobs.live_planning import Offer, choice_in, offer_called, slides_of
from foamwright.web.planning.asked import Asked, slide_problem
from foamwright.web.planning.draft import Draft
from foamwright.web.planning.scene import pair_of


def is_unknown(offers: Sequence[Offer], blank: str) -> bool:
    """Return whether a blank is named that is not in the stock: archived since, or never there."""
    return bool(blank) and offer_called(offers, blank) is None


def require_asked(draft: Draft, offers: Sequence[Offer], asked: Asked) -> None:
    """See that the blank is in the stock and the slide one that the board can lie at.

    Parameters
    ----------
    draft
        The board.
    offers
        The stock.
    asked
        Blank and slide.

    Raises
    ------
    InputError
        The numbers do not stand, or blank or slide cannot be; in the visitor's words.
    """
    if draft.checked is None:
        raise InputError(list(draft.problems))
    say = draft.reader.words.say
    if is_unknown(offers, asked.blank):
        raise InputError(
            Problem("", say("plan.blank.unknown", code=asked.blank), say("plan.blank.choose-another"))
        )
    pair = pair_of(draft, offers, asked)
    slides = slides_of(choice_in(pair)) if pair else None
    problem = slide_problem(asked, slides, draft.reader) if slides and slides[0] <= slides[1] else None
    if problem is not None:
        raise InputError(problem)
