"""The solver of `nest` against published cutting-stock and bin-packing instances with known optima.

Each goes the whole way: rolls are blocks as high as the roll is long, widths are flat blanks that thick.
"""

import tomllib
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from foamwright.blank.numbers import Foam, FoamFamily
from foamwright.making.nest.choosing import choose
from foamwright.making.nest.filled import holds
from foamwright.making.nest.order import BlockKind, Cutting, Least, Order, Piece, Tool
from foamwright.making.nest.profiles import Profile
from foamwright.making.nest.program import UNIT, program_of

DATA = Path(__file__).parent / "data"
PUBLISHED = tomllib.loads((DATA / "cutting_stock.toml").read_text())
FOAM = Foam(FoamFamily.EPS, 20.0)


def program(roll, widths, demand):
    """Return rolls and widths as blocks and flat blanks, one unit of length a level of the program."""
    x = np.array([0.0, 0.05, 0.1])
    pieces = tuple(
        Piece(str(width), Profile(x, np.zeros(3), np.full(3, width * UNIT)), 0.1, FOAM, int(count))
        for width, count in zip(widths, demand, strict=True)
    )
    block = BlockKind("roll", 0.1, 0.1, roll * UNIT, FOAM, 1)
    return program_of(Order("rolls", pieces, (block,), Cutting(Tool.SAW, 0.0, 0.0, 0.0), Least.BLOCKS))


def lengths(asked, chosen):
    """Return the total length cut from each roll, in units."""
    pieces = asked.order.pieces
    return [
        sum(round(pieces[one.piece].profile.tall / UNIT) for each in block.slices for one in each.stack)
        for block in chosen.plan.blocks
    ]


def plain_first_fit(roll, sizes):
    """First-fit decreasing in five lines."""
    left = []
    for size in sorted(sizes, reverse=True):
        place = next((n for n, room in enumerate(left) if room >= size), None)
        if place is None:
            place = len(left)
            left.append(roll)
        left[place] -= size
    return len(left)


def solved(roll, widths, demand):
    asked = program(roll, widths, demand)
    chosen = choose(asked)
    assert holds(asked, chosen.plan)
    assert max(lengths(asked, chosen)) <= roll
    assert sum(lengths(asked, chosen)) == sum(w * n for w, n in zip(widths, demand, strict=True))
    sizes = [w for w, n in zip(widths, demand, strict=True) for _ in range(n)]
    assert chosen.first_fit == plain_first_fit(roll, sizes)
    return chosen


def test_rolls_of_5600_come_to_the_known_optimum():
    widths, demand = PUBLISHED["cs5600_widths"]["value"], PUBLISHED["cs5600_demand"]["value"]
    chosen = solved(5600, widths, demand)
    assert chosen.cost == chosen.bound == PUBLISHED["cs5600_optimum"]["value"]
    assert chosen.prices.bound == pytest.approx(
        PUBLISHED["cs5600_lp"]["value"], abs=PUBLISHED["cs5600_lp"]["tol"]
    )
    waste = 100.0 * (1.0 - PUBLISHED["cs5600_total"]["value"] / (chosen.cost * 5600.0))
    assert waste == pytest.approx(PUBLISHED["cs5600_waste"]["value"], abs=PUBLISHED["cs5600_waste"]["tol"])


def test_rolls_of_100_come_to_the_known_optimum():
    numbers = PUBLISHED["gams_cutstock_data"]["value"]
    chosen = solved(100, numbers[:4], numbers[4:])
    assert chosen.cost == chosen.bound == PUBLISHED["gams_cutstock_optimum"]["value"]


def test_u120_00_comes_to_the_known_optimum_that_first_fit_decreasing_misses():
    words = [int(word) for word in (DATA / "u120_00.txt").read_text().split()]
    roll, count, best = words[:3]
    sizes = Counter(words[3:])
    assert sizes.total() == count
    assert sum(words[3:]) == PUBLISHED["u120_00_volume"]["value"]
    chosen = solved(roll, sorted(sizes), [sizes[size] for size in sorted(sizes)])
    assert chosen.cost == chosen.bound == best == PUBLISHED["u120_00_optimum"]["value"]
    assert chosen.first_fit == PUBLISHED["u120_00_ffd"]["value"]
