"""The same blank a little thicker or thinner: what it would change."""

from __future__ import annotations

from dataclasses import dataclass

from foamwright.blank.numbers import BlankNumbers
from foamwright.lay.choice import Choice
from foamwright.lay.survey import Survey
from foamwright.lay.words import Words


@dataclass(frozen=True, eq=False)
class Alternative:
    """A blank that differs from a choice's only in thickness.

    Attributes
    ----------
    choice
        The other blank.
    thicker
        How much thicker it is where both are thickest, metres; negative: thinner.
    work_min, cost
        How much more work it takes (minutes) and how much more it costs with it; NaN if the board does not
        lie in it.
    """

    choice: Choice
    thicker: float
    work_min: float
    cost: float

    def sentence(self, words: Words) -> str:
        """Return the comparison in words."""
        numbers = self.choice.numbers
        much = f"{words.length(abs(self.thicker))} {'thicker' if self.thicker > 0.0 else 'thinner'}"
        if not self.choice.fits:
            return f"{numbers.id}, {much}, does not take the board."
        return (
            f"{numbers.id}, {much}: {_signed(self.work_min, 'minutes')}, "
            f"{_signed(self.cost, numbers.currency)} with the work on it, {numbers.on_hand} on hand."
        )


def alternatives_to(choice: Choice, survey: Survey) -> tuple[Alternative, ...]:
    """Return the blanks of the survey that are the choice's but for their thickness, thinnest first.

    Parameters
    ----------
    choice
        A choice of the survey.
    survey
        All choices.

    Returns
    -------
    tuple of Alternative
        Differences are the other blank's less the choice's.
    """
    same = [c for c in survey.choices if c is not choice and _mould(c.numbers) == _mould(choice.numbers)]
    found = [
        Alternative(
            other,
            _thickest(other.numbers) - _thickest(choice.numbers),
            other.work_min - choice.work_min,
            other.cost - choice.cost,
        )
        for other in same
    ]
    return tuple(sorted(found, key=lambda a: (a.thicker, a.choice.id)))


def _mould(numbers: BlankNumbers) -> tuple[object, ...]:
    """Everything but the thickness that makes a blank's shape and foam."""
    return (
        numbers.foam,
        numbers.section,
        numbers.length,
        numbers.outline,
        numbers.wide,
        numbers.wide_at,
        numbers.rocker,
        numbers.stringer,
        numbers.hard_face,
    )


def _thickest(numbers: BlankNumbers) -> float:
    return max(mark.value for mark in numbers.thickness)


def _signed(value: float, unit: str) -> str:
    rounded = round(value)
    return f"{abs(rounded)} {unit} {'more' if rounded >= 0 else 'less'}"
