"""Blocks as they are cut: strips with settled stacks, and plans made of them; also first-fit decreasing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from foamwright.making.nest.program import Program
from foamwright.making.nest.stacks import Stack


@dataclass(frozen=True, slots=True)
class Slice:
    """A strip with its stack, and its width class."""

    width: int
    stack: Stack


@dataclass(frozen=True, slots=True)
class Filled:
    """One block with its strips, widest first."""

    kind: int
    slices: tuple[Slice, ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """Blocks that serve the whole order, each piece exactly as often as it is wanted."""

    blocks: tuple[Filled, ...]

    def cost(self, program: Program) -> int:
        """Return the sum of the blocks' costs."""
        return sum(program.kinds[block.kind].cost for block in self.blocks)


def holds(program: Program, plan: Plan) -> bool:
    """Tell whether a plan serves the order exactly, within the blocks on hand."""
    lain = Counter(one.piece for block in plan.blocks for each in block.slices for one in each.stack)
    wanted = {n: int(count) for n, count in enumerate(program.wanted)}
    used = Counter(block.kind for block in plan.blocks)
    stock = [kind.block.on_hand for kind in program.kinds]
    return lain == wanted and all(have is None or used[k] <= have for k, have in enumerate(stock))


def trimmed(program: Program, blocks: Sequence[Filled]) -> Plan:
    """Return blocks without the pieces that nobody asked for; the topmost go first, from the last block."""
    lain = Counter(one.piece for block in blocks for each in block.slices for one in each.stack)
    over = {n: lain[n] - int(count) for n, count in enumerate(program.wanted)}
    kept = [_without(program, block, over) for block in reversed(blocks)]
    return Plan(tuple(block for block in reversed(kept) if block.slices))


def _without(program: Program, block: Filled, over: dict[int, int]) -> Filled:
    slices = []
    for each in reversed(block.slices):
        stack = []
        for one in reversed(each.stack):
            if over[one.piece] > 0:
                over[one.piece] -= 1
            else:
                stack.append(one)
        if stack:
            width = program.class_of([one.piece for one in stack])
            slices.append(Slice(width, tuple(reversed(stack))))
    return Filled(block.kind, tuple(reversed(slices)))


def first_fit(program: Program) -> Plan | None:
    """Return the plan of first-fit decreasing; ``None`` if the blocks on hand do not suffice that way.

    Pieces from the widest and thickest down; each goes on the first stack that takes it, else it begins a new
    strip in the first block with room, else a new block: of the kinds on hand the one that costs least.
    """
    blocks: list[Filled] = []
    for n in _decreasing(program):
        # What did not take a piece will not take the next of its kind either.
        stacks_from = strips_from = 0
        for _ in range(int(program.wanted[n])):
            stacks_from = _on_a_stack(program, blocks, n, stacks_from)
            if stacks_from < len(blocks):
                continue
            strips_from = _in_a_strip(program, blocks, n, strips_from)
            if strips_from == len(blocks):
                begun = _begun(program, blocks, n)
                if begun is None:
                    return None
                blocks.append(begun)
            stacks_from = strips_from
    return Plan(tuple(blocks))


def _decreasing(program: Program) -> list[int]:
    pieces = program.order.pieces
    return sorted(range(len(pieces)), key=lambda n: (-program.classes[n], -pieces[n].profile.thickest, n))


def _on_a_stack(program: Program, blocks: list[Filled], n: int, start: int) -> int:
    """Put a piece on the first stack that takes it; return the place of its block, past the end if none."""
    for b in range(start, len(blocks)):
        block = blocks[b]
        if not program.fits_alone(block.kind, n):
            continue
        for s, each in enumerate(block.slices):
            if each.width < program.classes[n]:
                continue
            stack = program.side_of(block.kind).room.topped(each.stack, n)
            if stack is not None:
                new = (*block.slices[:s], Slice(each.width, stack), *block.slices[s + 1 :])
                blocks[b] = Filled(block.kind, new)
                return b
    return len(blocks)


def _in_a_strip(program: Program, blocks: list[Filled], n: int, start: int) -> int:
    """Begin a strip with a piece in the first block with room; return its place, past the end if none."""
    for b in range(start, len(blocks)):
        block = blocks[b]
        new = _alone(program, block.kind, n)
        if new is not None and room_across(program, block.kind, [each.width for each in block.slices], n):
            blocks[b] = Filled(block.kind, (*block.slices, new))
            return b
    return len(blocks)


def room_across(program: Program, kind: int, classes: Sequence[int], n: int) -> bool:
    """Tell whether a block with strips of some classes has room for one more that holds a piece."""
    across = program.kinds[kind].across
    taken = sum(int(across.rise[width, width]) for width in classes)
    return program.fits_alone(kind, n) and taken <= int(across.last[program.classes[n]])


def _begun(program: Program, blocks: Sequence[Filled], n: int) -> Filled | None:
    used = Counter(block.kind for block in blocks)
    for k in np.argsort([kind.cost for kind in program.kinds], kind="stable"):
        have = program.kinds[int(k)].block.on_hand
        alone = _alone(program, int(k), n)
        if alone is not None and (have is None or used[int(k)] < have):
            return Filled(int(k), (alone,))
    return None


def _alone(program: Program, kind: int, n: int) -> Slice | None:
    if not program.fits_alone(kind, n):
        return None
    stack = program.side_of(kind).room.topped((), n)
    return None if stack is None else Slice(int(program.classes[n]), stack)
