"""The choice of blocks: against every plan there is, and its prices against every strip there is."""

import itertools
from pathlib import Path

import numpy as np
import pytest

from foamwright.blank.numbers import Foam, FoamFamily
from foamwright.making.nest.choosing import Lacking, choose
from foamwright.making.nest.filled import holds
from foamwright.making.nest.master import proved
from foamwright.making.nest.order import BlockKind, Cutting, Least, Order, Piece, Tool
from foamwright.making.nest.profiles import Profile
from foamwright.making.nest.program import UNIT, program_of
from foamwright.making.nest.sheet import order_from_text
from tests.nest_orders import order_text

FOAM = Foam(FoamFamily.EPS, 20.0)


def flat(sizes, blocks, least=Least.COST):
    """An order of flat pieces: (thickness, width, count) in units, blocks (height, width, price, on hand)."""
    x = np.array([0.0, 0.05, 0.1])
    pieces = tuple(
        Piece(f"p{n}", Profile(x, np.zeros(3), np.full(3, thick * UNIT)), wide * UNIT, FOAM, count)
        for n, (thick, wide, count) in enumerate(sizes)
    )
    kinds = tuple(
        BlockKind(f"b{n}", 0.1, wide * UNIT, high * UNIT, FOAM, price, stock)
        for n, (high, wide, price, stock) in enumerate(blocks)
    )
    return program_of(Order("flat", pieces, kinds, Cutting(Tool.SAW, 0.0, 0.0, 0.0), least))


def cheapest(sizes, blocks):
    """The least cost by trying every plan: pieces one by one into each strip, new strip or new block."""
    things = sorted([(wide, thick) for thick, wide, count in sizes for _ in range(count)], reverse=True)
    best = [np.inf]

    def put(n, open_blocks, cost):
        if cost >= best[0]:
            return
        if n == len(things):
            best[0] = cost
            return
        wide, thick = things[n]
        for b, (k, strips) in enumerate(open_blocks):
            high, across, _, _ = blocks[k]
            for s, (strip_wide, filled) in enumerate(strips):
                if wide <= strip_wide and filled + thick <= high:
                    new = [*strips[:s], (strip_wide, filled + thick), *strips[s + 1 :]]
                    put(n + 1, [*open_blocks[:b], (k, new), *open_blocks[b + 1 :]], cost)
            if sum(w for w, _ in strips) + wide <= across and thick <= high:
                put(n + 1, [*open_blocks[:b], (k, [*strips, (wide, thick)]), *open_blocks[b + 1 :]], cost)
        for k, (high, across, price, _) in enumerate(blocks):
            if wide <= across and thick <= high:
                put(n + 1, [*open_blocks, (k, [(wide, thick)])], cost + price)

    put(0, [], 0)
    return best[0]


@pytest.mark.parametrize("seed", range(12))
def test_it_is_as_cheap_as_the_cheapest_of_all_plans(seed):
    chance = np.random.default_rng(seed)
    sizes = [
        (int(chance.integers(20, 60)), int(chance.integers(30, 60)), int(chance.integers(1, 4)))
        for _ in range(3)
    ]
    blocks = [(100, 100, 10, None), (130, 70, 9, None)]
    chosen = choose(flat(sizes, blocks))
    assert chosen.cost == chosen.bound == cheapest(sizes, blocks)


def test_the_prices_prove_the_bound_whatever_the_solver_says():
    """No strip's pieces are worth more than its price: tried on every pile there is."""
    sizes = [(30, 50, 9), (45, 50, 5), (20, 40, 7)]
    asked = flat(sizes, [(100, 100, 10, None)])
    chosen = choose(asked)
    price = chosen.prices.pieces
    for width in (40, 50):
        usable = [n for n, (_, wide, _) in enumerate(sizes) if wide <= width]
        piles = (
            pile
            for size in range(1, 6)
            for pile in itertools.combinations_with_replacement(usable, size)
            if sum(sizes[n][0] for n in pile) <= 100
        )
        assert max(sum(price[n] for n in pile) for pile in piles) <= 10 / 2 + 1e-9
    assert chosen.prices.bound == pytest.approx(sum(p * s[2] for p, s in zip(price, sizes, strict=True)))


def test_prices_that_ask_too_much_are_lowered():
    asked = flat([(30, 50, 9)], [(100, 100, 10, None)])
    assert proved(asked, np.array([100.0])).bound == pytest.approx(9 * 10 / 6)


def test_blocks_on_hand_that_do_not_suffice_are_told_for_certain():
    sizes = [(50, 50, 9)]
    assert choose(flat(sizes, [(100, 100, 10, 3)])).cost == 30
    lacking = choose(flat(sizes, [(100, 100, 10, 2)]))
    assert isinstance(lacking, Lacking)
    assert lacking.proved


def test_blocks_on_hand_are_not_exceeded():
    asked = flat([(50, 50, 13)], [(100, 100, 10, 2), (100, 50, 8, None)])
    chosen = choose(asked)
    assert holds(asked, chosen.plan)
    assert chosen.cost == chosen.bound == 2 * 10 + 3 * 8


@pytest.mark.parametrize("seed", [4, 8, 19, 22])
def test_orders_are_served_exactly_and_never_worse_than_first_fit(seed):
    asked = program_of(order_from_text(order_text(seed), "o.order.toml", Path()))
    chosen = choose(asked)
    assert holds(asked, chosen.plan)
    assert chosen.bound <= chosen.cost <= chosen.first_fit
    assert chosen.gap < 0.05


def test_the_same_order_gives_the_same_plan():
    asked = order_from_text(order_text(8), "o.order.toml", Path())
    assert choose(program_of(asked)).plan == choose(program_of(asked)).plan
