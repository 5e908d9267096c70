"""The order as an integer program: strips of a block with what is stacked in them, and fillings of a block.

Strips are classed by width: as many classes as there are different widths of pieces. In whole units of
`UNIT` every need is rounded down and all the room there is stays, so whatever can be cut is a solution of the
program, and no solution that can be cut costs less than the program's least.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, reduce
from math import gcd

import numpy as np

from foamwright.blank.numbers import Foam
from foamwright.making.nest.order import BlockKind, Cutting, Least, Order
from foamwright.making.nest.profiles import Whole
from foamwright.making.nest.stacks import Room
from foamwright.shape.curves import Floats
from foamwright.shape.kernels.best_pile import best_pile

UNIT = 2.5e-4
"""Metres in a level of the program."""


MANY = 1_000_000_000
"""More than any pile holds."""


@dataclass(frozen=True, slots=True)
class Strip:
    """What is stacked in a strip of one side view, from the bottom up (places among the pieces)."""

    side: int
    pile: tuple[int, ...]

    @property
    def content(self) -> tuple[int, tuple[tuple[int, int], ...]]:
        """Side view and how many of which piece: the same for piles that differ in order only."""
        return self.side, tuple(sorted(Counter(self.pile).items()))


@dataclass(frozen=True, slots=True)
class Filling:
    """Strips side by side in one kind of block: their width classes, rising."""

    kind: int
    classes: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Levels:
    """Needs in whole units: where a thing stands at the bottom, how far above another, and at the highest."""

    first: Whole
    rise: Whole
    last: Whole

    def most(self, value: Floats) -> tuple[float, tuple[int, ...]]:
        """Return the most valuable pile and its value."""
        often = np.full(self.last.size, MANY)
        worth, pile = best_pile(self.first, self.rise, self.last, np.asarray(value, dtype=float), often)
        return float(worth), tuple(int(k) for k in pile)


@dataclass(frozen=True, eq=False)
class Side:
    """A side view of blocks, the same for all blocks as long, as high and of the same foam: stacks in it."""

    room: Room
    upward: Levels


@dataclass(frozen=True, eq=False)
class Kind:
    """A kind of block in the program: its side view (a place among them), its cost, strips across it."""

    block: BlockKind
    side: int
    cost: int
    across: Levels


@dataclass(frozen=True, eq=False)
class Program:
    """The order in whole numbers.

    Attributes
    ----------
    order
        What it was made from.
    wanted
        (T,) how many of each piece.
    classes
        (T,) width class of each piece, the narrowest 0.
    sides
        The side views of the blocks.
    kinds
        The kinds of blocks.
    """

    order: Order
    wanted: Whole
    classes: Whole
    sides: tuple[Side, ...]
    kinds: tuple[Kind, ...]

    @cached_property
    def widths(self) -> int:
        """How many width classes there are."""
        return int(np.max(self.classes)) + 1

    def side_of(self, kind: int) -> Side:
        """Return the side view of a kind of block."""
        return self.sides[self.kinds[kind].side]

    def fits_alone(self, kind: int, piece: int) -> bool:
        """Tell whether a piece may be cut from a kind of block at all."""
        across = self.kinds[kind].across.last[self.classes[piece]] >= 0
        return bool(across and self.side_of(kind).upward.last[piece] >= 0)

    @cached_property
    def grain(self) -> int:
        """Every cost is a multiple of this."""
        return reduce(gcd, (kind.cost for kind in self.kinds)) or 1

    def class_of(self, pile: Sequence[int]) -> int:
        """Return the width class of a strip that holds these pieces."""
        return int(max(self.classes[n] for n in pile))

    def rounded_up(self, bound: float) -> int:
        """Return the least sum of costs of blocks that is not below a bound."""
        if bound <= 1e-6 or self.grain <= 0:
            return 0
        at_least = int(np.ceil(bound / self.grain - 1e-6))
        sums = _sums([kind.cost // self.grain for kind in self.kinds], at_least)
        return int(np.flatnonzero(sums[at_least:])[0] + at_least) * self.grain

    def below(self, cost: int) -> int:
        """Return the greatest sum of costs of blocks that is less than a cost."""
        sums = _sums([kind.cost // self.grain for kind in self.kinds], cost // self.grain)
        return int(np.flatnonzero(sums[: cost // self.grain])[-1]) * self.grain


def program_of(order: Order) -> Program:
    """Return the program of an order."""
    widths = np.array([round(piece.width, 6) for piece in order.pieces])
    distinct, classes = np.unique(widths, return_inverse=True)
    views = list(dict.fromkeys(_view(block) for block in order.blocks))
    sides = tuple(_side(order, views, n) for n in range(len(views)))
    kinds = tuple(_kind(order, block, views.index(_view(block)), distinct) for block in order.blocks)
    wanted = np.array([piece.count for piece in order.pieces], dtype=np.int64)
    return Program(order, wanted, classes.reshape(-1).astype(np.int64), sides, kinds)


View = tuple[float, float, Foam]


def _view(block: BlockKind) -> View:
    return block.length, block.height, block.foam


def _side(order: Order, views: Sequence[View], n: int) -> Side:
    block = next(block for block in order.blocks if _view(block) == views[n])
    room = Room(block, order.cutting, order.pieces)
    return Side(room, _upward(room))


def _kind(order: Order, block: BlockKind, side: int, widths: Floats) -> Kind:
    cost = 1 if order.least is Least.BLOCKS else block.price
    return Kind(block, side, cost, _across(block, order.cutting, widths))


def _upward(room: Room) -> Levels:
    count = len(room.pieces)
    first = np.full(count, _units(room.cutting.apart), dtype=np.int64)
    last = np.array([_units(room.top(n)) if _matches(room, n) else -1 for n in range(count)], dtype=np.int64)
    rise = np.ones((count, count), dtype=np.int64)
    for below in range(count):
        for above in range(count):
            if last[below] >= 0 and last[above] >= 0:
                rise[below, above] = max(1, _units(float(np.min(room.rise(below, above)))))
    return Levels(first, rise, last)


def _matches(room: Room, n: int) -> bool:
    """Whether a piece may be cut from the side view at all: its foam, its length, its height."""
    return room.pieces[n].foam == room.block.foam and room.holds(n)


def _across(block: BlockKind, cutting: Cutting, widths: Floats) -> Levels:
    """Strips in a row: the next begins after the width of the one before and what slicing loses."""
    free = block.width - 2.0 * cutting.margin
    sizes = np.array([max(1, _units(width + cutting.slicing)) for width in widths], dtype=np.int64)
    last = np.array([_units(free - width) for width in widths], dtype=np.int64)
    return Levels(np.zeros_like(sizes), np.repeat(sizes[:, None], sizes.size, axis=1), last)


def _units(metres: float) -> int:
    return int(np.floor(metres / UNIT + 1e-5))


def _sums(parts: Sequence[int], at_least: int) -> np.ndarray:
    """Which whole numbers are sums of the parts, up to the first from `at_least` on that is one."""
    size = at_least + max(parts) + 1
    reached = np.zeros(size, dtype=bool)
    reached[0] = True
    for total in range(size):
        reached[total] |= any(total >= part > 0 and reached[total - part] for part in parts)
    return reached
