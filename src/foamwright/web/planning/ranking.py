"""The stock as a ranked list: each blank with its minutes, or why it fails."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.findings import Finding
from foamwright.lay.choice import Choice
from foamwright.lay.reasons import reasons_for
from foamwright.lay.survey import Survey
from foamwright.lay.words import Words
from foamwright.papers.job_words import figures_of
from foamwright.units import System, format_with_unit


@dataclass(frozen=True, slots=True)
class RankedBlank:
    """A blank in the list.

    Attributes
    ----------
    code, length, foam
        Which blank.
    fits, on_hand
        Whether the board lies in it, and how many there are.
    minutes, bar
        The work in words, and as a share of the longest shown in percent.
    litres, wasted, price, cost
        Foam planed off, length sawn off, its price, and price and work together.
    reasons
        Why it fails, or what to mind.
    """

    code: str
    length: str
    fits: bool
    on_hand: int
    minutes: str
    bar: float
    litres: str
    wasted: str
    price: str
    cost: str
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


def ranking_of(survey: Survey, system: System) -> Ranking:
    """Return a survey as a ranked list, lengths in the units asked for."""
    longest = max((choice.work_min for choice in survey.choices if choice.fits), default=1.0)
    ranked = [_ranked(choice, longest, system) for choice in survey.choices]
    return Ranking(
        tuple(one for one in ranked if one.fits and one.on_hand > 0),
        tuple(one for one in ranked if one.fits and one.on_hand <= 0),
        tuple(one for one in ranked if not one.fits),
    )


def _ranked(choice: Choice, longest: float, system: System) -> RankedBlank:
    numbers, words = choice.numbers, Words(system, choice.bay.tape.fraction)
    fits = choice.fits
    return RankedBlank(
        code=choice.id,
        length=figures_of(choice.bay, system).board_length(numbers.length),
        fits=fits,
        on_hand=numbers.on_hand,
        minutes=f"{choice.work_min:.0f}" if fits else "",
        bar=100.0 * choice.work_min / longest if fits else 0.0,
        litres=f"{choice.foam_off.planed:.1f}" if fits else "",
        wasted=format_with_unit(choice.wasted, system, 2) if fits else "",
        price=f"{numbers.price:.2f}".removesuffix(".00") + f" {numbers.currency}",
        cost=f"{choice.cost:.0f} {numbers.currency}" if fits else "",
        reasons=reasons_for(choice, words),
    )
