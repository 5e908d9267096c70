"""Laws of the choice, whatever the costs."""

from itertools import combinations, pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from foamwright.stocking.bound import bound_at, earnings
from foamwright.stocking.choosing import choose
from foamwright.stocking.location import Location, exchanged, losses

QUICK = settings(max_examples=40, deadline=None, derandomize=True)
COSTS = arrays(np.float64, (6, 8), elements=st.integers(0, 50).map(float))


def best_of_all(problem: Location, keep: int) -> float:
    return min(problem.total(kept) for kept in combinations(range(problem.sites), keep))


@QUICK
@given(COSTS, st.integers(1, 6))
def test_the_choice_is_the_best_and_proved(cost, keep):
    problem = Location(cost, np.zeros(6))
    chosen, best = choose(problem, keep), best_of_all(problem, keep)
    assert chosen.bound <= best * (1 + 1e-9) + 1e-9
    assert best - 1e-9 <= chosen.cost
    # An exchange may stop short of the best only where the proof says how far.
    assert chosen.cost - best <= chosen.gap * chosen.cost + 1e-9
    assert chosen.gap <= 1e-5 or chosen.cost == 0.0


@QUICK
@given(COSTS, arrays(np.float64, 8, elements=st.floats(0, 60)), st.integers(1, 6))
def test_all_prices_prove_a_bound(cost, prices, keep):
    problem = Location(cost, np.zeros(6))
    earns = earnings(problem, prices, np.empty_like(cost))
    assert bound_at(prices, earns, keep) <= best_of_all(problem, keep) + 1e-9


@QUICK
@given(COSTS, st.permutations(range(6)))
def test_the_order_of_the_sites_does_not_matter(cost, order):
    problem, other = Location(cost, np.zeros(6)), Location(cost[order], np.zeros(6))
    assert abs(choose(problem, 3).cost - choose(other, 3).cost) <= 1e-9 * (1 + cost.sum())


@QUICK
@given(COSTS, st.floats(0.1, 50.0))
def test_costs_in_another_currency_choose_the_same(cost, rate):
    one, other = choose(Location(cost, np.zeros(6)), 2), choose(Location(rate * cost, np.zeros(6)), 2)
    assert abs(other.cost - rate * one.cost) <= 1e-6 * (1 + rate * one.cost)


@QUICK
@given(COSTS)
def test_more_kept_never_costs_more(cost):
    problem = Location(cost, np.zeros(6))
    costs = [choose(problem, keep).cost for keep in range(1, 7)]
    assert all(later <= sooner + 1e-9 for sooner, later in pairwise(costs))


@QUICK
@given(COSTS, st.sets(st.integers(0, 5), min_size=2, max_size=5))
def test_dropping_costs_what_it_says(cost, kept):
    problem, chosen = Location(cost, np.zeros(6)), sorted(kept)
    lost = losses(problem, chosen)
    for place, site in enumerate(chosen):
        without = problem.total([s for s in chosen if s != site])
        assert abs(lost[place] - (without - problem.total(chosen))) < 1e-9
    assert problem.total(exchanged(problem, chosen)) <= problem.total(chosen) + 1e-9
