"""The choice, good and proved: an exchange, a bound, and an exact program where the two still differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.lay.profiles import Floats
from foamwright.stocking.bound import Bound, bound_at, choice_at, earnings, priced
from foamwright.stocking.exact import settled_exactly
from foamwright.stocking.location import Location, added, exchanged, grown, improved_freely, served

ENOUGH = 1e-6
"""A gap (share of the cost) that is as good as none."""

STEPS = 600
"""Steps of pricing for one choice."""


@dataclass(frozen=True)
class Chosen:
    """A choice with its proof.

    Attributes
    ----------
    kept
        Sites, rising.
    cost
        What it costs.
    bound
        No choice (of as many sites) costs less than this.
    """

    kept: tuple[int, ...]
    cost: float
    bound: float

    @property
    def gap(self) -> float:
        """Share of the cost by which a better choice could be cheaper, at most."""
        return max(self.cost - self.bound, 0.0) / self.cost if self.cost > 0.0 else 0.0


def choose(problem: Location, keep: int | None, starts: Sequence[Sequence[int]] = ()) -> Chosen:
    """Return the sites to keep, with a proved bound.

    Parameters
    ----------
    problem
        Sites and clients.
    keep
        How many; ``None``: as many as pay their holding.
    starts
        Choices to start from, besides the greedy one.
    """
    kept = _best(problem, [_bettered(problem, keep, start) for start in [*starts, _greedy(problem, keep)]])
    return _proved(problem, keep, kept, _first_prices(problem, kept))


def _greedy(problem: Location, keep: int | None) -> tuple[int, ...]:
    return grown(problem, (), keep if keep is not None else 1)


def _bettered(problem: Location, keep: int | None, start: Sequence[int]) -> tuple[int, ...]:
    return improved_freely(problem, start) if keep is None else exchanged(problem, start)


def _best(problem: Location, choices: Sequence[tuple[int, ...]]) -> tuple[int, ...]:
    return min(choices, key=problem.total)


def _first_prices(problem: Location, kept: Sequence[int]) -> Floats:
    """Start between what each client costs now and what it would cost without its site."""
    how = served(problem, kept)
    return np.asarray(how.first + 0.25 * (np.minimum(how.second, 2.0 * how.first + 1.0) - how.first))


def _proved(problem: Location, keep: int | None, kept: tuple[int, ...], prices: Floats) -> Chosen:
    """Better the bound and the choice in turn; what is left open goes to the exact program."""
    bound = priced(problem, keep, prices, problem.total(kept), enough=ENOUGH, most=STEPS)
    kept = _best(problem, [kept, _bettered(problem, keep, choice_at(bound, keep))])
    cost, value = problem.total(kept), bound.value
    if cost - value > ENOUGH * abs(cost):
        exact = settled_exactly(problem, keep, bound, cost)
        if exact is not None:
            value = max(value, exact.bound)
            kept = kept if exact.kept is None else _best(problem, [kept, exact.kept])
    return Chosen(kept, problem.total(kept), min(value, problem.total(kept)))


def cost_curve(problem: Location, most: int) -> tuple[Chosen, ...]:
    """Return the best choices of 1, 2, … `most` sites, each with its bound.

    Each starts from the one before with a site added; prices carry over as well.
    """
    curve: list[Chosen] = []
    prices: Floats | None = None
    for keep in range(1, min(most, problem.sites) + 1):
        start = _grown_by_one(problem, curve[-1].kept if curve else ())
        kept = exchanged(problem, start)
        first = _first_prices(problem, kept) if prices is None else prices
        bound = priced(problem, keep, first, problem.total(kept), enough=ENOUGH, most=STEPS // 3)
        prices = bound.prices
        kept = _best(problem, [kept, exchanged(problem, choice_at(bound, keep))])
        curve.append(Chosen(kept, problem.total(kept), min(bound.value, problem.total(kept))))
    return tuple(curve)


def _grown_by_one(problem: Location, kept: Sequence[int]) -> tuple[int, ...]:
    return tuple(sorted([*kept, added(problem, kept)[0]]))


def checked_bound(problem: Location, keep: int | None, prices: Floats) -> float:
    """Return the bound that prices prove, computed afresh."""
    return bound_at(prices, earnings(problem, prices, np.empty_like(problem.cost)), keep)


__all__ = ["Bound", "Chosen", "checked_bound", "choose", "cost_curve"]
