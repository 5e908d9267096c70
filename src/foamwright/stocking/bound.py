"""A proved lower bound on the cost of any choice, by pricing the clients (Lagrange's multipliers).

Give every client a price ``u``. A site then earns ``sum(max(0, u - cost)) - holding``, and no choice of K
sites costs less than the sum of all prices less what the K best sites earn; that holds for any prices
(Cornuejols, Fisher and Nemhauser 1977). The prices are bettered by subgradient steps of Polyak's length.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foamwright.lay.profiles import Floats
from foamwright.stocking.location import Location

FIRST_LENGTH, LEAST_LENGTH = 1.5, 2e-3
"""Share of Polyak's step that is taken at first, and at which it is given up."""

PATIENCE = 12
"""Steps without a better bound after which the share is halved."""

ROUNDING = 1e-12
"""Share of the sums' size that a bound is lowered by, so that rounding cannot make it false."""


@dataclass(frozen=True, eq=False)
class Bound:
    """A bound, the prices that prove it, and what each site earns at them.

    Attributes
    ----------
    value
        No choice costs less.
    prices
        (clients,).
    earns
        (sites,) at these prices, holding deducted; negative: it does not pay.
    """

    value: float
    prices: Floats
    earns: Floats


def earnings(problem: Location, prices: Floats, room: Floats) -> Floats:
    """Return (sites,) what each earns; `room` (sites, clients) is written over."""
    np.subtract(prices, problem.cost, out=room)
    np.maximum(room, 0.0, out=room)
    return np.asarray(room.sum(axis=1) - problem.holding)


def bound_at(prices: Floats, earns: Floats, keep: int | None) -> float:
    """Return the bound that prices prove for choices of `keep` sites (``None``: of any number but none)."""
    value = float(prices.sum()) - _earned(earns, keep)
    return value - ROUNDING * (float(np.abs(prices).sum()) + float(np.abs(earns).sum()))


def _earned(earns: Floats, keep: int | None) -> float:
    best = np.sort(earns)[::-1]
    if keep is not None:
        return float(best[:keep].sum())
    return float(best[0] + np.maximum(best[1:], 0.0).sum())


def priced(
    problem: Location, keep: int | None, prices: Floats, known: float, *, enough: float, most: int
) -> Bound:
    """Return the best bound found from these prices on.

    Parameters
    ----------
    problem
        Sites and clients.
    keep
        How many sites are kept; ``None``: as many as pay.
    prices
        (clients,) to start from.
    known
        Cost of a choice that is known: the bound cannot exceed it.
    enough
        Stop when the bound is this near to `known`, as a share of it.
    most
        Steps.
    """
    room = np.empty_like(problem.cost)
    length, idle, now = FIRST_LENGTH, 0, prices
    best: Bound | None = None
    for _ in range(most):
        earns = earnings(problem, now, room)
        value = bound_at(now, earns, keep)
        idle += 1
        if best is None or value > best.value + 1e-9 * abs(known):
            best, idle = Bound(value, now, earns), 0
        if best.value >= known - enough * abs(known) or length < LEAST_LENGTH:
            break
        if idle >= PATIENCE:
            length, idle, now = 0.5 * length, 0, best.prices
            earns = best.earns
            value = best.value
        now = _stepped(problem, now, (earns, value), keep, length * 1.02 * (known - value))
    assert best is not None
    return best


def _stepped(
    problem: Location, prices: Floats, here: tuple[Floats, float], keep: int | None, reach: float
) -> Floats:
    """Raise the price of clients that no chosen site serves, lower that of those that several serve."""
    earns, _ = here
    chosen = _chosen(earns, keep)
    over = 1.0 - (problem.cost[chosen] < prices).sum(axis=0)
    length = float(over @ over)
    if length == 0.0:
        return prices
    return np.asarray(prices + max(reach, 0.0) / length * over)


def _chosen(earns: Floats, keep: int | None) -> list[int]:
    order = np.argsort(-earns, kind="stable")
    count = keep if keep is not None else max(int((earns > 0.0).sum()), 1)
    return [int(site) for site in np.sort(order[:count])]


def choice_at(bound: Bound, keep: int | None) -> tuple[int, ...]:
    """Return the sites that earn most at the bound's prices: a good start for an exchange."""
    return tuple(_chosen(bound.earns, keep))


def settled(bound: Bound, keep: int | None, known: float) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Return sites that every choice better than `known` keeps, and sites that none of them keeps.

    A site is out if the bound with it forced in exceeds `known`; it is in if the bound without it does.
    """
    if keep is None:
        forced_in = bound.value - np.minimum(bound.earns, 0.0)
        forced_out = bound.value + np.maximum(bound.earns, 0.0)
    else:
        best = np.sort(bound.earns)[::-1]
        next_best = best[keep] if keep < best.size else -np.inf
        forced_in = bound.value + np.maximum(best[keep - 1] - bound.earns, 0.0)
        forced_out = bound.value + np.maximum(bound.earns - next_best, 0.0)
    out = np.flatnonzero(forced_in > known + WORSE * abs(known))
    kept = np.flatnonzero(forced_out > known + WORSE * abs(known))
    return tuple(kept.tolist()), tuple(out.tolist())


WORSE = 1e-10
"""Share of a cost by which a bound must exceed it, so that equal choices are not settled away by rounding."""
