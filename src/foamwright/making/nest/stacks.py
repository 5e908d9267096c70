"""Stacks: which pieces lie on which in one strip of a block, and where exactly.

A piece lies level, bottom down, its tail towards the block's tail end, at a mark along the block. Marks are
`MARK` apart, the first where the tail of the longest piece could lie, and no piece lies further than `REACH`
off the middle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from foamwright.making.nest.order import BlockKind, Cutting, Piece
from foamwright.making.nest.profiles import STEP, Grown, Whole, grown, rises
from foamwright.shape.curves import Floats

MARK_STEPS = 2
MARK = MARK_STEPS * STEP
"""Metres between the places where a tail may lie along the block."""

REACH = 0.3
"""Metres that a piece's middle may lie off the block's middle: every two then share most of their length."""

SLACK = 1e-9
"""Metres by which sums of lengths may miss by rounding."""

PREFER = 1e-9
"""Of slides that need the same height, the one with the least shift is taken."""


@dataclass(frozen=True, slots=True)
class Lain:
    """A piece in a stack: its place among the pieces, its tail along the block, its level line up; metres."""

    piece: int
    along: float
    up: float


Stack = tuple[Lain, ...]
"""From the bottom up."""


@dataclass(eq=False)
class Room:
    """How pieces lie in one kind of block.

    Attributes
    ----------
    block, cutting, pieces
        The block, how it is cut, and what lies in it.
    slides
        Marks, in steps, where each piece's tail may lie; empty if it is too long or too high.
    """

    block: BlockKind
    cutting: Cutting
    pieces: Sequence[Piece]
    slides: tuple[Whole, ...] = field(init=False)
    _grown: tuple[Grown, ...] = field(init=False)
    _kept: dict[tuple[int, int], Floats] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        made: dict[bytes, Grown] = {}
        self._grown = tuple(
            made.setdefault(p.profile.key, grown(p.profile, self.cutting.apart / 2.0)) for p in self.pieces
        )
        self.slides = tuple(self._slides(n) for n in range(len(self.pieces)))

    def _slides(self, n: int) -> Whole:
        profile = self.pieces[n].profile
        free = self.block.length - 2.0 * self.cutting.apart - profile.length
        if free < -SLACK or self.top(n) < self.cutting.apart - SLACK:
            return np.empty(0, dtype=np.int64)
        first = max(0, int(np.ceil((free / 2.0 - REACH) / MARK - SLACK)))
        last = int(np.floor((free / 2.0 + REACH) / MARK + SLACK)) if free > 2.0 * REACH else _whole(free)
        return np.arange(first, last + 1) * MARK_STEPS

    def top(self, n: int) -> float:
        """Return the highest place of a piece's level line."""
        return self.block.height - self.cutting.apart - self.pieces[n].profile.tall

    def holds(self, n: int) -> bool:
        """Tell whether a piece lies in the block at all."""
        return self.slides[n].size > 0

    def rise(self, below: int, above: int) -> Floats:
        """Return (slides of `below`, slides of `above`) how far one must stand above the other, metres."""
        if (below, above) not in self._kept:
            self._kept[below, above] = self._rise(below, above)
        return self._kept[below, above]

    def _rise(self, below: int, above: int) -> Floats:
        shifts = self.slides[above][None, :] - self.slides[below][:, None]
        wanted, place = np.unique(shifts, return_inverse=True)
        found = rises(self._grown[below], self._grown[above], wanted)
        return np.asarray(found[place.reshape(shifts.shape)])

    def stacked(self, order: Sequence[int]) -> Stack | None:
        """Return pieces lying in one order from the bottom up, as low as slides allow; ``None``: too high.

        Each slide is chosen for the neighbour below; that it clears all the others is seen to afterwards.
        """
        if not all(self.holds(n) for n in order):
            return None
        level = self.cutting.apart + PREFER * np.abs(self._off_middle(order[0]))
        came: list[Whole] = []
        for below, above in pairwise(order):
            over = level[:, None] + self.rise(below, above) + PREFER * self._shift(below, above)
            came.append(np.argmin(over, axis=0))
            level = np.maximum(np.min(over, axis=0), self.cutting.apart)
        return self._walked(order, int(np.argmin(level)), came)

    def _off_middle(self, n: int) -> Floats:
        return np.asarray(self.slides[n] - np.mean(self.slides[n]))

    def _shift(self, below: int, above: int) -> Floats:
        return np.abs(self._off_middle(above)[None, :] - self._off_middle(below)[:, None])

    def _walked(self, order: Sequence[int], last: int, came: list[Whole]) -> Stack | None:
        places = [last]
        for before in reversed(came):
            places.append(int(before[places[-1]]))
        stack: Stack | None = ()
        for n, place in zip(order, reversed(places), strict=True):
            stack = None if stack is None else self._put(stack, n, place)
        return stack

    def _put(self, stack: Stack, n: int, place: int) -> Stack | None:
        """Put a piece on a stack at one of its slides, clear of every piece in it."""
        up = float(self._levels(stack, n)[place])
        if up > self.top(n) + SLACK:
            return None
        return (*stack, Lain(n, self.cutting.apart + float(self.slides[n][place]) * STEP, up))

    def _levels(self, stack: Stack, n: int) -> Floats:
        """The lowest level of a piece on a stack for each of its slides."""
        level = np.full(self.slides[n].size, self.cutting.apart)
        for lain in stack:
            place = self._place(lain)
            level = np.maximum(level, lain.up + self.rise(lain.piece, n)[place])
        return level

    def _place(self, lain: Lain) -> int:
        steps = round((lain.along - self.cutting.apart) / STEP)
        return int(steps - self.slides[lain.piece][0]) // MARK_STEPS

    def topped(self, stack: Stack, n: int) -> Stack | None:
        """Return a stack with one more piece on it, as low as it lies there; ``None``: too high."""
        if not self.holds(n):
            return None
        level = self._levels(stack, n) + PREFER * np.abs(self._off_middle(n))
        return self._put(stack, n, int(np.argmin(level)))


def _whole(free: float) -> int:
    """How many marks there are in the room that is free."""
    return int(np.floor(free / MARK + 1e-6))
