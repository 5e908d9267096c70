"""Plans made block by block: the fullest block that the pieces left can give, at prices that learn.

Pieces that ended in poorly filled blocks get dearer, so that the next plan places them sooner (sequential
value correction, as in the cutting-stock literature: Mukhacheva, Belov and others).
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from foamwright.making.nest.filled import Filled, Plan, Slice
from foamwright.making.nest.profiles import Whole
from foamwright.making.nest.program import Levels, Program, Strip
from foamwright.making.nest.settling import Settled
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.best_pile import best_pile

COARSE = 10
"""Units of the program in a level of most of these plans; every need is rounded up."""

SPREAD = 0.15
"""Most by which a price is moved by chance between two plans, as a share of it."""


DEARER = 1.3
"""Factor by which pieces get dearer that were left over."""


@dataclass(frozen=True, eq=False)
class Attempt:
    """Blocks that were filled, and how many of each piece were left over when there were no more blocks."""

    blocks: tuple[Filled, ...]
    left: Whole

    @property
    def plan(self) -> Plan | None:
        """The plan, if nothing is left over."""
        return None if np.any(self.left > 0) else Plan(self.blocks)


def attempts(
    program: Program,
    settled: Settled,
    prices: Floats,
    rounds: int,
    stock: Floats,
    coarse: int = COARSE,
) -> Iterator[Attempt]:
    """Yield attempts at a plan; all that is in them can be cut.

    Parameters
    ----------
    program, settled
        What is asked, and what is known of piles.
    prices
        (T,) prices of the pieces to begin with, from 0 up.
    rounds
        How many are made.
    stock
        (kinds,) how many blocks of each kind there are.
    coarse
        Units of the program in a level.
    """
    chance = random.Random(0)
    views = [_coarse(side.upward, coarse) for side in program.sides]
    areas = np.array([piece.volume for piece in program.order.pieces])
    value = np.maximum(prices, 0.02 * float(np.max(prices)) + 1e-9) if np.max(prices) > 0.0 else areas
    for _ in range(rounds):
        shaken = value * np.array([1.0 + SPREAD * chance.uniform(-1.0, 1.0) for _ in range(value.size)])
        attempt = _attempt(program, settled, views, shaken, stock)
        yield attempt
        value = _corrected(program, attempt, value)


def on_hand(program: Program) -> Floats:
    """Return how many blocks of each kind there are, without end where the order says nothing."""
    return np.array([np.inf if k.block.on_hand is None else k.block.on_hand for k in program.kinds])


def _coarse(levels: Levels, units: int) -> Levels:
    """The same in larger units, on the safe side."""
    if units == 1:
        return levels
    last = np.where(levels.last < 0, -1, (levels.last - 2) // units)
    return Levels(-(-levels.first // units), -(-(levels.rise + 1) // units), last)


def _attempt(
    program: Program, settled: Settled, views: list[Levels], value: Floats, stock: Floats
) -> Attempt:
    left, stock = program.wanted.copy(), stock.copy()
    blocks: list[Filled] = []
    while np.any(left > 0):
        made = [
            (k, block)
            for k in range(len(program.kinds))
            if stock[k] > 0 and (block := _block(program, settled, (k, views), value, left)).slices
        ]
        if not made:
            break
        k, block = max(made, key=lambda one: _worth(one[1], value) / program.kinds[one[0]].cost)
        blocks.append(block)
        stock[k] -= 1
        left -= _used(block, left.size)
    return Attempt(tuple(blocks), left)


def _worth(block: Filled, value: Floats) -> float:
    return float(sum(value[one.piece] for each in block.slices for one in each.stack))


def _used(block: Filled, size: int) -> Whole:
    return np.bincount([one.piece for each in block.slices for one in each.stack], minlength=size)


def _block(
    program: Program, settled: Settled, where: tuple[int, list[Levels]], value: Floats, left: Whole
) -> Filled:
    """Fill one block: the row of strips that promises most, its widest strip, then the same for the rest."""
    k, views = where
    kind, slices, left = program.kinds[k], [], left.copy()
    room = int(np.max(kind.across.last)) + 1
    taken = 0
    while taken < room:
        piles = _piles(program, views[kind.side], value, left)
        row = _row(kind.across, np.array([worth for worth, _ in piles]), taken)
        if not row:
            break
        strip = settled.cuttable(Strip(kind.side, piles[max(row)][1]))
        if strip is None:
            break
        width = program.class_of(strip.pile)
        slices.append(Slice(width, settled.stack(strip)))
        taken += int(kind.across.rise[width, width])
        left -= np.bincount(strip.pile, minlength=left.size)
    return Filled(k, tuple(slices))


def _piles(program: Program, view: Levels, value: Floats, left: Whole) -> list[tuple[float, tuple[int, ...]]]:
    """The best pile for a strip of each class."""
    found: list[tuple[float, tuple[int, ...]]] = []
    for width in range(program.widths):
        allowed = np.where((program.classes <= width) & (left > 0), value, 0.0)
        same = found and not np.any((program.classes == width) & (left > 0))
        worth, pile = (0.0, ()) if same else best_pile(view.first, view.rise, view.last, allowed, left)
        found.append(found[-1] if same else (float(worth), tuple(int(n) for n in pile)))
    return found


def _row(across: Levels, worth: Floats, taken: int) -> tuple[int, ...]:
    """The classes of the strips that promise most in the width that is left."""
    last = np.where(across.last - taken < 0, -1, across.last - taken)
    return Levels(across.first, across.rise, last).most(worth)[1]


def _corrected(program: Program, attempt: Attempt, value: Floats) -> Floats:
    """Move each piece's price towards what its block costs for it; what is left over gets dearer."""
    asked, times = np.zeros(value.size), np.zeros(value.size)
    for block in attempt.blocks:
        used = _used(block, value.size)
        share = program.kinds[block.kind].cost / max(_worth(block, value), 1e-12)
        asked += used * value * share
        times += used
    moved = np.where(times > 0, 0.5 * value + 0.5 * asked / np.maximum(times, 1), value)
    return np.where(attempt.left > 0, DEARER * moved, moved)
