"""Which strips of the program can truly be cut: each pile settled at its marks, in the best of its orders."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice

from foamwright.making.nest.filled import Filled
from foamwright.making.nest.master import Columns
from foamwright.making.nest.program import Filling, Program, Strip
from foamwright.making.nest.stacks import Stack

ORDERS = 60
"""Orders of a pile that are tried before it counts as one that cannot be cut."""

Content = tuple[int, tuple[tuple[int, int], ...]]


@dataclass(eq=False)
class Settled:
    """What is known of piles, by their content: the stack, or ``None`` where no order of those tried fits."""

    program: Program
    _stacks: dict[Content, Stack | None] = field(default_factory=dict)

    def learn(self, blocks: Iterable[Filled], columns: Columns) -> None:
        """Take the stacks and strips of blocks that can be cut."""
        for block in blocks:
            for each in block.slices:
                strip = Strip(self.program.kinds[block.kind].side, tuple(one.piece for one in each.stack))
                columns.add_strip(strip)
                self._stacks.setdefault(strip.content, each.stack)
            columns.add_filling(Filling(block.kind, tuple(sorted(each.width for each in block.slices))))

    def known(self, strip: Strip) -> bool:
        """Tell whether a strip can be cut as it is."""
        return self._settled(strip) is not None

    def stack(self, strip: Strip) -> Stack:
        """Return the stack of a strip that can be cut."""
        stack = self._settled(strip)
        assert stack is not None
        return stack

    def cuttable(self, strip: Strip) -> Strip | None:
        """Return a strip, or what is left of it when as few pieces as need be are taken out."""
        while strip.pile and self._settled(strip) is None:
            thinnest = min(strip.pile, key=lambda n: self.program.order.pieces[n].profile.thickest)
            place = strip.pile.index(thinnest)
            strip = Strip(strip.side, strip.pile[:place] + strip.pile[place + 1 :])
        return strip if strip.pile else None

    def all_cuttable(self, strips: Iterable[Strip]) -> list[Strip]:
        """Return what is left of each strip when it can be cut, each content once."""
        left = (self.cuttable(strip) for strip in strips)
        return list({strip.content: strip for strip in left if strip is not None}.values())

    def _settled(self, strip: Strip) -> Stack | None:
        content = strip.content
        if content not in self._stacks:
            self._stacks[content] = self._first_that_fits(strip)
        return self._stacks[content]

    def _first_that_fits(self, strip: Strip) -> Stack | None:
        room = self.program.sides[strip.side].room
        for order in islice(orders(strip.pile), ORDERS):
            stack = room.stacked(order)
            if stack is not None:
                return stack
        return None


def orders(pile: tuple[int, ...]) -> Iterator[tuple[int, ...]]:
    """Yield the pile as it came, then its other orders, each once, like pieces exchanged only once."""
    yield pile
    yield from (other for other in _distinct(Counter(sorted(pile)), len(pile)) if other != pile)


def _distinct(left: Counter[int], size: int) -> Iterator[tuple[int, ...]]:
    if size == 0:
        yield ()
        return
    for kind in list(left):
        if left[kind]:
            left[kind] -= 1
            for rest in _distinct(left, size - 1):
                yield (kind, *rest)
            left[kind] += 1
