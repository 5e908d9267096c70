"""The stock as a ranked list: each blank with its money, minutes and one sentence why, or why it fails."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foamwright.findings import Finding
from foamwright.lay.choice import Choice
from foamwright.lay.reasons import reasons_for
from foamwright.lay.survey import Survey
from foamwright.lay.words import Words
from foamwright.papers.job_words import figures_of
from foamwright.units import format_with_unit
from foamwright.web.rendering import Reader

SAME_MINUTES = 1.5
"""Minutes by which two blanks must differ in a part before the part is worth a word."""


@dataclass(frozen=True, slots=True)
class RankedBlank:
    """A blank in the list.

    Attributes
    ----------
    code, length, foam
        Which blank.
    fits, on_hand
        Whether the board lies in it, and how many there are.
    minutes, litres, wasted, price, cost, currency
        The work, foam planed off, length sawn off, its price, and price and work together.
    why
        One sentence: what makes it better or worse than the one with the least work.
    reasons
        Why it fails, or what to mind.
    """

    code: str
    length: str
    fits: bool
    on_hand: int
    minutes: str
    litres: str
    price: str
    cost: str
    currency: str
    wasted: str
    why: str
    reasons: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class Ranking:
    """The stock: blanks that can be taken, those that fit and are not on hand, those that fail."""

    ready: tuple[RankedBlank, ...]
    absent: tuple[RankedBlank, ...]
    failing: tuple[RankedBlank, ...]

    @property
    def best(self) -> str | None:
        """The name of the first blank that fits."""
        first = next(iter((*self.ready, *self.absent)), None)
        return None if first is None else first.code

    @property
    def all(self) -> tuple[RankedBlank, ...]:
        """All of them, in the order shown."""
        return (*self.ready, *self.absent, *self.failing)


def ranking_of(survey: Survey, reader: Reader, by_work: bool = False) -> Ranking:
    """Return a survey as a ranked list in a visitor's words.

    Parameters
    ----------
    survey
        Every blank, best first by money.
    reader
        How the visitor reads.
    by_work
        Whether the least work comes first instead.
    """
    fitting = [one for one in survey.choices if one.fits]
    ready = [one for one in fitting if one.numbers.on_hand > 0]
    absent = [one for one in fitting if one.numbers.on_hand <= 0]
    if by_work:
        ready, absent = (sorted(some, key=lambda one: one.work_min) for some in (ready, absent))
    failing = [one for one in survey.choices if not one.fits]
    return Ranking(
        *(tuple(_ranked(one, fitting, reader) for one in some) for some in (ready, absent, failing))
    )


def _ranked(choice: Choice, fitting: Sequence[Choice], reader: Reader) -> RankedBlank:
    numbers, words = choice.numbers, Words(reader.lengths, choice.bay.tape.fraction)
    fits = choice.fits
    return RankedBlank(
        code=choice.id,
        length=figures_of(choice.bay, reader.lengths).board_length(numbers.length),
        fits=fits,
        on_hand=numbers.on_hand,
        minutes=f"{choice.work_min:.0f}" if fits else "",
        litres=f"{choice.foam_off.planed:.1f}" if fits else "",
        price=f"{numbers.price:.2f}".removesuffix(".00"),
        cost=f"{choice.cost:.0f}" if fits else "",
        currency=numbers.currency,
        wasted=format_with_unit(choice.wasted, reader.lengths, 2) if fits else "",
        why=_why(choice, fitting, reader) if fits else "",
        reasons=reasons_for(choice, words),
    )


def _why(choice: Choice, fitting: Sequence[Choice], reader: Reader) -> str:
    """What sets a blank apart from the one with the least work: the part of the work that differs most."""
    say = reader.words.say
    least = min(fitting, key=lambda one: one.work_min)
    if choice is least:
        if len(fitting) == 1:
            return say("plan.why.only")
        second = min((one for one in fitting if one is not least), key=lambda one: one.work_min)
        part, more = _differing(second, least)
        return say("plan.why.least", n=round(second.work_min - least.work_min), part=say(f"plan.why.{part}"))
    part, more = _differing(choice, least)
    litres = choice.foam_off.planed - least.foam_off.planed
    cheaper = least.numbers.price - choice.numbers.price
    if more < SAME_MINUTES:
        return say("plan.why.alike", other=least.id)
    key = "plan.why.cheaper" if cheaper > 0.5 else "plan.why.more"
    return say(
        key,
        n=round(more),
        part=say(f"plan.why.{part}"),
        litres=reader.figure(f"{litres:+.1f}".replace("-", "−")),
        cheaper=f"{cheaper:.0f} {choice.numbers.currency}",
    )


def _differing(more: Choice, less: Choice) -> tuple[str, float]:
    """The part of the work in which one blank asks most more than another, and by how many minutes."""
    ends = ("tail", "middle", "nose")
    differences = {
        f"{end}-{face}": getattr(more.parts, end)[n] - getattr(less.parts, end)[n]
        for end in ends
        for n, face in enumerate(("bottom", "deck"))
    }
    differences["rails"] = more.parts.rails - less.parts.rails
    part = max(differences, key=lambda one: differences[one])
    return part, differences[part]
