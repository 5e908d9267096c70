"""What each kept blank is for, what dropping it costs, and who is left without one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.lay.profiles import Floats, held
from foamwright.stocking.location import Indices, Location, losses
from foamwright.stocking.running import Lays
from foamwright.stocking.study import Study
from foamwright.stocking.terms import Costs

TO_ORDER = -1
"""Stands for a blank made to order where a board's blank is named."""


@dataclass(frozen=True)
class Role:
    """One kept blank at work.

    Attributes
    ----------
    place
        Its place among the candidates.
    boards
        Expected boards made from it, by weight.
    share
        Of all expected boards.
    kinds
        Boards by kind, the commonest first.
    shortest, longest
        Lengths of those boards, metres (0 if none).
    work, waste
        Mean minutes and litres for each.
    dropping
        What the expected boards cost more without it, the others kept.
    """

    place: int
    boards: float
    share: float
    kinds: Mapping[str, float]
    shortest: float
    longest: float
    work: float
    waste: float
    dropping: float


@dataclass(frozen=True, slots=True)
class Service:
    """Shares of the expected boards.

    Attributes
    ----------
    kept
        Made from a kept blank.
    dear
        A kept blank would take them, but one made to order costs less.
    none_kept
        Lie in no kept blank, but in another candidate.
    none_at_all
        Lie in no candidate.
    """

    kept: float
    dear: float
    none_kept: float
    none_at_all: float


def blank_for(costs: Costs, kept: Sequence[int]) -> Indices:
    """Return (boards,) the kept candidate each is made from, `TO_ORDER` where none of them is worth it."""
    chosen = np.array(sorted(kept), dtype=np.int64)
    cost = np.where(np.isnan(costs.blank[:, chosen]), np.inf, costs.blank[:, chosen])
    best = np.argmin(cost, axis=1)
    worth = cost[np.arange(best.size), best] < costs.order
    return np.asarray(np.where(worth, chosen[best], TO_ORDER))


def roles_of(study: Study, lays: Lays, costs: Costs, problem: Location, kept: Sequence[int]) -> list[Role]:
    """Return the roles of the kept blanks, the most used first."""
    made_from = blank_for(costs, kept)
    lost = losses(problem, kept) if len(kept) > 1 else [_lost_alone(costs, problem, kept[0])]
    found = [
        _role(study, (lays.work[:, place], costs), np.flatnonzero(made_from == place), place, float(loss))
        for place, loss in zip(sorted(kept), lost, strict=True)
    ]
    return sorted(found, key=lambda role: (-role.boards, role.place))


def _lost_alone(costs: Costs, problem: Location, place: int) -> float:
    """Return what dropping the only kept blank costs: then all boards are made to order."""
    return float(costs.weight @ costs.order) - problem.total([place])


def _role(study: Study, numbers: tuple[Floats, Costs], served: Indices, place: int, dropping: float) -> Role:
    work, costs = numbers
    weight = costs.weight[served]
    total = float(weight.sum())
    lengths = [study.demand[n].board.length for n in served.tolist()]
    return Role(
        place,
        total,
        total / float(costs.weight.sum()),
        _kinds(study, served.tolist()),
        min(lengths, default=0.0),
        max(lengths, default=0.0),
        _mean(work[served], weight),
        _mean(costs.waste[served, place], weight),
        dropping,
    )


def _mean(values: Floats, weight: Floats) -> float:
    return float(weight @ values / weight.sum()) if weight.size else 0.0


def _kinds(study: Study, served: Sequence[int]) -> dict[str, float]:
    counts = Counter[str]()
    for n in served:
        counts[study.demand[n].kind or "board"] += study.demand[n].weight  # type: ignore[assignment]
    return dict(sorted(counts.items(), key=lambda pair: (-pair[1], pair[0])))


def service_of(costs: Costs, kept: Sequence[int]) -> Service:
    """Return how well a choice serves the expected boards."""
    weight = held(costs.weight / costs.weight.sum())
    fits = ~np.isnan(costs.blank)
    in_kept, anywhere = fits[:, sorted(kept)].any(axis=1), fits.any(axis=1)
    from_kept = blank_for(costs, kept) != TO_ORDER
    return Service(
        kept=float(weight @ from_kept),
        dear=float(weight @ (in_kept & ~from_kept)),
        none_kept=float(weight @ (anywhere & ~in_kept)),
        none_at_all=float(weight @ ~anywhere),
    )
