"""The most valuable pile of things that stand on each other, by dynamic programming over whole levels.

Thing `k` on top of thing `i` stands `rise[i, k]` levels above it, as the two need; at the bottom it stands at
`first[k]`, and nowhere above `last[k]`. Things may come again. One after another in a row is the same
question: there `rise[i, k]` is the size of `i`.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from foamwright.shape.kernels.compiler import compiled

Array = NDArray[np.float64]
Levels = NDArray[np.int64]


@compiled
def levels_of(last: Levels) -> int:
    """Return how many levels there are: up to the highest where anything may stand."""
    highest = -1
    for level in last:
        highest = max(highest, level)
    return highest + 1


@compiled
def best_pile(
    first: Levels, rise: Levels, last: Levels, value: Array, most_of: Levels
) -> tuple[float, Levels]:
    """Return the value of the best pile and its things from the bottom up; things of no value stay out.

    All rises are above 0. Among piles of one value the one found first stands: the lowest. `most_of` says how
    often each thing may come. Where that binds, the pile is a good one but perhaps not the best; where it
    does not (each count is more than a pile can hold) it is the best.
    """
    kinds = first.size
    levels = levels_of(last)
    best = np.zeros((levels, kinds))
    below_level = np.full((levels, kinds), -1, dtype=np.int64)
    below_kind = np.full((levels, kinds), -1, dtype=np.int64)
    for k in range(kinds):
        if value[k] > 0.0 and first[k] <= last[k]:
            best[first[k], k] = value[k]
    lead = np.zeros(kinds)
    most, at, top = 0.0, -1, -1
    for z in range(levels):
        for i in range(kinds):
            worth = best[z, i]
            if worth <= lead[i]:
                continue
            lead[i] = worth
            if worth > most:
                most, at, top = worth, z, i
            for k in range(kinds):
                up = max(z + rise[i, k], first[k])
                if value[k] <= 0.0 or up > last[k] or worth + value[k] <= best[up, k]:
                    continue
                if _count(k, z, i, below_level, below_kind) < most_of[k]:
                    best[up, k] = worth + value[k]
                    below_level[up, k] = z
                    below_kind[up, k] = i
    return most, _walked(at, top, below_level, below_kind)


@compiled
def _count(kind: int, at: int, top: int, below_level: Levels, below_kind: Levels) -> int:
    """Return how often a kind is in a pile, given where its top thing stands."""
    count = 0
    z, k = at, top
    while k >= 0:
        if k == kind:
            count += 1
        z, k = below_level[z, k], below_kind[z, k]
    return count


@compiled
def _walked(at: int, top: int, below_level: Levels, below_kind: Levels) -> Levels:
    """Return the kinds of a pile from the bottom up, given where its top thing stands."""
    count = 0
    z, k = at, top
    while k >= 0:
        count += 1
        z, k = below_level[z, k], below_kind[z, k]
    pile = np.empty(count, dtype=np.int64)
    z, k = at, top
    for n in range(count - 1, -1, -1):
        pile[n] = k
        z, k = below_level[z, k], below_kind[z, k]
    return pile


@compiled
def best_above(first: Levels, rise: Levels, last: Levels, value: Array) -> Array:
    """Return (levels, kinds) the most that can still be put on a pile whose top thing stands there."""
    kinds = first.size
    levels = levels_of(last)
    more = np.zeros((levels, kinds))
    for z in range(levels - 1, -1, -1):
        for i in range(kinds):
            for k in range(kinds):
                up = max(z + rise[i, k], first[k])
                if value[k] > 0.0 and up <= last[k]:
                    more[z, i] = max(more[z, i], value[k] + more[up, k])
    return more
