"""The exact choice: what the bound leaves open is settled by a mixed-integer program (HiGHS)."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array

from foamwright.lay.profiles import Floats
from foamwright.stocking.bound import Bound, settled
from foamwright.stocking.location import Indices, Location

MOST_PAIRS = 60_000
"""Pairs of site and client beyond which the program is not tried."""

NODES = 20_000
"""Branches after which it stops: a count, not a time, so that every run stops at the same place."""


@dataclass(frozen=True, eq=False)
class Exact:
    """What the program found: a choice (``None``: none better), and the bound it proved."""

    kept: tuple[int, ...] | None
    bound: float


def settled_exactly(problem: Location, keep: int | None, bound: Bound, known: float) -> Exact | None:
    """Return the exact answer, or ``None`` if too much is left open to try.

    Parameters
    ----------
    problem
        Sites and clients.
    keep
        How many sites are kept; ``None``: as many as pay.
    bound
        A bound with its prices.
    known
        Cost of a choice that is known.
    """
    surely, never = settled(bound, keep, known)
    sites = np.setdiff1d(np.arange(problem.sites), np.array(never, dtype=np.int64))
    pairs = _pairs(problem, sites, surely)
    if pairs[0].size > MOST_PAIRS or sites.size < max(keep or 1, 1):
        return None
    return _solved(problem, keep, (sites, surely), pairs, known)


def _pairs(problem: Location, sites: Indices, surely: tuple[int, ...]) -> tuple[Indices, Indices]:
    """Return the pairs (place among `sites`, client) by which a client may be served in a best choice.

    A site that is dearer to a client than one that is surely kept never serves it.
    """
    cost = problem.cost[sites]
    limit = problem.cost[list(surely)].min(axis=0) if surely else np.full(problem.clients, np.inf)
    useful = (cost < limit) | np.isin(sites, surely)[:, None] & (cost <= limit)
    place, client = np.nonzero(useful)
    return place, client


def _solved(
    problem: Location,
    keep: int | None,
    fixed: tuple[Indices, tuple[int, ...]],
    pairs: tuple[Indices, Indices],
    known: float,
) -> Exact | None:
    """Keep or not (integers first), then serve (between 0 and 1): each client once, by kept sites only."""
    (sites, surely), (place, client) = fixed, pairs
    least = np.concatenate([np.isin(sites, surely).astype(float), np.zeros(place.size)])
    answer = milp(
        c=np.concatenate([problem.holding[sites], problem.cost[sites[place], client]]),
        constraints=_rules(problem.clients, sites.size, pairs, keep),
        integrality=np.concatenate([np.ones(sites.size), np.zeros(place.size)]),
        bounds=Bounds(least, np.ones(least.size)),
        options={"mip_rel_gap": 0.0, "node_limit": NODES},
    )
    bound = _proved(answer.mip_dual_bound, known)
    if answer.x is None:
        return Exact(None, bound)
    return Exact(tuple(int(s) for s in sites[answer.x[: sites.size] > 0.5]), bound)


def _proved(value: float | None, known: float) -> float:
    """Return the program's bound; one above `known` proves `known` the best."""
    return -np.inf if value is None or not np.isfinite(value) else min(float(value), known)


def _rules(
    clients: int, sites: int, pairs: tuple[Indices, Indices], keep: int | None
) -> list[LinearConstraint]:
    place, client = pairs
    count = place.size
    row = np.arange(count)
    once = coo_array((np.ones(count), (client, sites + row)), (clients, sites + count))
    both: tuple[Floats, tuple[Indices, Indices]] = (
        np.concatenate([np.ones(count), -np.ones(count)]),
        (np.concatenate([row, row]), np.concatenate([sites + row, place])),
    )
    only_kept = coo_array(both, (count, sites + count))
    kept = coo_array((np.ones(sites), (np.zeros(sites, dtype=int), np.arange(sites))), (1, sites + count))
    return [
        LinearConstraint(once.tocsr(), 1.0, 1.0),
        LinearConstraint(only_kept.tocsr(), -np.inf, 0.0),
        LinearConstraint(kept.tocsr(), 1 if keep is None else keep, np.inf if keep is None else keep),
    ]
