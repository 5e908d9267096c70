"""Plans made block by block."""

import numpy as np

from foamwright.making.nest.filled import holds
from foamwright.making.nest.greedy import COARSE, attempts
from foamwright.making.nest.settling import Settled
from tests.unit.making.nest.test_choosing import flat


def test_what_coarse_levels_lose_in_a_stack_fine_ones_keep():
    """Eight pieces of 12 fill 96 of 106 levels, one more level is lost for each; in levels of ten, 160."""
    program = flat([(12, 100, 8)], [(106, 100, 10, None)])

    def plan_in(coarse):
        (attempt,) = attempts(program, Settled(program), np.ones(1), 1, np.ones(1), coarse)
        return attempt.plan

    assert plan_in(COARSE) is None
    assert holds(program, plan_in(1))
