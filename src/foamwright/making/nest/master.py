"""The program's relaxation by column generation, and the bound that its prices prove.

Prices of pieces prove a bound by themselves: if no strip's pieces are worth more than the strip's price, and
no filling of a block holds strips worth more than the block costs, then whoever buys all pieces at these
prices pays no more than the blocks cost. `proved` makes any prices such prices, and needs no solver for it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.optimize import linprog
from scipy.sparse import coo_array, hstack

from foamwright.making.nest.program import Filling, Program, Strip
from foamwright.shape.curves import Floats

ROUNDS = 400
"""Most rounds of new columns."""

GAIN = 1e-7
"""Least gain of a new column, as a share of the dearest block."""


@dataclass(frozen=True, eq=False)
class Limit:
    """A limit on all fillings together: ``sum of weights of strips and of blocks >= least``.

    `strips` is (classes,), `blocks` (kinds,); a limit from above has its signs turned.
    """

    strips: Floats
    blocks: Floats
    least: float

    def of(self, filling: Filling) -> float:
        """Return what one filling adds."""
        return float(self.blocks[filling.kind] + sum(self.strips[width] for width in filling.classes))


Limits = tuple[Limit, ...]


@dataclass(frozen=True, eq=False)
class Prices:
    """Prices of pieces (T,) and what they prove: nothing that serves the order costs less than `bound`.

    `strips` is (sides, classes): the dearest pile of pieces in a strip that wide; `limits` the prices of the
    limits, if there are any.
    """

    pieces: Floats
    strips: Floats
    bound: float
    limits: Floats = field(default_factory=lambda: np.empty(0))


@dataclass(eq=False)
class Columns:
    """Strips and fillings, each once, in the order they came."""

    strips: dict[tuple[int, tuple[tuple[int, int], ...]], Strip] = field(default_factory=dict)
    fillings: dict[Filling, None] = field(default_factory=dict)

    def add_strip(self, strip: Strip) -> bool:
        """Add a strip; ``False`` if there is one with the same content."""
        return self.strips.setdefault(strip.content, strip) is strip

    def add_filling(self, filling: Filling) -> bool:
        """Add a filling; ``False`` if it is there."""
        new = filling not in self.fillings
        self.fillings.setdefault(filling)
        return new

    @property
    def size(self) -> int:
        """How many there are."""
        return len(self.strips) + len(self.fillings)


@dataclass(frozen=True, eq=False)
class Rules:
    """Inequalities ``matrix @ x >= right``; columns: first the fillings, then the strips.

    Rows: pieces, then slots (side, class), then blocks on hand. `unmet` pieces may be had at a great cost.
    """

    matrix: coo_array
    right: Floats
    cost: Floats


def rules(program: Program, fillings: list[Filling], strips: list[Strip], limits: Limits = ()) -> Rules:
    """Return the inequalities that a choice of columns must keep."""
    pieces, slots = program.wanted.size, program.widths * len(program.sides)
    entries: list[tuple[int, int, float]] = []
    for column, filling in enumerate(fillings):
        for width in filling.classes:
            entries.append((pieces + program.kinds[filling.kind].side * program.widths + width, column, 1.0))
        entries.append((pieces + slots + filling.kind, column, -1.0))
        first = pieces + slots + len(program.kinds)
        entries += [(first + r, column, limit.of(filling)) for r, limit in enumerate(limits)]
    for column, strip in enumerate(strips, start=len(fillings)):
        entries += [(piece, column, 1.0) for piece in strip.pile]
        entries.append((pieces + strip.side * program.widths + program.class_of(strip.pile), column, -1.0))
    row, column_, value = (np.array(part) for part in zip(*entries, strict=True))
    shape = (pieces + slots + len(program.kinds) + len(limits), len(fillings) + len(strips))
    stock = [-np.inf if k.block.on_hand is None else -float(k.block.on_hand) for k in program.kinds]
    right = np.concatenate(
        [program.wanted.astype(float), np.zeros(slots), stock, [limit.least for limit in limits]]
    )
    cost = np.array([program.kinds[f.kind].cost for f in fillings] + [0] * len(strips), dtype=float)
    return Rules(coo_array((value, (row, column_)), shape), right, cost)


@dataclass(frozen=True, eq=False)
class Relaxed:
    """The relaxation solved.

    Attributes
    ----------
    unmet
        Pieces that no number of blocks on hand can give, and what the limits lack.
    prices
        The best prices found.
    strips, blocks
        (classes,), (kinds,) how many of each the solution has, with fractions.
    """

    unmet: float
    prices: Prices
    strips: Floats
    blocks: Floats


@dataclass(frozen=True, eq=False)
class Duals:
    """Prices of pieces (T,), of strips (sides, classes), of the limits; what is unmet; how many fillings."""

    pieces: Floats
    slots: Floats
    limits: Floats
    unmet: float
    fillings: Floats


def relaxed(program: Program, columns: Columns, limits: Limits = (), enough: float = np.inf) -> Relaxed:
    """Solve the relaxation, adding to `columns` what it takes.

    Parameters
    ----------
    program
        What is asked.
    columns
        What is known so far.
    limits
        What else all fillings must keep.
    enough
        A bound at which nothing more need be proved.
    """
    start(program, columns)
    best = Prices(np.zeros(program.wanted.size), np.zeros((len(program.sides), program.widths)), -np.inf)
    for _ in range(ROUNDS):
        duals = _duals(program, columns, limits)
        found, added = _priced(program, columns, duals, limits)
        if found.bound > best.bound:
            best = found
        if not added or best.bound >= enough:
            break
    return Relaxed(duals.unmet, best, *_counts(program, columns, duals))


def _counts(program: Program, columns: Columns, duals: Duals) -> tuple[Floats, Floats]:
    strips, blocks = np.zeros(program.widths), np.zeros(len(program.kinds))
    for filling, times in zip(columns.fillings, duals.fillings, strict=False):
        blocks[filling.kind] += times
        np.add.at(strips, list(filling.classes), times)
    return strips, blocks


def start(program: Program, columns: Columns) -> None:
    """Add strips of one kind of piece each, and blocks filled with one width."""
    for s, side in enumerate(program.sides):
        for n in range(program.wanted.size):
            value = np.zeros(program.wanted.size)
            value[n] = 1.0
            _, pile = side.upward.most(value)
            if pile:
                columns.add_strip(Strip(s, pile[: int(program.wanted[n])]))
    for k, kind in enumerate(program.kinds):
        for width in range(program.widths):
            value = np.zeros(program.widths)
            value[width] = 1.0
            _, row = kind.across.most(value)
            if row:
                columns.add_filling(Filling(k, row))


def _duals(program: Program, columns: Columns, limits: Limits) -> Duals:
    made = rules(program, list(columns.fillings), list(columns.strips.values()), limits)
    finite = np.isfinite(made.right)
    pieces, slots = program.wanted.size, program.widths * len(program.sides)
    helped = [*range(pieces), *range(made.right.size - len(limits), made.right.size)]
    unmet = coo_array((np.ones(len(helped)), (helped, range(len(helped)))), (made.right.size, len(helped)))
    matrix = hstack([made.matrix, unmet]).tocsr()[finite]
    cost = np.concatenate([made.cost, np.full(len(helped), _great(program))])
    answer = linprog(cost, A_ub=-matrix, b_ub=-made.right[finite], method="highs")
    dual = np.zeros(made.right.size)
    dual[finite] = np.maximum(-answer.ineqlin.marginals, 0.0)
    return Duals(
        pieces=dual[:pieces],
        slots=dual[pieces : pieces + slots].reshape(len(program.sides), -1),
        limits=dual[made.right.size - len(limits) :],
        unmet=float(np.sum(answer.x[-len(helped) :])),
        fillings=answer.x[: len(columns.fillings)],
    )


def _great(program: Program) -> float:
    """More than any piece can be worth."""
    return 10.0 * max(kind.cost for kind in program.kinds)


def _priced(program: Program, columns: Columns, duals: Duals, limits: Limits) -> tuple[Prices, bool]:
    """Add every column that gains at these prices; return what they prove, and whether any was added."""
    least = GAIN * max(kind.cost for kind in program.kinds)
    worth = np.zeros_like(duals.slots)
    added = False
    for s, side in enumerate(program.sides):
        for width in range(program.widths):
            value, pile = side.upward.most(np.where(program.classes <= width, duals.pieces, 0.0))
            worth[s, width] = value
            if pile and value > duals.slots[s, program.class_of(pile)] + least:
                added |= columns.add_strip(Strip(s, pile))
    for k, kind in enumerate(program.kinds):
        value, row = best_row(program, k, duals.slots, (duals.limits, limits))
        if value > kind.cost + least:
            added |= columns.add_filling(Filling(k, tuple(sorted(row))))
    return proved(program, duals.pieces, worth, (duals.limits, limits)), added


def best_row(
    program: Program, k: int, strips: Floats, limited: tuple[Floats, Limits]
) -> tuple[float, tuple[int, ...]]:
    """The filling of a kind of block that is worth most, limits included."""
    kind, worth, extra = program.kinds[k], strips[program.kinds[k].side].copy(), 0.0
    for price, limit in zip(*limited, strict=True):
        worth += price * limit.strips
        extra += float(price * limit.blocks[k])
    value, row = kind.across.most(worth)
    return value + extra, row


def proved(
    program: Program,
    pieces: Floats,
    worth: Floats | None = None,
    limited: tuple[Floats, Limits] = (np.empty(0), ()),
) -> Prices:
    """Return prices, lowered where they ask too much, with the bound that they prove.

    Parameters
    ----------
    program
        What is asked.
    pieces
        (T,) any prices from 0 up.
    worth
        (sides, classes) the dearest pile in a strip at these prices, if it is known.
    limited
        Prices of the limits, from 0 up, and the limits.
    """
    strips = _worth(program, pieces) if worth is None else worth
    blocks = np.array([best_row(program, k, strips, limited)[0] for k in range(len(program.kinds))])
    costs = np.array([kind.cost for kind in program.kinds], dtype=float)
    free = np.array([kind.block.on_hand is None for kind in program.kinds])
    over = free & (blocks > costs)
    share = float(np.min(costs[over] / blocks[over], initial=1.0))
    stock = sum(
        kind.block.on_hand * min(0.0, float(cost - share * block))
        for kind, cost, block in zip(program.kinds, costs, blocks, strict=True)
        if kind.block.on_hand is not None
    )
    asked = pieces @ program.wanted + sum(p * limit.least for p, limit in zip(*limited, strict=True))
    return Prices(pieces * share, strips * share, float(share * asked + stock), limited[0] * share)


def _worth(program: Program, pieces: Floats) -> Floats:
    return np.array(
        [
            [
                side.upward.most(np.where(program.classes <= width, pieces, 0.0))[0]
                for width in range(program.widths)
            ]
            for side in program.sides
        ]
    )
