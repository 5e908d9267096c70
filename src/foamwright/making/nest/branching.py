"""Proving more than the relaxation does: whole numbers of blocks of each kind and of strips of each width.

Either at most 3 blocks of a kind are used or at least 4: each case is a relaxation of its own, with its own
prices and its own bound, and the lesser of the two bounds holds for both.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from foamwright.making.nest.filled import Plan
from foamwright.making.nest.master import Columns, Limit, Limits, Relaxed, relaxed
from foamwright.making.nest.program import Program

CASES = 500
"""Cases that are looked at before the proof stops where it is."""

CLOSINGS = 16
"""Cases that are filled or listed before the proof stops where it is; each may take seconds."""

WHOLE = 1e-6


@dataclass(frozen=True, eq=False)
class Case:
    """A case: its limits, its relaxation, the bound it proves so far."""

    limits: Limits
    relaxed: Relaxed
    bound: int


@dataclass(frozen=True, eq=False)
class Proof:
    """The best plan, the bound that the cases prove, and how many were looked at."""

    plan: Plan
    bound: int
    cases: int


Closing = Callable[[Case, Plan], tuple[int, Plan]]
"""Settles a case that is whole: the bound it proves (as it was: it stays open), and the best plan."""


def proof_by_cases(program: Program, columns: Columns, first: Relaxed, best: Plan, closing: Closing) -> Proof:
    """Return the bound that cases prove, and the plan if one finds a better.

    Parameters
    ----------
    program, columns
        What is asked; the columns that the cases take are added.
    first
        The relaxation without any limit.
    best
        The best plan known; no case need prove more than its cost.
    closing
        What is done with a case that cannot be split.
    """
    opened = [(program.rounded_up(first.prices.bound), 0, Case((), first, 0))]
    left, count, closed = best.cost(program), 0, 0
    while opened and count < CASES and closed < CLOSINGS and opened[0][0] < min(left, best.cost(program)):
        bound, _, case = heapq.heappop(opened)
        case = replace(case, bound=bound)
        split = _split(program, case.relaxed)
        count += 1
        if split is None:
            closed += 1
            proved, best = closing(case, best)
            if proved > bound:
                heapq.heappush(opened, (proved, 2 * count, case))
            else:
                left = min(left, bound)
            continue
        for limit in split:
            half = _halved(program, columns, case, limit, best.cost(program))
            heapq.heappush(opened, (half.bound, 2 * count + (limit is split[1]), half))
    return Proof(best, min([left, best.cost(program), *(bound for bound, *_ in opened)]), count)


def _halved(program: Program, columns: Columns, case: Case, limit: Limit, cost: int) -> Case:
    limits = (*case.limits, limit)
    found = relaxed(program, columns, limits, float(cost))
    proved = cost if found.unmet > WHOLE else program.rounded_up(found.prices.bound)
    return Case(limits, found, min(cost, max(proved, case.bound)))


def _split(program: Program, one: Relaxed) -> tuple[Limit, Limit] | None:
    """Two limits of which every plan keeps one, and the solution neither; ``None`` if all is whole."""
    for strips, blocks, amount in _amounts(program, one):
        low = np.floor(amount + WHOLE)
        if amount - low > 1e-4 and low + 1.0 - amount > 1e-4:
            return Limit(strips, blocks, low + 1.0), Limit(-strips, -blocks, -low)
    return None


def _amounts(program: Program, one: Relaxed) -> Iterator[tuple[np.ndarray, np.ndarray, float]]:
    """Amounts that are whole in every plan: all blocks, those of each kind, strips from the widest down."""
    kinds, widths = len(program.kinds), program.widths
    yield np.zeros(widths), np.ones(kinds), float(np.sum(one.blocks))
    for k in range(kinds):
        yield np.zeros(widths), np.eye(kinds)[k], float(one.blocks[k])
    for width in range(widths - 1, -1, -1):
        wide = (np.arange(widths) >= width).astype(float)
        yield wide, np.zeros(kinds), float(wide @ one.strips)
