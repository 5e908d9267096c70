"""The plan's minutes shared out to the steps of the work."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foamwright.papers.job_howto import Step
from foamwright.planning.plan import Plan
from foamwright.shape.curves import Floats


def minutes_by_step(plan: Plan) -> dict[Step, float]:
    """Return the minutes that the choice of the blank was reckoned with, by step.

    Parameters
    ----------
    plan
        The plan.

    Returns
    -------
    dict
        Minutes of the steps that the reckoning knows; together they are the choice's ``work_min``. Sawing
        and contours are not in it: they are the same in every blank.
    """
    choice, chain = plan.choice, plan.chain
    x, weight = choice.board.x, choice.board.weight

    def share(depth: Floats, rate: Floats) -> float:
        return float(np.sum(weight * rate * np.interp(x, chain.x, depth)))

    rates = choice.rates
    looks = choice.parts.steady / 2.0
    allowance = np.full_like(chain.x, chain.finish)
    return {
        Step.THICKNESS: share(chain.bottom.even, rates.bottom) + share(chain.deck.even, rates.deck),
        Step.ROCKER: share(chain.bottom.rest, rates.bottom) + looks,
        Step.FOIL: share(chain.deck.rest, rates.deck) + looks,
        Step.RAILS: choice.parts.rails,
        Step.FINISH: share(allowance, rates.bottom) + share(allowance, rates.deck),
    }


def whole_minutes(parts: Sequence[float]) -> list[int]:
    """Return parts in whole minutes that add up to their rounded sum: those with most to spare are raised.

    Examples
    --------
    >>> whole_minutes([1.4, 1.4, 1.4])
    [2, 1, 1]
    """
    whole = [int(part) for part in parts]
    short = round(sum(parts)) - sum(whole)
    by_rest = sorted(range(len(parts)), key=lambda k: (whole[k] - parts[k], k))
    for k in by_rest[:short]:
        whole[k] += 1
    return whole
