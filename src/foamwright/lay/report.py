"""A survey as plain values for ``foamwright pick --json``, and its reasons as lines."""

from __future__ import annotations

import math

from foamwright.lay.choice import Choice
from foamwright.lay.profiles import Floats
from foamwright.lay.reasons import reasons_for
from foamwright.lay.survey import Survey
from foamwright.lay.words import Words
from foamwright.units import System


def why_lines(choice: Choice, system: System = System.INCH) -> list[str]:
    """Return why a blank fails, or what to mind if it fits, one sentence each."""
    return [f.sentence for f in reasons_for(choice, Words(system, choice.bay.tape.fraction))]


def pick_json(survey: Survey, system: System = System.INCH) -> dict[str, object]:
    """Return the survey for a JSON document: ``choices[]``, best first, and what they are ranked by.

    Parameters
    ----------
    survey
        All blanks.
    system
        Units of the sentences; every number is SI and says so in its key.

    Returns
    -------
    dict
        Keys as INTERFACE.md fixes them, and what it takes to prove a lay the best one (`limits`, `toward`).
    """
    return {
        "by": survey.order.value,
        "choices": [choice_json(choice, system) for choice in survey.choices],
    }


def choice_json(choice: Choice, system: System = System.INCH) -> dict[str, object]:
    """Return one choice as plain values.

    ``work_min`` is the trapezoidal rule over ``rates.x_m`` of ``bottom * B + deck * D``, plus ``apart_min``.
    What exists only for a blank that fits is ``None`` for one that does not.
    """
    findings = reasons_for(choice, Words(system, choice.bay.tape.fraction))
    numbers = choice.numbers
    known = {
        "blank": choice.id,
        "fits": choice.fits,
        "price": numbers.price,
        "currency": numbers.currency,
        "on_hand": numbers.on_hand,
        "wasted_m": choice.wasted,
        "why": [f.sentence for f in findings],
        "findings": [f.as_json() for f in findings],
        "skims_m": {"bottom": choice.allowed.skim_bottom, "deck": choice.allowed.skim_deck},
        "most_m": {"bottom": _finite(choice.allowed.most_bottom), "deck": _finite(choice.allowed.most_deck)},
        "saw_margin_m": choice.bay.allowances.saw,
        "curve": choice.curve.as_json(),
    }
    return known | (_laid(choice) if choice.fits else dict.fromkeys(LAID))


LAID = (
    "work_min",
    "work_parts_min",
    "work_by_doing_min",
    "apart_min",
    "lay",
    "foam_off_l",
    "foam_parts_l",
    "bottom_off",
    "deck_off",
    "rates",
    "limits",
    "toward",
    "labour",
    "cost",
)
"""Keys that are ``None`` where the board does not lie in the blank."""


def _laid(choice: Choice) -> dict[str, object]:
    x, lay, parts, foam = choice.board.x, choice.placed, choice.parts, choice.foam_off
    toward = choice.toward
    return {
        "work_min": choice.work_min,
        "work_parts_min": {
            end: {"bottom": both[0], "deck": both[1]}
            for end, both in (("tail", parts.tail), ("middle", parts.middle), ("nose", parts.nose))
        },
        "work_by_doing_min": {doing.value: minutes for doing, minutes in choice.by_doing.items()},
        "apart_min": choice.apart_min,
        "lay": {"slide_m": lay.slide, "lift_m": lay.lift, "tilt_rad": lay.tilt},
        "foam_off_l": foam.planed,
        "foam_parts_l": {"bottom": foam.bottom, "deck": foam.deck, "rails": foam.rails, "saw": foam.saw},
        "bottom_off": _over(x, depth_m=choice.bottom_off),
        "deck_off": _over(x, depth_m=choice.deck_off),
        "rates": _over(x, bottom=choice.rates.bottom, deck=choice.rates.deck),
        "limits": _over(x, lower_m=choice.limits.lower, upper_m=choice.limits.upper),
        "toward": {"lift": float(toward[0]), "tilt": float(toward[1])},
        "labour": choice.labour,
        "cost": choice.cost,
    }


def _over(x: Floats, **columns: Floats) -> dict[str, list[float]]:
    return {"x_m": x.tolist(), **{name: values.tolist() for name, values in columns.items()}}


def _finite(value: float) -> float | None:
    return value if math.isfinite(value) else None
