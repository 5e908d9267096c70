"""The plan as the person at the saw and the wire needs it: blocks, strips, stacks, and the cuts in order."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from foamwright.making.nest.choosing import Chosen
from foamwright.making.nest.filled import Filled, Slice
from foamwright.making.nest.order import BlockKind, Order, Piece
from foamwright.making.nest.program import Program
from foamwright.making.nest.stacks import Lain, Stack

MONEY = 100.0
"""Prices are kept in hundredths."""


@dataclass(frozen=True, eq=False)
class LaidStrip:
    """A strip of a block: where its near face lies across the block, its width, its stack; metres."""

    name: str
    start: float
    width: float
    stack: Stack

    @property
    def stop(self) -> float:
        """Where its far face lies."""
        return self.start + self.width


@dataclass(frozen=True, eq=False)
class LaidBlock:
    """A block cut in one way, and how many are cut so.

    Attributes
    ----------
    number
        Of this way, from 1.
    times
        How many blocks are cut this way.
    block
        Its kind.
    strips
        From the near face across; strips with the same stack and width lie side by side.
    """

    number: int
    times: int
    block: BlockKind
    strips: tuple[LaidStrip, ...]

    def pieces(self, order: Order) -> tuple[Piece, ...]:
        """Return every piece in one such block."""
        return tuple(order.pieces[lain.piece] for strip in self.strips for lain in strip.stack)

    def share(self, order: Order) -> float:
        """Return how much of the block becomes blanks."""
        return sum(piece.volume for piece in self.pieces(order)) / self.block.volume


@dataclass(frozen=True, eq=False)
class Layout:
    """An order with its blocks laid out and what is proved of them."""

    order: Order
    blocks: tuple[LaidBlock, ...]
    chosen: Chosen

    @property
    def count(self) -> int:
        """How many blocks are used."""
        return sum(block.times for block in self.blocks)

    @property
    def share(self) -> float:
        """How much of all foam becomes blanks."""
        foam = sum(block.times * block.block.volume for block in self.blocks)
        cut = sum(block.times * block.share(self.order) * block.block.volume for block in self.blocks)
        return cut / foam if foam else 0.0

    @property
    def price(self) -> float:
        """What all blocks cost, in the order's currency."""
        return sum(block.times * block.block.price for block in self.blocks) / MONEY


def layout_of(program: Program, chosen: Chosen) -> Layout:
    """Return the layout of a plan; blocks that are cut in the same way are told once, the most first."""
    ways = Counter(_canonical(block) for block in chosen.plan.blocks)
    ranked = sorted(ways.items(), key=lambda way: (-way[1], way[0].kind, -_pieces_in(way[0])))
    blocks = tuple(
        LaidBlock(number, times, program.kinds[way.kind].block, _strips(program.order, way))
        for number, (way, times) in enumerate(ranked, start=1)
    )
    return Layout(program.order, blocks, chosen)


def _canonical(block: Filled) -> Filled:
    """The same block with its strips in a fixed order: the widest first, like ones together."""
    return replace(block, slices=tuple(sorted(block.slices, key=_rank)))


def _rank(one: Slice) -> tuple[int, int, tuple[tuple[int, float, float], ...]]:
    return -one.width, -len(one.stack), tuple((lain.piece, lain.along, lain.up) for lain in one.stack)


def _pieces_in(block: Filled) -> int:
    return sum(len(one.stack) for one in block.slices)


def _strips(order: Order, block: Filled) -> tuple[LaidStrip, ...]:
    strips = []
    start = order.cutting.margin
    for place, one in enumerate(block.slices):
        width = max(order.pieces[lain.piece].width for lain in one.stack)
        strips.append(LaidStrip(letter(place), start, width, one.stack))
        start += width + order.cutting.slicing
    return tuple(strips)


def letter(place: int) -> str:
    """Return A, B, … Z, AA, …"""
    first = letter(place // 26 - 1) if place >= 26 else ""
    return first + chr(ord("A") + place % 26)


def alike(strips: tuple[LaidStrip, ...]) -> list[tuple[LaidStrip, ...]]:
    """Return runs of neighbouring strips with the same stack and width."""
    runs: list[tuple[LaidStrip, ...]] = []
    for strip in strips:
        if runs and runs[-1][0].stack == strip.stack and abs(runs[-1][0].width - strip.width) < 1e-9:
            runs[-1] = (*runs[-1], strip)
        else:
            runs.append((strip,))
    return runs


def from_the_top(stack: Stack) -> tuple[Lain, ...]:
    """Return the pieces of a stack in the order they are cut: topmost first, so that each lies on foam."""
    return tuple(sorted(stack, key=lambda lain: -lain.up))
