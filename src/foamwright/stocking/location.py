"""Which few to keep so that all are served at least cost: the problem, and good answers by exchange.

The p-median problem (so many are kept) and the uncapacitated location problem (each kept one costs). Every
client can always be served in another way, at a cost of its own, so that every choice is feasible and every
cost is finite.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from foamwright.lay.profiles import Floats, held

Indices = NDArray[np.int64]

WORTH = 1e-9
"""Savings smaller than this share of the cost are rounding, not savings."""


@dataclass(frozen=True, eq=False)
class Location:
    """Sites and clients.

    Attributes
    ----------
    cost
        (sites, clients) of serving each client from each site; finite.
    holding
        (sites,) of keeping each site.
    """

    cost: Floats
    holding: Floats

    @property
    def sites(self) -> int:
        """How many sites there are."""
        return int(self.cost.shape[0])

    @property
    def clients(self) -> int:
        """How many clients there are."""
        return int(self.cost.shape[1])

    @cached_property
    def alone(self) -> Floats:
        """(sites,) cost if only that one is kept."""
        return held(self.cost.sum(axis=1) + self.holding)

    def total(self, kept: Sequence[int]) -> float:
        """Return the cost with these sites kept."""
        chosen = sorted(kept)
        return float(self.cost[chosen].min(axis=0).sum() + self.holding[chosen].sum())


@dataclass(frozen=True, eq=False)
class Served:
    """How a choice serves: each client's nearest kept site (its place in `kept`), that cost, and the next."""

    kept: Indices
    nearest: Indices
    first: Floats
    second: Floats


def served(problem: Location, kept: Sequence[int]) -> Served:
    """Return how a choice serves; ties go to the site of the lower number."""
    chosen = np.array(sorted(kept), dtype=np.int64)
    cost = problem.cost[chosen]
    nearest = np.argmin(cost, axis=0)
    if chosen.size == 1:
        return Served(chosen, nearest, cost[0], np.full(problem.clients, np.inf))
    two = np.partition(cost, 1, axis=0)
    return Served(chosen, nearest, two[0], two[1])


def added(problem: Location, kept: Sequence[int]) -> tuple[int, float]:
    """Return the site that saves most if it is kept too, and how much (negative: it costs more)."""
    first = problem.cost[sorted(kept)].min(axis=0) if kept else None
    if first is None:
        best = int(np.argmin(problem.alone))
        return best, -float(problem.alone[best])
    saved = np.maximum(first - problem.cost, 0.0).sum(axis=1) - problem.holding
    saved[list(kept)] = -np.inf
    best = int(np.argmax(saved))
    return best, float(saved[best])


def losses(problem: Location, kept: Sequence[int]) -> Floats:
    """Return (kept,) what dropping each kept site costs, its holding saved; in the order of their numbers.

    Of a single one it is infinite.
    """
    how = served(problem, kept)
    more = np.bincount(how.nearest, weights=how.second - how.first, minlength=how.kept.size)
    return np.asarray(more - problem.holding[how.kept])


def exchanged(problem: Location, kept: Sequence[int]) -> tuple[int, ...]:
    """Return a choice of as many sites that no exchange of one kept site for another betters.

    Each round makes the best of all exchanges (Teitz and Bart's vertex substitution, with the savings of
    all pairs from the nearest and second nearest kept site, Whitaker 1983).
    """
    chosen = sorted(kept)
    while len(chosen) < problem.sites:
        saved, leaves, comes = _best_exchange(problem, chosen)
        if saved <= WORTH * abs(problem.total(chosen)):
            break
        chosen = sorted([*(site for site in chosen if site != leaves), comes])
    return tuple(chosen)


def _best_exchange(problem: Location, chosen: list[int]) -> tuple[float, int, int]:
    """Return what the best exchange saves, which site leaves, and which comes."""
    how = served(problem, chosen)
    with_first = np.minimum(problem.cost, how.first)
    gained = (how.first - with_first).sum(axis=1) - problem.holding
    order = np.argsort(how.nearest, kind="stable")
    counts = np.bincount(how.nearest, minlength=how.kept.size)
    extra = np.minimum(problem.cost, how.second) - with_first
    lost = _sums_by_group(extra[:, order], counts)
    saved = gained[:, None] - lost + problem.holding[how.kept]
    saved[chosen] = -np.inf
    comes, leaves = np.unravel_index(int(np.argmax(saved)), saved.shape)
    return float(saved[comes, leaves]), int(how.kept[leaves]), int(comes)


def _sums_by_group(values: Floats, counts: Indices) -> Floats:
    """Return (rows, groups) sums over runs of columns; a run of none sums to 0."""
    edges = np.concatenate([[0], np.cumsum(counts)])
    sums = np.zeros((values.shape[0], counts.size))
    some = np.flatnonzero(counts)
    if some.size:
        sums[:, some] = np.add.reduceat(values, edges[some], axis=1)
    return sums


def grown(problem: Location, kept: Sequence[int], size: int) -> tuple[int, ...]:
    """Return a choice with more sites, the best addition each time, until there are `size`."""
    chosen = list(kept)
    while len(chosen) < size:
        chosen.append(added(problem, chosen)[0])
    return tuple(sorted(chosen))


def improved_freely(problem: Location, kept: Sequence[int]) -> tuple[int, ...]:
    """Return a choice, of any size, that no addition, removal or exchange of one site betters."""
    chosen = tuple(sorted(kept))
    while True:
        before = problem.total(chosen)
        chosen = exchanged(problem, _sized_better(problem, chosen))
        if before - problem.total(chosen) <= WORTH * abs(before):
            return chosen


def _sized_better(problem: Location, chosen: tuple[int, ...]) -> tuple[int, ...]:
    """Add sites while that saves, then drop sites while that saves."""
    now = list(chosen)
    while len(now) < problem.sites and (best := added(problem, now))[1] > WORTH * abs(problem.total(now)):
        now = sorted([*now, best[0]])
    while len(now) > 1:
        lost = losses(problem, now)
        least = int(np.argmin(lost))
        if lost[least] >= -WORTH * abs(problem.total(now)):
            break
        now = [site for place, site in enumerate(now) if place != least]
    return tuple(now)
