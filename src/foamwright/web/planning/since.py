"""What a board's changes come to: litres, minutes, money, against the version they are counted from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.jobs.live_planning import Offer, is_ranked, ranked
from foamwright.lay.choice import Choice
from foamwright.web.planning.ask import Ask
from foamwright.web.planning.draft import Draft
from foamwright.web.rendering import Reader


@dataclass(frozen=True, slots=True)
class Since:
    """What the changes come to, in words; an empty text where it cannot be said.

    Attributes
    ----------
    litres, minutes, money
        Each with its sign; ``=`` where it is the same.
    currency
        Of the money.
    blank, was_blank
        The blanks that the two are compared in: the same, or the best for each.
    """

    litres: str
    minutes: str = ""
    money: str = ""
    currency: str = ""
    blank: str = ""
    was_blank: str = ""


def since_of(draft: Draft, before: Draft, offers: Sequence[Offer], ask: Ask) -> Since | None:
    """Return what the changes come to; ``None`` where one of the two makes no board."""
    now, then = draft.checked, before.checked
    if now is None or then is None:
        return None
    litres = signed(1e3 * (now.volume - then.volume), 1, draft.reader)
    if not ask.whole and not are_ranked(draft, before, offers):
        return Since(litres)
    here, there = (_choice(one, offers, ask.blank) for one in (draft, before))
    if here is None or there is None:
        return Since(litres)
    same_money = here.numbers.currency == there.numbers.currency
    return Since(
        litres,
        signed(here.work_min - there.work_min, 0, draft.reader),
        signed(here.cost - there.cost, 2, draft.reader) if same_money else "",
        here.numbers.currency,
        here.id,
        there.id,
    )


def are_ranked(draft: Draft, before: Draft, offers: Sequence[Offer]) -> bool:
    """Return whether minutes and money can be said at once."""
    return all(is_ranked(one.wanted, offers) for one in (draft, before))


def signed(value: float, digits: int, reader: Reader) -> str:
    """Return a difference with its sign, ``=`` where it rounds to nothing."""
    text = f"{abs(value):.{digits}f}"
    if not any(sign in text for sign in "123456789"):
        return "="
    return reader.figure(("+" if value > 0 else "−") + text)


def _choice(draft: Draft, offers: Sequence[Offer], blank: str) -> Choice | None:
    """The blank asked for if the board lies in it, else the best one."""
    choices = [one for one in ranked(draft.wanted, offers).choices if one.fits]
    return next((one for one in choices if one.id == blank), choices[0] if choices else None)
